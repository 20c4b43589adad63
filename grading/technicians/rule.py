"""A rule of the trade: what is known, what follows for the suspects, and what to look at next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from grading.technicians.notes import Notes

Condition = Callable[[Notes], bool]

PROVES, POINTS, HINTS, AGAINST, CLEARS = 10.0, 4.0, 1.5, -3.0, -12.0
"""Weight of a rule for a suspect: seen to be so, points to it, a hint, speaks against it, ruled out (ours)."""


@dataclass(frozen=True)
class Rule:
    """level: the least skill that knows it; says: the rule in a technician's words; when: whether what is known says
    so; weights: suspect, by the id of a fault, to weight; then: ids of checks to do next.
    """

    level: int
    says: str
    when: Condition
    weights: dict[str, float]
    then: tuple[str, ...]


def rule(
    level: int,
    says: str,
    when: Condition,
    *,
    proves: str = "",
    points: str = "",
    hints: str = "",
    against: str = "",
    clears: str = "",
    then: str = "",
) -> Rule:
    """A rule; ids of suspects and checks are separated by blanks."""
    said = ((CLEARS, clears), (AGAINST, against), (HINTS, hints), (POINTS, points), (PROVES, proves))
    weights = {name: weight for weight, names in said for name in names.split()}
    return Rule(level, says, when, weights, tuple(then.split()))


def word(check: str, *words: str, reading: int = 0) -> Condition:
    """Whether a check was done and showed one of some words."""
    return lambda notes: notes.word(check, reading) in words


def below(check: str, limit: float, reading: int = 0) -> Condition:
    """Whether a check was done and its figure is below a limit."""
    return lambda notes: (value := notes.figure(check, reading)) is not None and value < limit


def above(check: str, limit: float, reading: int = 0) -> Condition:
    """Whether a check was done and its figure is above a limit."""
    return lambda notes: (value := notes.figure(check, reading)) is not None and value > limit


def differs(check: str, least: float) -> Condition:
    """Whether the second figure of a check exceeds its first by at least a difference."""

    def says(notes: Notes) -> bool:
        first, second = notes.figure(check, 0), notes.figure(check, 1)
        return first is not None and second is not None and second - first >= least

    return says


def noticed(label: str, *words: str) -> Condition:
    """Whether a perception was one of some words at any time in this job."""
    return lambda notes: any((label, word) in notes.noticed for word in words)


def has(equipment: str) -> Condition:
    """Whether the vehicle has some equipment, according to its handbook."""
    return lambda notes: equipment in notes.equipment


def told(*complaints: str) -> Condition:
    """Whether the customer has one of some complaints."""
    return lambda notes: any(kind in notes.complaints for kind in complaints)


def all_of(*conditions: Condition) -> Condition:
    """Whether all conditions hold."""
    return lambda notes: all(condition(notes) for condition in conditions)


def any_of(*conditions: Condition) -> Condition:
    """Whether any condition holds."""
    return lambda notes: any(condition(notes) for condition in conditions)


def none_of(*conditions: Condition) -> Condition:
    """Whether no condition holds."""
    return lambda notes: not any(condition(notes) for condition in conditions)


def done(check: str) -> Condition:
    """Whether a check was done."""
    return lambda notes: notes.done(check)


HOT_WORDS, COLD_WORDS = ("hot", "too hot to hold"), ("cold", "cool", "lukewarm")
HOT_HOSE_C, COLD_HOSE_C = 57.0, 45.0
"""Skin of a hose that a technician calls hot, and one that is not even warm [degC] (common practice, no source)."""


def hot_hose(which: str) -> Condition:
    """Whether a heater hose, feed or return, is hot by whichever way it was felt."""
    touch, infrared = f"heater-{which}-touch", f"heater-{which}-infrared"
    return any_of(word(touch, *HOT_WORDS), above(infrared, HOT_HOSE_C))


def cold_hose(which: str) -> Condition:
    """Whether a heater hose, feed or return, is not even warm."""
    touch, infrared = f"heater-{which}-touch", f"heater-{which}-infrared"
    return any_of(word(touch, *COLD_WORDS), below(infrared, COLD_HOSE_C))
