"""The moment whose belief a diagnosis counts with, and that its error is of the same moment."""

from __future__ import annotations

import numpy as np
import pytest

from grading.marks.criteria import counting_step
from grading.marks.replay import Step
from scenarios.actions import Action
from tests.grading.cases import marking

LOW, HOSE = marking().faults["coolant-low"], marking().faults["hose-leaks"]


def steps(*actions: tuple[str, ...]) -> list[Step]:
    """Step k begins with a belief of k and an error of k / 100, and ends with one more."""

    def at(value: float) -> np.ndarray:
        return np.array([value])

    return [
        Step(k, Action(verb, tuple(rest)), k, 1.0, (), at(k), at(k / 100), at(k + 1), at((k + 1) / 100), 0.0, None)
        for k, (verb, *rest) in enumerate(actions)
    ]


CHECK, SAID, TOP_UP, HOSE_REPAIR = (
    ("check", "gauge"),
    ("diagnose", "coolant-low"),
    ("repair", "top-up"),
    ("repair", "new-hose"),
)


@pytest.mark.parametrize(
    ("actions", "declared", "moment"),
    [
        ((CHECK, SAID), LOW, 2),
        ((CHECK, SAID, CHECK, SAID), LOW, 4),  # the last diagnosis
        ((CHECK, TOP_UP, CHECK, SAID), LOW, 1),  # before a part was tried
        ((CHECK, SAID, TOP_UP, CHECK, SAID), LOW, 2),
        ((CHECK, TOP_UP, HOSE_REPAIR, SAID), LOW, 1),  # the first of them
        ((CHECK, TOP_UP, CHECK, SAID), HOSE, 4),  # which relieves a leak and is no trial of parts
        ((CHECK, TOP_UP, HOSE_REPAIR, SAID), HOSE, 2),
        ((CHECK, TOP_UP, CHECK), None, 3),  # nothing was declared: as far as it went
        ((CHECK, TOP_UP, CHECK), LOW, 3),
        ((CHECK, SAID, CHECK), None, 3),
    ],
)
def test_belief_and_error_are_of_one_moment(
    actions: tuple[tuple[str, ...], ...], declared: object, moment: int
) -> None:
    counting = counting_step(steps(*actions), declared)  # pyright: ignore[reportArgumentType]
    assert counting is not None
    assert (counting.after[0], counting.error[0]) == (moment, moment / 100)


def test_of_nothing_done_nothing_counts() -> None:
    assert counting_step([], None) is None
