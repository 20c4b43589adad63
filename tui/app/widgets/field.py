"""A line to type into, where keys that come in one burst are taken in the order in which they were typed."""

from __future__ import annotations

from textual import events
from textual.binding import Binding
from textual.widgets import Input

_EDITS = {binding.key: binding.action for binding in Binding.make_bindings(Input.BINDINGS)}
"""What the keys of an input do that are no letters."""


class Field(Input):
    """An input. The base class inserts a letter at once but lets an editing key travel through the screen first, so
    that of a burst the letters would come before the keys that were to clear the line for them.
    """

    @staticmethod
    def takes(event: events.Key) -> bool:
        """Whether a key types or edits here, and does no more than that."""
        return event.is_printable or (event.key in _EDITS and event.key != "enter")

    async def on_key(self, event: events.Key) -> None:
        """Do at once what an editing key does; whatever else is typed is left to the base class."""
        action = _EDITS.get(event.key)
        if action is not None and await self.app.run_action(action, self):
            event.stop()
            event.prevent_default()
