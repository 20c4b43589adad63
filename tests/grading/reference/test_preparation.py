"""Preparations for a check, the minutes they count for, and the table of ways."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from grading.reference.preparation import (
    COLD_MINUTES,
    COOLING_MINUTES,
    SETTLING_MINUTES,
    WAITING_SHARE,
    WARM_UP_MINUTES,
    PlannedState,
    Readiness,
    discounted_minutes,
    preparation,
    too_warm,
    transitions,
    working_minutes,
)
from scenarios.actions import Action
from scenarios.model import BAY, DASH, ROAD, SEAT, Check
from tests.scenarios.workshops import a_check, do, workshop

ALL_OFF = PlannedState(0.0, 0.0, 0.0, 0.0, 0.0, False)
ON = replace(ALL_OFF, ignition=1.0)
RUNNING = replace(ON, engine=1.0)
WARM = replace(RUNNING, minutes_run=15.0)
RED = replace(WARM, overheated=True)

START, OFF, AT_RUN = Action("engine", ("start",)), Action("ignition", ("off",)), Action("ignition", ("on",))
IDLE, DRIVE, REV = Action("idle", (0.5,)), Action("drive", (15.0, 50.0)), Action("rev", (1800.0, 1.0))
HOT, LOW, FULL = Action("set", ("heater", 100.0)), Action("set", ("blower", 1.0)), Action("set", ("blower", 4.0))
COOL = Action("wait", (420.0,))


def wish(*best_when: str, needs: tuple[str, ...] = (), **more: Any) -> Check:
    """A check best done in these states."""
    return a_check(best_when=best_when, needs=needs, **more)


def ready(state: PlannedState) -> Readiness:
    """Readiness as in a state."""
    readiness = Readiness()
    readiness.minutes_run, readiness.overheated = state.minutes_run, state.overheated
    return readiness


def prepared(state: PlannedState, check: Check, let_cool: bool = False) -> list[Action] | None:
    """The preparations for a check in a state."""
    return preparation(state, check, ready(state), let_cool)


def test_constants() -> None:
    """Ours and common practice, no source."""
    assert (WARM_UP_MINUTES, SETTLING_MINUTES, COOLING_MINUTES, WAITING_SHARE, COLD_MINUTES) == (
        15.0,
        0.5,
        420.0,
        0.1,
        2.0,
    )


@pytest.mark.parametrize(
    ("state", "check", "before"),
    [
        (ALL_OFF, wish(), []),
        (ALL_OFF, wish(needs=("engine-running",)), [START, IDLE]),
        (ON, wish(needs=("engine-running",)), [START, IDLE]),
        (ALL_OFF, wish(needs=("engine-running", "ignition-on")), [START, IDLE]),
        (RUNNING, wish(needs=("engine-running",)), []),
        (ALL_OFF, wish(drive_kmh=30.0), [START]),
        (ALL_OFF, wish(drive_kmh=1.0), [START]),
        (RUNNING, wish(drive_kmh=30.0), []),
        (ALL_OFF, wish("fast-idle"), [START, REV]),
        (RUNNING, wish("fast-idle", needs=("engine-running",)), [REV]),
        (ALL_OFF, wish("idled"), [START, IDLE]),
        (ALL_OFF, wish("idled", needs=("engine-running",)), [START, IDLE]),
        (ALL_OFF, wish("idled", needs=("engine-off",)), [START, IDLE, OFF]),
        (RUNNING, wish("idled"), [IDLE]),
        (ALL_OFF, wish(needs=("ignition-on",)), [AT_RUN]),
        (ON, wish(needs=("ignition-on",)), []),
        (RUNNING, wish(needs=("ignition-on",)), []),
        (ALL_OFF, wish(needs=("engine-off",)), []),
        (ON, wish(needs=("engine-off",)), []),
        (RUNNING, wish(needs=("engine-off",)), [OFF]),
        (RUNNING, wish(needs=("engine-off", "ignition-on")), [OFF]),
        (ALL_OFF, wish("heater-hot"), [HOT]),
        (replace(ALL_OFF, heater=0.5), wish("heater-hot"), [HOT]),
        (replace(ALL_OFF, heater=1.0), wish("heater-hot"), []),
        (ALL_OFF, wish("blower-low"), [LOW]),
        (replace(ALL_OFF, blower=1.0), wish("blower-low"), []),
        (replace(ALL_OFF, blower=4.0), wish("blower-low"), [LOW]),
        (ALL_OFF, wish("blower-high"), [FULL]),
        (replace(ALL_OFF, blower=3.0), wish("blower-high"), [FULL]),
        (replace(ALL_OFF, blower=4.0), wish("blower-high"), []),
        (ALL_OFF, wish("cold"), []),
    ],
)
def test_preparation_from_a_cold_engine(state: PlannedState, check: Check, before: list[Action]) -> None:
    assert prepared(state, check) == before
    assert prepared(state, check, let_cool=True) == before


@pytest.mark.parametrize(
    ("state", "check", "before"),
    [
        (ALL_OFF, wish("warm"), [HOT, LOW, START, DRIVE]),
        (RUNNING, wish("warm"), [HOT, LOW, DRIVE]),
        (replace(RUNNING, heater=1.0, blower=1.0), wish("warm"), [DRIVE]),
        (
            ALL_OFF,
            wish("warm", needs=("engine-running",)),
            [HOT, LOW, START, DRIVE],
        ),  # the drive lets vacuum and voltage settle
        (ALL_OFF, wish("warm", needs=("engine-off",)), [HOT, LOW, START, DRIVE, OFF]),
        (ALL_OFF, wish("warm", needs=("ignition-on",)), [HOT, LOW, START, DRIVE]),
        (ALL_OFF, wish("warm", "fast-idle"), [HOT, LOW, START, DRIVE, REV]),
        (ALL_OFF, wish("warm", "idled", "blower-high"), [HOT, LOW, START, DRIVE, IDLE, FULL]),
        (ALL_OFF, wish("warm", "blower-high"), [HOT, LOW, START, DRIVE, FULL]),
        (replace(ALL_OFF, blower=4.0), wish("warm", "blower-high"), [HOT, LOW, START, DRIVE, FULL]),
        (WARM, wish("warm"), [HOT, LOW]),
        (replace(WARM, minutes_run=14.0), wish("warm"), [HOT, LOW]),
        (replace(WARM, minutes_run=13.9), wish("warm"), [HOT, LOW, DRIVE]),
        (WARM, wish("warm", "blower-high"), [HOT, FULL]),
        (replace(WARM, blower=4.0), wish("warm", "blower-high"), [HOT]),
        (WARM, wish("warm", "blower-low"), [HOT, LOW]),
        (replace(WARM, engine=0.0, ignition=0.0), wish("warm"), [HOT, LOW]),
        (replace(WARM, engine=0.0), wish("warm", needs=("engine-running",)), [HOT, LOW, START, IDLE]),
        (WARM, wish("warm", needs=("engine-off",)), [HOT, LOW, OFF]),
    ],
)
def test_warming_up(state: PlannedState, check: Check, before: list[Action]) -> None:
    assert prepared(state, check) == before


CAP = wish(opens_cap=True)
COLD = wish("cold")


@pytest.mark.parametrize("check", [CAP, COLD])
@pytest.mark.parametrize(
    ("state", "before", "cooled"),
    [
        (replace(ALL_OFF, minutes_run=2.0), [], []),
        (replace(RUNNING, minutes_run=2.0), [], []),
        (replace(ALL_OFF, minutes_run=2.1), None, [COOL]),
        (replace(ON, minutes_run=2.1), None, [OFF, COOL]),
        (WARM, None, [OFF, COOL]),
        (RED, None, [OFF, COOL]),
    ],
)
def test_check_that_wants_a_cold_engine(
    state: PlannedState, check: Check, before: list[Action] | None, cooled: list[Action]
) -> None:
    assert too_warm(check, ready(state)) == (before is None)
    assert prepared(state, check) == preparation(state, check, ready(state)) == before
    assert prepared(state, check, let_cool=True) == cooled


def test_engine_may_run_after_cooling() -> None:
    check = wish("cold", needs=("engine-running",))
    for state in (WARM, RED):
        assert prepared(state, check, let_cool=True) == [OFF, COOL, START, IDLE]
    assert prepared(WARM, wish("cold", needs=("ignition-on",)), let_cool=True) == [OFF, COOL, AT_RUN]
    assert not too_warm(wish("warm"), ready(WARM))


@pytest.mark.parametrize(
    ("check", "before"),
    [
        (wish(needs=("engine-running",)), None),
        (wish("warm", needs=("engine-running",)), None),
        (wish("fast-idle"), None),
        (wish("idled"), None),
        (wish(drive_kmh=50.0), None),
        (wish(drive_kmh=1.0), None),
        (wish("warm"), [HOT, LOW]),  # it is warm
        (wish("warm", needs=("ignition-on",)), [HOT, LOW, AT_RUN]),
        (wish("warm", needs=("engine-off",)), [HOT, LOW]),
        (wish(needs=("engine-off",)), []),
        (wish("blower-high"), [FULL]),
    ],
)
def test_overheated_engine_is_not_run(check: Check, before: list[Action] | None) -> None:
    assert prepared(replace(RED, engine=0.0, ignition=0.0), check) == before
    assert prepared(replace(RED, engine=0.0, ignition=0.0, minutes_run=5.0), check) == before


# -- minutes --


def test_waiting_counts_a_tenth() -> None:
    assert working_minutes(COOL, 420.0) == 42.0
    assert [working_minutes(action, 15.0) for action in (DRIVE, REV, Action("check", ("look",)))] == [15.0] * 3
    assert discounted_minutes([OFF, COOL, START, IDLE, Action("wait", (10.0,)), DRIVE]) == 0.9 * 430.0
    assert discounted_minutes([]) == 0.0


def test_readiness_counts_running_minutes_until_the_engine_has_cooled() -> None:
    shop, readiness = workshop(), Readiness()
    assert (readiness.minutes_run, readiness.overheated, readiness.cold, readiness.warm) == (0.0, False, True, False)
    readiness.note(shop, 100.0)  # engine off
    assert readiness.minutes_run == 0.0
    do(shop, "engine", "start")
    readiness.note(shop, 2.0)
    assert (readiness.minutes_run, readiness.cold, readiness.warm) == (2.0, True, False)
    readiness.note(shop, 11.9)
    assert (readiness.cold, readiness.warm) == (False, False)
    readiness.note(shop, 0.1)
    readiness.overheated = True
    assert (readiness.cold, readiness.warm) == (False, True)
    readiness.note(shop, 400.0)  # engine running
    assert (readiness.minutes_run, readiness.overheated) == (414.0, True)
    do(shop, "ignition", "off")
    readiness.note(shop, 419.9)
    assert (readiness.minutes_run, readiness.overheated) == (414.0, True)
    readiness.note(shop, 420.0)
    assert (readiness.minutes_run, readiness.overheated) == (0.0, False)


# -- planning --


@pytest.mark.parametrize(
    ("state", "action", "after", "minutes"),
    [
        (ALL_OFF, HOT, replace(ALL_OFF, heater=1.0), 0.0),
        (ALL_OFF, FULL, replace(ALL_OFF, blower=4.0), 0.0),
        (ALL_OFF, AT_RUN, ON, 0.0),
        (RUNNING, AT_RUN, RUNNING, 0.0),
        (RUNNING, OFF, ALL_OFF, 0.0),
        (ALL_OFF, START, RUNNING, 0.0),
        (RUNNING, IDLE, replace(RUNNING, minutes_run=1.0), 0.5),
        (RUNNING, REV, replace(RUNNING, minutes_run=1.0), 1.0),
        (RUNNING, DRIVE, WARM, 15.0),
        (replace(RUNNING, minutes_run=2.0), IDLE, replace(RUNNING, minutes_run=3.0), 0.5),
        (replace(RUNNING, minutes_run=3.0), Action("idle", (10.9,)), replace(RUNNING, minutes_run=3.0), 10.9),
        (replace(RUNNING, minutes_run=3.0), Action("idle", (11.0,)), WARM, 11.0),
        (RED, IDLE, RED, 0.5),
    ],
)
def test_state_after_an_action(state: PlannedState, action: Action, after: PlannedState, minutes: float) -> None:
    assert state.then(action) == (after, minutes)


def test_state_of_a_workshop() -> None:
    shop, readiness = workshop(), Readiness()
    assert PlannedState.of(shop, readiness) == ALL_OFF
    for action in (("engine", "start"), ("set", "heater", 40.0), ("set", "blower", 3.0)):
        do(shop, str(action[0]), *action[1:])
    readiness.minutes_run, readiness.overheated = 1.2, True
    state = PlannedState.of(shop, readiness)
    assert state == PlannedState(1.0, 1.0, 0.4, 3.0, 2.0, True)
    assert [state.control(name) for name in ("engine", "ignition", "heater", "blower")] == [1.0, 1.0, 0.4, 3.0]


def test_ways_table() -> None:
    """Two checks: 2 minutes in the bay without needs, 1 minute in the seat with the engine running. Rows are states
    times places, the present place first: seat, bay, dash, bench.
    """
    bay, seat = wish(minutes=2.0), wish(needs=("engine-running",), place=SEAT, minutes=1.0)
    check_minutes, next_state = transitions(ALL_OFF, SEAT, [bay, seat])
    started = 0.5 + 1.0  # settling after the start, then the check
    assert (
        check_minutes.shape == next_state.shape == (12, 2)
    )  # three states: engine off; run up to 2 minutes; run longer
    assert check_minutes[:4].tolist() == [
        [2.5, started],
        [2.0, 0.5 + started],
        [2.5, 0.5 + started],
        [2.5, 0.5 + started],
    ]
    assert check_minutes[4:8].tolist() == check_minutes[8:].tolist() == [[2.5, 1.0], [2.0, 1.5], [2.5, 1.5], [2.5, 1.5]]
    assert next_state[:4].tolist() == [[1, 4]] * 4  # engine off, in the bay; running, in the seat
    assert next_state[4:].tolist() == [[9, 8]] * 8
    from_bay = transitions(ALL_OFF, BAY, [bay, seat])[0]
    assert from_bay[:2].tolist() == [check_minutes[1].tolist(), check_minutes[0].tolist()]


def test_warm_up_drive_starts_and_ends_at_the_seat() -> None:
    warm = wish("warm", minutes=3.0)
    road = wish("warm", drive_kmh=50.0, place=ROAD, minutes=4.0)
    for place, there_and_back, to_seat in ((SEAT, 0.5, 0.0), (BAY, 1.0, 0.5), (DASH, 1.0, 0.5)):
        check_minutes = transitions(ALL_OFF, place, [warm, road])[0]
        assert check_minutes[0].tolist() == [there_and_back + 15.0 + 3.0, to_seat + 15.0 + 4.0]


def test_impossible_check_takes_infinite_minutes() -> None:
    check_minutes, next_state = transitions(WARM, SEAT, [CAP, wish(place=SEAT)])
    assert np.isinf(check_minutes[:, 0]).all()
    assert np.isfinite(check_minutes[:, 1]).all()
    assert next_state[0].tolist() == [1, 0]


def test_checks_of_one_kind_lead_to_the_same_states() -> None:
    one, other = wish("warm", minutes=5.0), wish("warm", minutes=9.0)  # both long enough to count as running on
    check_minutes, next_state = transitions(ALL_OFF, SEAT, [one, wish(), other])
    assert np.array_equal(next_state[:, 0], next_state[:, 2])
    assert (check_minutes[:, 2] - check_minutes[:, 0] == 4.0).all()


@pytest.mark.parametrize(("minutes", "ran"), [(0.3, 1.0), (1.0, 1.0), (1.5, 2.0), (2.0, 2.0), (2.1, 3.0), (40.0, 3.0)])
def test_running_engine_warms_during_a_check(minutes: float, ran: float) -> None:
    """The cap may be opened after at most two minutes of running."""
    check_minutes, next_state = transitions(RUNNING, SEAT, [wish(place=SEAT, minutes=minutes), CAP])
    assert np.isfinite(check_minutes[next_state[0, 0], 1]) == (ran <= 2.0)
    check_minutes, next_state = transitions(ALL_OFF, SEAT, [wish(place=SEAT, minutes=minutes), CAP])
    assert np.isfinite(check_minutes[next_state[0, 0], 1])
