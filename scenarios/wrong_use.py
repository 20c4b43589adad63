"""The error raised for a request that cannot be met."""

from __future__ import annotations


class WrongUse(Exception):
    """A command cannot do what was asked; the text says what is wrong and what was expected."""
