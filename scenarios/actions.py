"""What a person can do in a job, as data: a verb and its arguments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scenarios.language import Text


class NotPossible(ValueError):
    """An action is not possible as things stand; the text says what is wrong and what was expected."""


@dataclass(frozen=True, slots=True)
class Action:
    """verb: one of VERBS; arguments: texts and numbers, in the order of the text interface; message: text of a hint."""

    verb: str
    arguments: tuple[str | float, ...] = ()
    message: Text | None = None

    def text(self, index: int) -> str:
        """Argument as text."""
        return str(self.arguments[index])

    def number(self, index: int) -> float:
        """Argument as a number."""
        return float(self.arguments[index])


PHYSICAL = frozenset({"check", "set", "ignition", "engine", "rev", "idle", "drive", "wait", "go", "repair"})
"""Verbs that act on the vehicle; the others are only recorded."""
VERBS = (*sorted(PHYSICAL), "suspect", "diagnose", "note", "hint", "handback")
"""All verbs. Records contain them, so a verb must never be renamed."""
ALSO = "also"
"""Third argument of a diagnosis that is added to earlier ones. Records contain it, so it must never be renamed."""
CONTROLS = frozenset({"set", "ignition", "engine"})
"""Verbs that only move a control."""


def standing(actions: Sequence[Action]) -> list[int]:
    """Indices of the diagnoses that are in force after the actions, the latest last.

    A diagnosis replaces the earlier ones unless it is declared in addition to them (ALSO). One that is declared again
    moves to the end.
    """
    stands: dict[str, int] = {}
    for index, action in enumerate(actions):
        if action.verb == "diagnose":
            if action.arguments[2:] != (ALSO,):
                stands.clear()
            stands.pop(action.text(0), None)
            stands[action.text(0)] = index
    return list(stands.values())
