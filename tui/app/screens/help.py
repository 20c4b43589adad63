"""Help for where one is: what this screen is for, and every key that works on it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from scenarios.language import N_, _
from tui.app.screens.slip import Slip
from tui.app.show import lines, words
from tui.app.widgets.key_hints import KeyHints

TRAINING = N_(
    "This is training. On a real vehicle its manual, local rules and licensed practice come first. "
    "Vehicles, people and places are invented."
)


_PLAIN = ("scroll_", "page_", "cursor_", "screen.copy", "first", "last", "help", "app.help", "app.focus_")
"""Actions that need no telling: moving about, and this help itself."""


def keys_of(screen: Screen) -> list[tuple[str, str]]:
    """Key and what it does, of everything that works where the cursor is."""
    found: dict[str, list[str]] = {}
    for active in screen.active_bindings.values():
        action = active.binding.action
        if active.enabled and active.binding.description and not action.startswith(_PLAIN):
            keys = found.setdefault(active.binding.description, [])
            display = screen.app.get_key_display(active.binding)
            if display not in keys:
                keys.append(display)
    return [(" ".join(keys), description) for description, keys in found.items()]


class HelpSlip(Slip[None]):
    """Contextual help."""

    HELP = N_("Escape closes this.")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,question_mark,enter,q", "dismiss(None)", "Close"),
        Binding("ctrl+l", "app.next_language", "Language", show=False),
    ]

    def __init__(self, about: str, keys: list[tuple[str, str]]) -> None:
        super().__init__()
        self.about, self.keys = about, keys

    def compose(self) -> ComposeResult:
        """What it is for, then the keys."""
        with VerticalScroll(classes="slip"):
            yield Static(Content(_("Help")), classes="slip-title", markup=False)
            yield Static(lines(*map(words, self.about.splitlines())), classes="slip-text", markup=False)
            yield Static(self._columns(), classes="slip-text", markup=False)
            yield Static(Content.styled(_(TRAINING), "italic"), classes="slip-text", markup=False)
            yield KeyHints(("Escape", N_("close"), "dismiss(None)"), classes="slip-keys")

    def _columns(self) -> Content:
        """The keys side by side, as many as there is room for, read downwards."""
        wide = max((len(keys) for keys, _ in self.keys), default=0)
        cell = wide + 2 + max((len(does) for _, does in self.keys), default=0) + 3
        columns = max(min(self.app.size.width - 8, 100) // cell, 1)
        height = -(-len(self.keys) // columns)
        told = []
        for row in range(height):
            parts: list[Content | tuple[str, str]] = []
            for keys, does in self.keys[row::height]:
                parts += [(keys.ljust(wide), "bold $primary"), Content(f"  {does}".ljust(cell - wide))]
            told.append(Content.assemble(*parts))
        return lines(*told)
