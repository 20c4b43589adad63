"""What a person can do in a job, as data: a verb and its arguments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scenarios.language import Text


class NotPossible(ValueError):
    """An action that cannot be done as asked; the text says what is wrong and what was expected."""


@dataclass(frozen=True, slots=True)
class Action:
    """verb: of VERBS; arguments: texts and numbers, in the order of the text interface; message: what a hint said."""

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
"""Verbs that the vehicle feels; the others are marks in the record."""
VERBS = (*sorted(PHYSICAL), "suspect", "diagnose", "note", "hint", "handback")
"""All verbs. Records name them: a verb keeps its name for good."""
ALSO = "also"
"""Third argument of a diagnosis that stands beside the ones before it. Records name it: it keeps its name."""
CONTROLS = frozenset({"set", "ignition", "engine"})
"""Verbs that only move a control."""


def standing(actions: Sequence[Action]) -> list[int]:
    """Indices of the diagnoses among actions that stand at their end, the latest declared last.

    A diagnosis takes the place of those before it, unless it is declared beside them; one declared again is renewed.
    """
    stands: dict[str, int] = {}
    for index, action in enumerate(actions):
        if action.verb == "diagnose":
            if action.arguments[2:] != (ALSO,):
                stands.clear()
            stands.pop(action.text(0), None)
            stands[action.text(0)] = index
    return list(stands.values())
