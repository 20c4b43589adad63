"""What screens and their parts have that can be drawn again: in other units, in another language."""

from __future__ import annotations

from typing import Protocol, runtime_checkable


@runtime_checkable
class Redrawn(Protocol):
    """Can be asked to draw itself anew."""

    def redraw(self) -> None:
        """Draw everything again."""


@runtime_checkable
class Reworded(Protocol):
    """Can be asked to say again, in the language chosen, what it was given once; the rest comes with ``redraw``."""

    def reword(self) -> None:
        """Say it again."""
