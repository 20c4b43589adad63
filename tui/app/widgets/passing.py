"""Progress line of an action that is played back; while it has the focus, any key skips to the end."""

from __future__ import annotations

from textual import events
from textual.content import Content
from textual.message import Message

from scenarios.language import N_, _
from tui.app.widgets.paper import Paper


class Passing(Paper, can_focus=True):
    """A line with a progress bar and the name of the action."""

    HELP = N_("Time is played many times faster than life. Any key skips to its end; nothing is lost by it.")

    DEFAULT_CSS = """
    Passing { dock: bottom; height: 1; width: 100%; display: none; background: $panel; }
    """

    class Skipped(Message):
        """A key was pressed, or the line was clicked."""

    def __init__(self) -> None:
        super().__init__()

    def tell(self, what: str, share: float) -> None:
        """Show the action and its progress; share: 0..1."""
        full = round(share * 20)
        bar = (("▰" * full, "$primary"), ("▱" * (20 - full), "$secondary"))
        self.write(Content.assemble(" ", *bar, "  ", (what, "bold"), ("   " + _("any key skips"), "$secondary")))

    def on_key(self, event: events.Key) -> None:
        """Skip."""
        event.stop()
        event.prevent_default()
        self.post_message(self.Skipped())

    def on_click(self) -> None:
        """Skip."""
        self.post_message(self.Skipped())
