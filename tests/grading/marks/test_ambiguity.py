"""Which faults count as one: those still believed in that no check tells from the declared one."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from grading.marks import ambiguity
from grading.marks.ambiguity import group_of, told_apart
from grading.marks.grade import Judge
from tests.grading.workbench import SEED, bench, with_fault, with_twin

NAMES = ("low", "leak", "valve", "none")
IMAGINED: Any = SimpleNamespace(faults=[SimpleNamespace(id=name) for name in NAMES])
LOW, LEAK, VALVE, NONE = range(4)


@pytest.mark.parametrize(
    ("declared", "belief", "apart", "group"),
    [
        (LOW, (0.5, 0.5, 0.0, 0.0), {(LOW, LEAK): False}, {"low", "leak"}),
        (LOW, (0.5, 0.5, 0.0, 0.0), {(LOW, LEAK): True}, {"low"}),
        (LEAK, (0.5, 0.5, 0.0, 0.0), {(LOW, LEAK): False}, {"low", "leak"}),  # whichever is declared
        # Who is no longer believed in takes nothing away.
        (LOW, (0.98, 0.02, 0.0, 0.0), {(LOW, LEAK): False}, {"low", "leak"}),
        (LOW, (0.981, 0.019, 0.0, 0.0), {(LOW, LEAK): False}, {"low"}),
        # What is declared counts whatever is believed of it.
        (NONE, (0.5, 0.5, 0.0, 0.0), {(LOW, NONE): True, (LEAK, NONE): False}, {"none", "leak"}),
        # Those like the declared one need not be like each other, and are not asked about.
        (LOW, (0.4, 0.3, 0.3, 0.0), {(LOW, LEAK): False, (LOW, VALVE): False}, {"low", "leak", "valve"}),
    ],
)
def test_a_group_holds_what_no_check_tells_from_the_declared_fault(
    declared: int, belief: tuple[float, ...], apart: dict[tuple[int, int], bool], group: set[str]
) -> None:
    known = {frozenset(pair): told for pair, told in apart.items()}
    assert group_of(IMAGINED, declared, np.array(belief), known) == group


def test_each_pair_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[int, int]] = []

    def ask(_imagined: object, one: int, other: int) -> bool:
        asked.append((one, other))
        return other == VALVE

    monkeypatch.setattr(ambiguity, "told_apart", ask)
    known: dict[frozenset[int], bool] = {}
    belief = np.array([0.4, 0.3, 0.3, 0.0])
    for _ in range(2):
        assert group_of(IMAGINED, LOW, belief, known) == {"low", "leak"}
    assert asked == [(LOW, LEAK), (LOW, VALVE)]
    assert known == {frozenset({LOW, LEAK}): False, frozenset({LOW, VALVE}): True}


def test_a_twin_is_told_by_no_check_and_a_thermostat_by_one() -> None:
    catalogue, job = with_fault(with_twin(bench()), "coolant-low")
    imagined = Judge(catalogue, job, SEED).imagined
    low, twin, thermostat = (
        [fault.id for fault in imagined.faults].index(name) for name in ("coolant-low", "twin", "thermostat-stuck-open")
    )
    assert not told_apart(imagined, low, twin)
    assert not told_apart(imagined, twin, low)
    assert told_apart(imagined, low, thermostat)
