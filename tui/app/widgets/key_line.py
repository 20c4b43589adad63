"""The last line of a screen: its keys with what they do, to be read and to be clicked.

Textual's own footer is a widget for each key, built once the screen stands and again with every change of the focus;
this is one line of text, there with the first picture.
"""

from __future__ import annotations

from textual.content import Content
from textual.reactive import reactive
from textual.screen import Screen

from tui.app.widgets.pieces import Pieces


class KeyLine(Pieces):
    """What can be done by key where the focus is. ``keys``: key, its sign, what it does."""

    DEFAULT_CSS = """
    KeyLine { dock: bottom; width: 100%; height: 1; text-wrap: nowrap; background: $panel; }
    """

    keys: reactive[tuple[tuple[str, str, str], ...]] = reactive(())

    def on_mount(self) -> None:
        """Follow what the screen offers."""
        self.screen.bindings_updated_signal.subscribe(self, self._follow)
        self.screen.call_later(self.screen.refresh_bindings)  # once it is mounted: before, its keys do nothing

    def _follow(self, screen: Screen) -> None:
        if not self.is_attached or (self.keys and not self.app.app_focus):  # the focus comes back with the terminal's
            return
        first_of_each = {}
        for active in screen.active_bindings.values():
            if active.binding.show:
                first_of_each.setdefault(active.binding.action, active.binding)
        self.keys = tuple(
            (binding.key, self.app.get_key_display(binding), binding.description) for binding in first_of_each.values()
        )

    def pieces(self) -> list[Content]:
        """Each key with what it does."""
        return [
            Content.assemble((f" {sign} ", "bold $footer-key-foreground"), f"{does} ").stylize(
                "on $block-hover-background" if index == self.pointed else ""
            )
            for index, (_key, sign, does) in enumerate(self.keys)
        ]

    def pick(self, index: int) -> None:
        """Do what the key does."""
        self.app.simulate_key(self.keys[index][0])
