"""A request that cannot be met as it was made."""

from __future__ import annotations


class WrongUse(Exception):
    """The command was asked for something it cannot do; the text says what is wrong and what was expected."""
