"""Efficiency: seven tenths for minutes, three for the number of checks, both against the reference's."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.criteria import efficiency, worked
from grading.reference.policy import ReferenceRun
from scenarios.actions import ALSO, Action
from scenarios.model import Catalogue
from tests.grading.cases import COURSE, Did, case, did, marking

ENOUGH = {"coolant-low": 0.85, "hose-leaks": 0.85, "none": 0.85}
SAID = did("diagnose", "coolant-low", 90.0)
SLOW = did("check", "gauge", minutes=12.0)
"""Against a reference of 2 minutes: (2 + 8) / (12 + 8) of the minutes."""


@pytest.mark.parametrize(
    ("done", "marks"),
    [
        ((did("check", "gauge", minutes=2.0),), 100.0),
        ((did("check", "gauge", minutes=0.5),), 100.0),  # nobody is paid for being quicker
        ((), 100.0),
        ((SLOW,), 65.0),
        ((did("check", "gauge", minutes=2.0), did("go", "engine bay", minutes=10.0)), 65.0),
        # Standing counts for a tenth.
        ((did("wait", 100.0, minutes=100.0), did("check", "gauge", minutes=2.0)), 65.0),
        # A quarter of an hour's running verifies the complaint, whichever way it runs.
        ((did("drive", 15.0, 50.0, minutes=15.0), did("check", "gauge", minutes=2.0)), 100.0),
        ((did("idle", 15.0, minutes=15.0), did("check", "gauge", minutes=2.0)), 100.0),
        ((did("rev", 1800.0, 15.0, minutes=15.0), did("check", "gauge", minutes=2.0)), 100.0),
        ((did("idle", 10.0, minutes=10.0), did("idle", 15.0, minutes=15.0), did("check", "gauge", minutes=2.0)), 65.0),
        # Protected checks take no time and are none.
        ((did("check", "vent-temperature", minutes=10.0), did("check", "gauge", minutes=2.0)), 100.0),
        ((did("check", "vent-temperature", minutes=10.0),) * 4, 100.0),
        # Checks beyond the reference's: (1 + 2) / (4 + 2) of them; once more is free.
        ((did("check", "gauge"),) * 5, 85.0),
        ((did("check", "gauge"),) * 3, 100.0 * (0.7 + 0.3 * 3.0 / 4.0)),
        ((did("check", "gauge"), did("check", "road-gauge")), 100.0 * (0.7 + 0.3 * 3.0 / 4.0)),
        ((did("check", "gauge", minutes=2.0), did("check", "gauge", minutes=9.0)), 100.0),
        # The third time counts.
        ((did("check", "gauge", minutes=2.0),) * 2 + (did("check", "gauge", minutes=10.0),), 35.0 + 22.5),
    ],
)
def test_minutes_and_checks_are_held_against_the_reference(done: tuple[Did, ...], marks: float) -> None:
    got, _ = efficiency(case(*done, SAID, belief=ENOUGH))
    assert got == pytest.approx(marks)


@pytest.mark.parametrize(
    ("course", "marks"),
    [
        (COURSE, 65.0),
        (replace(COURSE, minutes=12.0), 100.0),
        # What does not count for the person does not count for the reference.
        (ReferenceRun([Action("wait", (100.0,)), Action("check", ("gauge",))], ["gauge"], 102.0, belief=0.85), 100.0),
        (ReferenceRun([Action("wait", (100.0,))], ["gauge"], 92.0, belief=0.85), 65.0),
        (
            ReferenceRun([Action("drive", (10.0, 50.0)), Action("check", ("gauge",))], ["gauge"], 12.0, belief=0.85),
            65.0,
        ),
        (ReferenceRun([Action("check", ("vent-temperature",))], ["vent-temperature", "gauge"], 3.0, belief=0.85), 65.0),
        # Its checks, protected ones aside: (0 + 2) / (1 + 2) of them.
        (ReferenceRun([], ["vent-temperature"], 3.0, belief=0.85), 35.0 + 20.0),
        (ReferenceRun([], ["gauge", "road-gauge"], 2.0, belief=0.85), 65.0),
        (ReferenceRun([], ["gauge"], 0.0, belief=0.85), 100.0 * (0.7 * 8.0 / 20.0 + 0.3)),
    ],
)
def test_the_reference_is_counted_by_the_same_rules(course: ReferenceRun, marks: float) -> None:
    got, _ = efficiency(case(SLOW, SAID, belief=ENOUGH, course=course))
    assert got == pytest.approx(marks)


@pytest.mark.parametrize(
    ("belief", "error", "too_soon"),
    [
        (0.85, 0.0, 0.0),
        (0.75, 0.0, 24.0),
        (0.75, 0.1, 0.0),
        (0.65, 0.1, 24.0),
        (0.25, 0.0, 144.0),
        (0.845, 0.0, 1.2),
        (0.846, 0.0, 0.96),
    ],
)
def test_belief_that_was_lacking_costs_minutes_of_wrong_repairs(belief: float, error: float, too_soon: float) -> None:
    """240 minutes for a whole wrong repair, in proportion."""
    one = case(did("check", "gauge", minutes=2.0), SAID, belief={"coolant-low": belief}, error={"coolant-low": error})
    got, reasons = efficiency(one)
    assert got == pytest.approx(100.0 * (0.7 * 10.0 / (10.0 + too_soon) + 0.3))
    assert [str(reason) for reason in reasons] == (
        [f"declared too soon: that may cost {too_soon:.0f} minutes of wrong repairs"] if too_soon > 1.0 else []
    )


@pytest.mark.parametrize("faults", [("coolant-low", "hose-leaks"), ("hose-leaks", "coolant-low")])
def test_the_diagnosis_that_is_best_borne_out_says_whether_it_was_too_soon(faults: tuple[str, str]) -> None:
    both = did("diagnose", faults[0], 90.0), did("diagnose", faults[1], 90.0, ALSO)
    one = case(did("check", "gauge", minutes=2.0), *both, belief={"coolant-low": 0.85, "hose-leaks": 0.2})
    assert efficiency(one) == (pytest.approx(100.0), [])


def test_who_knows_the_right_part_has_not_stopped_too_soon() -> None:
    """Low coolant and a stuck thermostat as two failures of one part: 0.85 is believed in the part."""
    known = marking()
    stuck = known.faults["thermostat-stuck-open"]
    low = replace(known.faults["coolant-low"], part=stuck.part, cured_by=stuck.cured_by)
    one = case(
        did("check", "gauge", minutes=2.0),
        did("diagnose", "thermostat-stuck-open", 90.0),
        belief={"thermostat-stuck-open": 0.5, "coolant-low": 0.35},
        catalogue=replace(known, faults=known.faults | {"coolant-low": low}),
    )
    assert efficiency(one) == (pytest.approx(100.0), [])


DEAR = did("diagnose", "hose-leaks", 90.0)
IDLE = did("check", "road-gauge", minutes=10.0, bits=0.0)
CONFIRMED_AT_THE_VENTS = did("check", "vent-temperature", minutes=10.0, bits=0.0)
TELLING = did("check", "gauge", minutes=2.0)
TWO_CHECKS = 0.3 * 3.0 / 4.0


def with_hose_work_of(minutes: float) -> Catalogue:
    """The catalogue with a hose that takes so long to renew."""
    known = marking()
    return replace(known, repairs=known.repairs | {"new-hose": replace(known.repairs["new-hose"], minutes=minutes)})


@pytest.mark.parametrize(
    ("done", "repair", "counted"),
    [
        # A last look that tells nothing new is free up to 15 % of the work that follows.
        ((TELLING, IDLE, DEAR), 200.0, 2.0),
        ((TELLING, IDLE, DEAR), 40.0, 6.0),
        ((TELLING, IDLE, DEAR), 0.0, 12.0),
        ((TELLING, IDLE, did("diagnose", "none", 90.0)), 200.0, 12.0),  # nothing is to be done
        ((TELLING, did("check", "road-gauge", minutes=10.0, bits=0.019), DEAR), 200.0, 2.0),
        ((TELLING, did("check", "road-gauge", minutes=10.0, bits=0.02), DEAR), 200.0, 12.0),
        # Protected checks are free as it is.
        ((TELLING, did("check", "road-gauge", minutes=10.0), CONFIRMED_AT_THE_VENTS, DEAR), 200.0, 12.0),
    ],
)
def test_one_look_confirms_before_the_work(done: tuple[Did, ...], repair: float, counted: float) -> None:
    got, _ = efficiency(case(*done, belief=ENOUGH, catalogue=with_hose_work_of(repair)))
    assert got == pytest.approx(100.0 * (0.7 * 10.0 / (counted + 8.0) + TWO_CHECKS))


def test_only_the_last_such_look_is_free() -> None:
    idle = did("check", "heater-feed-infrared", minutes=20.0, bits=0.0)
    got, _ = efficiency(case(TELLING, idle, IDLE, DEAR, belief=ENOUGH, catalogue=with_hose_work_of(200.0)))
    assert got == pytest.approx(100.0 * (0.7 * 10.0 / 30.0 + 0.3 * 3.0 / 5.0))


@pytest.mark.parametrize(
    ("minutes", "checks", "marks"),
    [
        (None, None, 0.7 * 10.0 / 20.0 + 0.3 * 3.0 / 4.0),
        (16.0, 1, 0.7 * 10.0 / 20.0 + 0.3 * 3.0 / 4.0),  # the reference took longer
        (27.0, None, 0.7 + 0.3 * 3.0 / 4.0),  # the first quarter of an hour warms the engine and counts for nobody
        (22.0, None, 0.7 * 15.0 / 20.0 + 0.3 * 3.0 / 4.0),
        (None, 2, 0.7 * 10.0 / 20.0 + 0.3),
        (27.0, 2, 1.0),
    ],
)
def test_nobody_need_be_quicker_than_a_competent_technician(
    minutes: float | None, checks: int | None, marks: float
) -> None:
    one = case(TELLING, did("check", "road-gauge", minutes=10.0), SAID, belief=ENOUGH)
    one = replace(one, job=replace(one.job, competent_minutes=minutes, competent_checks=checks))
    assert efficiency(one)[0] == pytest.approx(100.0 * marks)


def test_what_is_done_after_the_diagnosis_takes_nobody_longer() -> None:
    after = did("repair", "top-up", minutes=60.0), did("check", "gauge", minutes=60.0), SAID
    assert efficiency(case(TELLING, SAID, *after, belief=ENOUGH))[0] == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("done", "minutes"),
    [
        ((SLOW, SAID), 12.0),
        ((did("wait", 100.0, minutes=100.0), SLOW, SAID), 22.0),  # standing counts for a tenth
        ((did("drive", 15.0, 50.0, minutes=15.0), CONFIRMED_AT_THE_VENTS, SAID), 25.0),  # nothing is free here
        ((SLOW, SAID, did("repair", "top-up", minutes=60.0)), 12.0),
        ((SLOW, did("repair", "new-hose", minutes=60.0), SLOW, SAID), 12.0),  # a wrong repair costs elsewhere
    ],
)
def test_minutes_to_the_diagnosis_are_held_against_the_allowance(done: tuple[Did, ...], minutes: float) -> None:
    assert worked(case(*done)) == pytest.approx(minutes)


def test_without_a_diagnosis_there_is_nothing_to_be_quick_at() -> None:
    assert efficiency(case(did("check", "gauge", minutes=2.0), belief=ENOUGH)) == (0.0, [])


@pytest.mark.parametrize(
    ("done", "reasons"),
    [
        ((SLOW,), ["12 minutes to the diagnosis, the reference took 2"]),
        ((did("check", "gauge", minutes=8.6),), []),  # 10 / 16.6 is more than 0.6
        ((did("check", "gauge", minutes=8.7),), ["9 minutes to the diagnosis, the reference took 2"]),
        ((did("check", "gauge"),) * 4, []),  # 3 / 5 is not less than 0.6
        ((did("check", "gauge"),) * 5, ["5 checks, the reference needed 1"]),
    ],
)
def test_it_says_what_took_long(done: tuple[Did, ...], reasons: list[str]) -> None:
    assert list(map(str, efficiency(case(*done, SAID, belief=ENOUGH))[1])) == reasons
