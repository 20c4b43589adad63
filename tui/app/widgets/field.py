"""A line to type into, where keys that come in one burst are taken in the order in which they were typed."""

from __future__ import annotations

from textual import events
from textual.widgets import Input


class Field(Input):
    """An input. The base class inserts a letter at once but lets an editing key travel through the screen first, so
    that of a burst the letters would come before the keys that were to clear the line for them.
    """

    async def _on_key(self, event: events.Key) -> None:
        done = False
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            done = await self.app.run_action(binding.action, self) or done
        if done:
            event.stop()
            event.prevent_default()
        else:
            await super()._on_key(event)
