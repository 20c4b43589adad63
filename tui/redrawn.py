"""What a screen has that draws figures in units."""

from __future__ import annotations

from typing import Protocol, runtime_checkable


@runtime_checkable
class Redrawn(Protocol):
    """Can be asked to draw itself anew."""

    def redraw(self) -> None:
        """Draw everything again."""
