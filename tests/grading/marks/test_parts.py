"""Parts: every fault of the vehicle cured, nothing fitted that was not needed, and no complaint in the month after."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.comeback import Comeback
from grading.marks.grade import grade_case
from grading.marks.workmanship import parts
from scenarios.model import Catalogue
from tests.grading.cases import RUBRIC, case, did, marking

TOP_UP = 2.5
"""Marks that a needless top-up costs: 15 minutes and a small part's 15, against 1,200 minutes that leave none."""
THERMOSTAT = 5.0
"""The same of a thermostat: 45 minutes and a small part's 15."""


def changed(fault: str, **changes: object) -> Catalogue:
    """The catalogue with one fault changed."""
    known = marking()
    return replace(known, faults=known.faults | {fault: replace(known.faults[fault], **changes)})  # pyright: ignore[reportArgumentType]


def marks(
    *repairs: str, truth: tuple[str, ...] = ("coolant-low",), stays: bool = False, catalogue: Catalogue | None = None
) -> float:
    return parts(case(*(did("repair", name) for name in repairs), truth=truth, catalogue=catalogue), stays)[0]


@pytest.mark.parametrize(
    ("fault", "repairs", "expected"),
    [
        ("coolant-low", ("top-up",), 100.0),
        ("coolant-low", ("top-up", "top-up"), 100.0),
        ("coolant-low", (), 30.0),
        ("thermostat-stuck-open", (), 30.0),
        ("coolant-low", ("top-up", "renew-thermostat"), 100.0 - THERMOSTAT),
        ("coolant-low", ("top-up", "renew-thermostat", "renew-thermostat"), 100.0 - 2.0 * THERMOSTAT),
        ("coolant-low", ("renew-thermostat",), 30.0 - THERMOSTAT),
        ("coolant-low", ("renew-thermostat",) * 7, 0.0),
        ("thermostat-stuck-open", ("renew-thermostat", "top-up"), 100.0 - TOP_UP),
        ("coolant-low", ("top-up", "new-hose"), 100.0 - 100.0 * (15.0 + 200.0) / 1200.0),  # a large part
        ("coolant-low", ("top-up", "renew-motor"), 100.0 - 100.0 * (15.0 + 60.0) / 1200.0),  # a medium one
        # What only helps for a while costs nothing and cures nothing.
        ("hose-leaks", ("top-up",), 30.0),
        ("hose-leaks", ("top-up", "new-hose"), 100.0),
        ("hose-leaks", ("new-hose",), 100.0),
        # Nothing cures a vehicle that is sound.
        ("none", (), 100.0),
        ("none", ("top-up",), 100.0 - TOP_UP),
    ],
)
def test_one_fault(fault: str, repairs: tuple[str, ...], expected: float) -> None:
    assert marks(*repairs, truth=(fault,)) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("repairs", "expected"),
    [
        (("top-up", "renew-motor"), 100.0),
        (("renew-motor", "top-up"), 100.0),
        (("top-up",), 30.0),
        (("renew-motor",), 30.0),
        ((), 30.0),
        (("top-up", "renew-motor", "renew-thermostat"), 100.0 - THERMOSTAT),
        (("top-up", "renew-thermostat"), 30.0 - THERMOSTAT),
    ],
)
def test_of_two_faults_each_must_be_cured(repairs: tuple[str, ...], expected: float) -> None:
    assert marks(*repairs, truth=("coolant-low", "motor-dead")) == pytest.approx(expected)


def test_a_repair_may_cure_both() -> None:
    catalogue = changed("motor-dead", cured_by=("top-up",))
    assert marks("top-up", truth=("coolant-low", "motor-dead"), catalogue=catalogue) == 100.0


def test_work_that_goes_with_one_cure_may_cure_the_other() -> None:
    """Renewing a thermostat fills and bleeds the loop: nothing was needless, and nothing is left."""
    catalogue = changed("coolant-low", cured_in_passing=("renew-thermostat",))
    both = ("thermostat-stuck-open", "coolant-low")
    assert marks("renew-thermostat", truth=both, catalogue=catalogue) == 100.0
    assert marks("top-up", truth=both, catalogue=catalogue) == 30.0


def test_work_done_within_a_check_cures_and_costs_no_parts() -> None:
    """A bleed done as a check is a bleed, where the data says that it cures."""
    known = changed("coolant-low", cured_in_passing=("gauge",))
    bleeds = replace(known, checks=known.checks | {"gauge": replace(known.checks["gauge"], does=("bleed",))})
    assert parts(case(did("check", "gauge"), catalogue=bleeds), False)[0] == 100.0
    assert parts(case(did("check", "gauge"), catalogue=known), False)[0] == 30.0  # one that only looks


def test_a_fault_that_no_repair_cures_is_held_against_nobody() -> None:
    catalogue = changed("motor-dead", cured_by=())
    assert marks("top-up", truth=("coolant-low", "motor-dead"), catalogue=catalogue) == 100.0
    assert marks(truth=("motor-dead",), catalogue=catalogue) == 100.0


def test_a_cure_in_passing_alone_cures_and_was_not_needed() -> None:
    catalogue = changed("coolant-low", cured_in_passing=("renew-thermostat",))
    assert marks("renew-thermostat", catalogue=catalogue) == 100.0 - THERMOSTAT


def test_what_relieves_is_not_needless_even_where_it_cures_in_passing() -> None:
    catalogue = changed("hose-leaks", cured_in_passing=("top-up",))
    assert marks("top-up", truth=("hose-leaks",), catalogue=catalogue) == 100.0


def test_a_sound_vehicle_wants_explaining_where_that_is_a_repair() -> None:
    known = marking()
    explain = replace(known.repairs["top-up"], id="explain", cost="none", minutes=10.0)
    catalogue = replace(changed("none", cured_by=("explain",)), repairs=known.repairs | {"explain": explain})
    assert marks("explain", truth=("none",), catalogue=catalogue) == 100.0
    assert marks(truth=("none",), catalogue=catalogue) == 30.0


@pytest.mark.parametrize(
    ("repairs", "stays", "expected"),
    [
        (("top-up",), False, 100.0),
        (("top-up",), True, 30.0),
        ((), True, 30.0),
        (("top-up", "renew-thermostat"), True, 30.0 - THERMOSTAT),
    ],
)
def test_a_complaint_in_the_month_after_costs_as_much_as_no_repair(
    repairs: tuple[str, ...], stays: bool, expected: float
) -> None:
    assert marks(*repairs, stays=stays) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("truth", "repairs", "reasons"),
    [
        (("coolant-low",), ("top-up",), []),
        (("coolant-low",), (), ["the fault was not repaired"]),
        (("coolant-low",), ("top-up", "new-hose"), ["not needed: Renew the hose"]),
        (("coolant-low", "motor-dead"), ("top-up",), ["not repaired: motor dead"]),
        (("coolant-low", "motor-dead"), (), ["not repaired: coolant low, motor dead"]),
    ],
)
def test_it_says_what_was_needless_and_what_was_left(
    truth: tuple[str, ...], repairs: tuple[str, ...], reasons: list[str]
) -> None:
    found = parts(case(*(did("repair", name) for name in repairs), truth=truth), False)[1]
    assert list(map(str, found)) == reasons


def test_poor_work_costs_whatever_comes_of_it_each_kind_once() -> None:
    known = marking()
    water = replace(known.repairs["top-up"], poor_work="thinned with water")
    catalogue = replace(known, repairs=known.repairs | {"top-up": water})
    assert marks("top-up", "top-up", catalogue=catalogue) == pytest.approx(80.0)
    _, said = parts(case(did("repair", "top-up"), truth=("coolant-low",), catalogue=catalogue), False)
    assert list(map(str, said)) == ["bad workmanship: thinned with water"]


@pytest.mark.parametrize(
    ("before", "expected"),
    [
        ({}, 5.0),
        ({"thermostat-stuck-open": 0.6}, 2.0),
        ({"thermostat-stuck-open": 0.6, "hose-leaks": 0.4}, 2.0),  # which a thermostat would not cure
        ({"thermostat-stuck-open": 1.0}, 0.0),
        ({"thermostat-stuck-open": 1.1}, 0.0),  # two faults may be believed in at once
    ],
)
def test_a_wrong_repair_costs_less_where_much_spoke_for_it(before: dict[str, float], expected: float) -> None:
    fitted = did("repair", "renew-thermostat", before=before), did("repair", "top-up")
    assert parts(case(*fitted), False)[0] == pytest.approx(100.0 - expected)


def test_who_sets_the_bar_says_how_much_needless_work_leaves_no_marks() -> None:
    strict = replace(RUBRIC, needless=60.0)
    assert parts(case(did("repair", "renew-thermostat"), did("repair", "top-up"), rubric=strict), False)[0] == 0.0


@pytest.mark.parametrize(
    ("fault", "repairs", "temporary", "expected"),
    [
        ("hose-leaks", ("top-up",), True, 60.0),
        ("hose-leaks", ("top-up",), False, 30.0),
        ("hose-leaks", (), True, 30.0),  # not even relieved
        ("hose-leaks", ("top-up", "new-hose"), True, 100.0),
        ("thermostat-stuck-open", ("top-up",), True, 30.0 - TOP_UP),
    ],
)
def test_a_relief_counts_where_it_is_handed_over_as_one(
    fault: str, repairs: tuple[str, ...], temporary: bool, expected: float
) -> None:
    done = (did("repair", name) for name in repairs)
    assert parts(case(*done, truth=(fault,)), False, temporary)[0] == pytest.approx(expected)


def test_a_relief_that_did_not_last_counts_for_nothing() -> None:
    one = case(did("repair", "top-up"), truth=("hose-leaks",))
    assert parts(one, True, True)[0] == 30.0
    assert list(map(str, parts(one, False, True)[1])) == [
        "handed over as a temporary repair, cause not cured: a hose leaks"
    ]


def test_where_the_fault_is_to_be_found_alone_nothing_is_left() -> None:
    one = case(did("diagnose", "coolant-low", 90.0))
    assert parts(replace(one, job=replace(one.job, diagnosis_only=True)), False) == (100.0, [])


@pytest.mark.parametrize(
    ("repairs", "renews", "needless"),
    [
        (("top-up", "new-hose"), (), False),  # relieved first
        (("new-hose", "top-up"), (), True),  # there is nothing left to relieve
        (("top-up", "new-hose"), ("lift_least",), True),  # a sound part was renewed, and filling after it relieved
    ],
)
def test_what_relieves_is_needed_while_the_fault_is_there_and_no_sound_part_is_renewed(
    repairs: tuple[str, ...], renews: tuple[str, ...], needless: bool
) -> None:
    known = marking()
    catalogue = replace(known, repairs=known.repairs | {"top-up": replace(known.repairs["top-up"], renews=renews)})
    lost = TOP_UP if needless else 0.0
    assert marks(*repairs, truth=("hose-leaks",), catalogue=catalogue) == pytest.approx(100.0 - lost)


@pytest.mark.parametrize(
    ("handback", "day", "expected"),
    [
        ((), None, 30.0),
        (("temporary repair",), None, 60.0),
        (("temporary repair",), 8, 60.0),  # it held for its week
        (("temporary repair",), 7, 30.0),
    ],
)
def test_a_temporary_repair_is_marked_as_one(handback: tuple[str, ...], day: int | None, expected: float) -> None:
    done = did("diagnose", "hose-leaks", 90.0), did("repair", "top-up"), did("handback", *handback)
    grade = grade_case(case(*done, truth=("hose-leaks",)), Comeback(day, "", False))
    assert grade.criteria["parts"] == expected
