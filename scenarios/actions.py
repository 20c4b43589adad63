"""What a person can do in a job, as data: a verb and its arguments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scenarios.language import Text, say


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


def cannot_be(control: str, given: str, expected: str) -> str:
    """Why a control cannot be set as given, in the chosen language; expected: what it can be set to."""
    return say("{control} cannot be '{given}', expected one of: {names}", control=control, given=given, names=expected)


def within(value: float, low: float, high: float, name: str) -> float:
    """The value, if it lies from low to high; name: what it is, in the chosen language. Raises NotPossible."""
    if not low <= value <= high:
        raise NotPossible(
            say("{name} cannot be {value:g}, expected {low:g} to {high:g}", name=name, value=value, low=low, high=high)
        )
    return value
