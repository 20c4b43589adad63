"""Running on in the red: what a person was shown, for how long the engine ran on, and what of it is an error."""

from __future__ import annotations

import pytest

from scenarios.watching import RAN_ON, RESTARTED, RedWatch
from sim.fleet import Fleet
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import Weather, World, running

STOP, RUN, RED = False, True, 121.0
"""Whether the engine runs, and coolant [degC] that puts the needle into the red."""


def fleet(coolant: float, runs: bool) -> Fleet:
    """One vehicle with its coolant and sensor at a temperature [degC]."""
    one = Fleet.cold(healthy(1), 20.0)
    one.state[:, [st.JACKET, st.UPPER, st.SENSOR]] = coolant
    World(one, Weather(20.0)).set(**(running() if runs else {"ignition": 1.0}))
    return one


def errors(*actions: tuple[bool, bool, float, float, bool]) -> list[str]:
    """Errors of actions one after the other: engine before, after, minutes, coolant after [degC], lamp or steam."""
    watch, out = RedWatch(), []
    for before, after, minutes, coolant, told in actions:
        watch.before(before)
        out.append(watch.after(fleet(coolant, after), after, minutes, told))
    return [error for error in out if error]


REACHED = (RUN, RUN, 10.0, RED, False)
OFF = (RUN, STOP, 0.0, RED, False)
COOLER = (RUN, RUN, 1.5, 95.0, False)


@pytest.mark.parametrize(
    ("actions", "expected"),
    [
        ((REACHED,), []),  # reaching it once, as the complaint demands
        ((REACHED, OFF), []),
        ((REACHED, (RUN, RUN, 1.9, 95.0, False), REACHED, (RUN, RUN, 0.2, RED, False)), []),  # reached anew
        ((REACHED, (RUN, RUN, 2.0, RED, False)), []),  # time to pull over
        ((REACHED, (RUN, RUN, 2.1, RED, False)), [RAN_ON]),
        ((REACHED, (RUN, RUN, 1.5, RED, False), (RUN, RUN, 1.5, RED, False)), [RAN_ON]),
        ((REACHED, (RUN, RUN, 3.0, RED, False), (RUN, RUN, 3.0, RED, False)), [RAN_ON]),  # told once
        ((REACHED, COOLER, (RUN, RUN, 1.5, RED, False)), []),  # it had come down
        ((REACHED, COOLER, (RUN, RUN, 9.0, 95.0, False), REACHED, (RUN, RUN, 1.5, RED, False)), []),
        ((REACHED, OFF, (STOP, RUN, 0.0, RED, False)), [RESTARTED]),
        ((REACHED, OFF, (STOP, STOP, 30.0, 80.0, False), (STOP, RUN, 0.0, 80.0, False)), []),  # it has cooled
        (((STOP, RUN, 0.0, RED, False),), []),  # nothing was shown before
        # Steam and the lamp show it as well, unless nothing is hot.
        (((RUN, RUN, 5.0, 112.0, True), (RUN, RUN, 3.0, 112.0, True)), [RAN_ON]),
        (((RUN, RUN, 5.0, 90.0, True), (RUN, RUN, 3.0, 90.0, True)), []),
        (((RUN, RUN, 5.0, 112.0, False), (RUN, RUN, 3.0, 112.0, False)), []),
    ],
)
def test_running_on_is_an_error_once_it_was_shown(
    actions: tuple[tuple[bool, bool, float, float, bool], ...], expected: list[str]
) -> None:
    assert errors(*actions) == expected


def test_a_gauge_that_is_stuck_in_the_red_harms_nobody() -> None:
    watch = RedWatch()
    for runs in (True, True, False, True):
        one = fleet(85.0, runs)
        one.parameters["gauge_works"], one.parameters["gauge_rest"] = 0.0, 0.99
        watch.before(runs)
        assert watch.after(one, runs, 5.0, True) == ""
