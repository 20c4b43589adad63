"""Where the job stands, in a line: what is done, what comes next, each part to be clicked."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from textual import events
from textual.content import Content
from textual.message import Message

from tui.app.widgets.paper import Paper
from tui.presentation.clean import clean_line
from tui.presentation.stages import Stage


class StageLine(Paper):
    """The line of stages: ✓ done, » next, · still to come."""

    DEFAULT_CSS = """
    StageLine { height: 1; padding: 0 1; color: $secondary; text-wrap: nowrap; }
    """

    class Chosen(Message):
        """A stage was clicked; name: in English."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    def __init__(self) -> None:
        super().__init__()
        self._parts: list[tuple[str, int]] = []

    def show(self, stages: Sequence[Stage], room: int) -> None:
        """Write the stages in so many cells, with as much space between as there is."""
        told = [f"{'✓' if stage.done else '»' if stage.now else '·'} {stage.told}" for stage in stages]
        if sum(map(len, told)) + 2 * (len(told) - 1) > room:
            told = [text.replace(" ", "", 1) for text in told]
        gap = "   " if sum(map(len, told)) + 3 * (len(told) - 1) <= room else "  "
        gap = gap if sum(map(len, told)) + len(gap) * (len(told) - 1) <= room else " "
        parts: list[Content | tuple[str, str]] = []
        for text, stage in zip(told, stages, strict=True):
            style = "bold $primary" if stage.now else "$success" if stage.done else "$secondary"
            parts += [(clean_line(text), style), gap]
        self._parts = [(stage.name, len(text + gap)) for text, stage in zip(told, stages, strict=True)]
        self.write(Content.assemble(*parts[:-1]))

    def on_click(self, event: events.Click) -> None:
        """Go where that is done."""
        at = event.get_content_offset(self)
        ends = accumulate(length for _name, length in self._parts)
        for (name, _length), end in zip(self._parts, ends, strict=True):
            if at is not None and at.x < end:
                self.post_message(self.Chosen(name))
                return
