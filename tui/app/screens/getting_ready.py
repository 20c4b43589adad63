"""Waiting for the physics, which is compiled once on a machine."""

from __future__ import annotations

import threading
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from scenarios.language import N_, _
from tui.app.screens.slip import Slip
from tui.app.warm_up import Physics
from tui.app.widgets.key_hints import KeyHints


class GettingReady(Slip[bool]):
    """Gives True once the physics is ready, False if the person would rather not wait."""

    HELP = N_("The laws of physics are turned into machine code once on each machine. It takes about a minute.")
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss(False)", "Back to the board")]

    def __init__(self, physics: Physics, needed: threading.Event | None = None) -> None:
        """needed: what of the physics is waited for, its being ready if not given."""
        super().__init__()
        self.physics, self.needed = physics, needed or physics.ready

    def compose(self) -> ComposeResult:
        """What is going on."""
        with Vertical(classes="slip"):
            yield Static(Content(self._state()), classes="slip-title", id="state", markup=False)
            yield Static(Content(_("The job opens by itself.")), classes="slip-text", markup=False)
            yield KeyHints(("Escape", N_("back to the board"), "dismiss(False)"), classes="slip-keys")

    def on_mount(self) -> None:
        """Look every now and then."""
        self.set_interval(0.2, self.look)

    def _state(self) -> str:
        waits_for_code = self.needed is self.physics.compiled and self.physics.ready.is_set()
        return self.physics.compiling if waits_for_code and not self.physics.failed else self.physics.state

    def look(self) -> None:
        """Go on once it is ready."""
        self.query_one("#state", Static).update(Content(self._state()))
        if self.needed.is_set() and not self.physics.failed:
            self.dismiss(True)
