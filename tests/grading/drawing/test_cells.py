"""How a plan is shared out over the jobs of a version."""

from collections import Counter
from dataclasses import replace

import pytest

from grading.drawing.cells import ANY, COMES_AND_GOES, NOTHING, STEADY, TWO, cells_of, faults_for
from grading.drawing.plan import Plan
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
PLAN = Plan(jobs=40, nothing_wrong=0.1, two_faults=0.05, come_and_go=0.25, earlier_work=0.3)


def test_shares_are_kept_to_the_nearest_job() -> None:
    cells = cells_of(PLAN, CATALOGUE, 1)
    assert Counter(cell.kind for cell in cells) == {NOTHING: 4, TWO: 2, COMES_AND_GOES: 10, STEADY: 24}
    assert sum(cell.earlier_work for cell in cells) == 12
    assert [cell.number for cell in cells] == list(range(40))


def test_without_a_share_faults_that_come_and_go_are_as_frequent_as_their_rates() -> None:
    assert Counter(cell.kind for cell in cells_of(replace(PLAN, come_and_go=None), CATALOGUE, 1))[ANY] == 34


def test_shares_of_everything_leave_no_other_job() -> None:
    whole = Plan(jobs=3, nothing_wrong=1.0)
    assert {cell.kind for cell in cells_of(whole, CATALOGUE, 5)} == {NOTHING}
    assert Counter(cell.kind for cell in cells_of(Plan(jobs=3, nothing_wrong=0.5, two_faults=0.5), CATALOGUE, 5)) == {
        NOTHING: 2,
        TWO: 1,
    }


def test_systems_and_vehicles_are_drawn_equally_often() -> None:
    plan = replace(PLAN, systems=("blower", "doors", "coolant"), vehicles=("hatch", "van", "pickup"))
    cells = cells_of(plan, CATALOGUE, 2)
    for count in (Counter(cell.system for cell in cells), Counter(cell.vehicle for cell in cells)):
        assert max(count.values()) - min(count.values()) <= 1 and len(count) == 3


def test_another_seed_gives_another_order() -> None:
    assert cells_of(PLAN, CATALOGUE, 1) == cells_of(PLAN, CATALOGUE, 1) != cells_of(PLAN, CATALOGUE, 2)


def test_a_vehicle_is_chosen_that_can_have_the_fault() -> None:
    vehicles = CATALOGUE.vehicles
    plan = Plan(jobs=30, systems=tuple({fault.system for fault in CATALOGUE.faults.values() if fault.changes}))
    for cell in cells_of(replace(plan, come_and_go=0.5), CATALOGUE, 3):
        eligible = faults_for(CATALOGUE, vehicles[cell.vehicle], cell.kind, cell.system)
        assert cell.kind == NOTHING or eligible
        assert all(fault.changes and fault.system == cell.system for fault in eligible)
        if cell.kind in (STEADY, COMES_AND_GOES):
            assert all(fault.comes_and_goes == (cell.kind == COMES_AND_GOES) for fault in eligible)


def test_a_plan_that_no_vehicle_can_meet_is_refused() -> None:
    steady = {fault.system for fault in CATALOGUE.faults.values() if fault.changes}
    going = {fault.system for fault in CATALOGUE.faults.values() if fault.changes and fault.comes_and_goes}
    (system, *_) = sorted(steady - going)
    with pytest.raises(ValueError, match=system):
        cells_of(Plan(jobs=2, systems=(system,), come_and_go=1.0, nothing_wrong=0.0), CATALOGUE, 1)
