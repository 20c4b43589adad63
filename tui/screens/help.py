"""Help for where one is: what this screen is for, and every key that works on it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from tui.screens.slip import Slip
from tui.show import lines, words

TRAINING = (
    "This is training. On a real vehicle its manual, local rules and licensed practice come first. "
    "Vehicles, people and places are invented."
)


def keys_of(screen: Screen) -> list[tuple[str, str]]:
    """Key and what it does, of everything that works where the cursor is."""
    found: dict[str, list[str]] = {}
    for active in screen.active_bindings.values():
        if active.enabled and active.binding.description and active.binding.action not in ("help",):
            keys = found.setdefault(active.binding.description, [])
            display = screen.app.get_key_display(active.binding)
            if display not in keys:
                keys.append(display)
    return [(" ".join(keys), description) for description, keys in found.items()]


class HelpSlip(Slip[None]):
    """Contextual help."""

    HELP = "Escape closes this."
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,question_mark,enter,q", "dismiss(None)", "Close")]

    def __init__(self, about: str, keys: list[tuple[str, str]]) -> None:
        super().__init__()
        self.about, self.keys = about, keys

    def compose(self) -> ComposeResult:
        """What it is for, then the keys."""
        width = max((len(keys) for keys, _ in self.keys), default=0)
        listed = [Content.assemble((keys.ljust(width), "bold $primary"), "  ", does) for keys, does in self.keys]
        with VerticalScroll(classes="slip"):
            yield Static(Content("Help"), classes="slip-title", markup=False)
            yield Static(lines(*map(words, self.about.splitlines())), classes="slip-text", markup=False)
            yield Static(lines(*listed), classes="slip-text", markup=False)
            yield Static(Content.styled(TRAINING, "italic"), classes="slip-text", markup=False)
            yield Static(Content("Escape  close"), classes="slip-keys", markup=False)
