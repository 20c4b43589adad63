"""Where something behind the fault is left, the customer is back within the month: only physics decides."""

from dataclasses import replace

import pytest

from grading.fairness.proof_course import act, worked
from grading.marks.comeback import month_after
from scenarios.arrival import arriving_vehicle
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
HALF = {
    "hay-barn": (["replace-resistor-pack"], ["replace-resistor-pack", "replace-blower-motor"]),
    "tile-delivery": (["replace-blower-fuse"], ["repair-blower-wire"]),
    "linden-avenue": (["lift-and-dry-carpet"], ["clear-scuttle-drain"]),
}
"""Job to repairs that leave something behind, and to those that do not."""


@pytest.mark.parametrize("name", HALF)
def test_the_customer_is_back_after_half_a_repair_and_not_after_a_whole_one(name: str) -> None:
    for repairs, back in zip(HALF[name], (True, False), strict=True):
        session = worked(CATALOGUE, CATALOGUE.jobs[name], 1, repairs, [act("handback")])
        assert session.repairs == repairs
        month = month_after(CATALOGUE, CATALOGUE.jobs[name], session.recorder.entries)
        assert month is not None and (month.day is not None) == back, (repairs, month)


def test_luck_says_which_variant_of_a_fault_a_vehicle_has() -> None:
    job = CATALOGUE.jobs["singing-lesson"]
    shut = [float(arriving_vehicle(CATALOGUE, job, seed)[0]["recirculation_rest"][0]) for seed in range(1, 13)]
    assert set(shut) == {1.0}
    drawn = replace(job, faults=(replace(job.faults[0], luck=None),))
    rests = {float(arriving_vehicle(CATALOGUE, drawn, seed)[0]["recirculation_rest"][0]) for seed in range(1, 13)}
    assert rests == {0.0, 1.0}
