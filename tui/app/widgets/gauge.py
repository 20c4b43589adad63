"""The dash gauge: a scale from C to H with its red end, a needle, and words."""

from __future__ import annotations

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from scenarios.language import _, say
from sim.observation.instruments import INSTRUMENTS, RED_FROM

ENDS = 5
"""Cells that the letters at both ends of the scale take."""


class Gauge(Widget):
    """needle: 0 cold to 1 hot, None where it is not seen; note: why not."""

    DEFAULT_CSS = """
    Gauge { height: 1; width: 1fr; min-width: 30; }
    """

    needle: reactive[float | None] = reactive(None)
    note: reactive[str] = reactive("")

    def render(self) -> Content:
        """The scale, as wide as there is room."""
        if self.needle is None:
            return Content.styled(say("gauge: {why}", why=self.note), "$secondary")
        dial = INSTRUMENTS["dash gauge"]
        said = _(dial.show(dial.step(self.needle)))
        longest = max(len(_(word)) for word in getattr(dial, "words", ()))
        width = max(min(self.size.width - longest - ENDS, 41), 7)
        needle = round(min(max(self.needle, 0.0), 1.0) * (width - 1))
        parts: list[Content | tuple[str, str]] = [("C ", "$secondary")]
        for cell in range(width):
            share = cell / (width - 1)
            red = share >= RED_FROM
            if cell == needle:
                parts.append(("◆", "bold $error" if red else "bold $primary"))
            elif red:
                parts.append(("━", "$error"))
            else:
                parts.append(
                    ("┴" if cell in (0, (width - 1) // 2) else "─", "$secondary" if share < 0.3 else "$foreground 60%")
                )
        return Content.assemble(*parts, (" H ", "$error"), (said, "bold" if share_is_red(self.needle) else ""))


def share_is_red(needle: float) -> bool:
    """Whether the needle stands in the red."""
    return needle >= RED_FROM
