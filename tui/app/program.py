"""The application as its screens know it."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.message_pump import MessagePump

if TYPE_CHECKING:
    from tui.app.app import Lukewarm


def program(part: MessagePump) -> Lukewarm:
    """The application that a screen or widget belongs to."""
    return cast("Lukewarm", part.app)
