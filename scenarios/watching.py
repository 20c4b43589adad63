"""Watching the temperature gauge: a person looks every half minute and stops when the needle is in the red."""

from __future__ import annotations

import numpy as np

from scenarios.language import N_
from scenarios.model import Check, ReadingSpec
from sim.fleet import Fleet
from sim.observation.instruments import INSTRUMENTS, RED_FROM
from sim.observation.loop import gauge_needle
from sim.vehicle import states as st
from sim.vehicle.rates import HARMFUL_C
from sim.world import MINUTE, World

GLANCE_SECONDS = 30.0
METAL_EXCESS_K = 10.0
"""Largest excess of the metal over its harmful temperature half a minute after the needle reaches the red [K]."""
TIME_TOLERANCE_S = 1e-6
"""Tolerance when times are compared [s]."""
WATCH = ReadingSpec(N_("gauge on the way"), "gauge needle", "glance at the gauge")
RED = INSTRUMENTS[WATCH.instrument]
MOST_IN_THE_RED = 2.0
"""Minutes an engine may run on after needle, lamp or steam has shown overheating: time to pull over and stop."""
REALLY_HOT_C = 108.0
"""Coolant temperature above which an engine is too hot to run; below it a needle in the red is a faulty gauge (ours).
"""
RAN_ON = N_("kept the engine running after it showed overheating")
RESTARTED = N_("restarted the engine with the gauge still in the red")


def is_watched(check: Check) -> bool:
    """Whether the gauge is watched during a check: on the road, and whenever the check runs the engine."""
    return check.drive_kmh > 0.0 or check.runs_engine


def in_the_red(needles: np.ndarray) -> bool:
    """Whether the needle of a single vehicle (1,) is in the red; False for a fleet (n,)."""
    return len(needles) == 1 and RED.step(float(needles[0])) > 0


def run_watched(world: World, seconds: float) -> float:
    """Let time pass; return the seconds until a single vehicle's needle was seen in the red, otherwise all of them.

    A fleet always runs for the whole time: the recorded vehicle was stopped after it.
    """
    left, ran, fleet = seconds, 0.0, world.fleet
    before = fleet.state[:, [st.OVERHEATING, st.METAL]]
    while left > TIME_TOLERANCE_S:
        leg = min(left, GLANCE_SECONDS) if len(fleet) == 1 else left
        world.wait(leg)
        left, ran = left - leg, ran + leg
        if left > TIME_TOLERANCE_S and in_the_red(gauge_needle(fleet)):
            break
    if len(fleet) > 1:
        _undo_running_on(fleet, *before.T)
    return ran


def _undo_running_on(fleet: Fleet, harm: np.ndarray, metal: np.ndarray) -> None:
    """Limit the harm to vehicles that a person would have stopped at the next glance.

    harm, metal (n,): overheating [K min] and metal temperature [degC] before the run. Only vehicles whose needle ends
    in the red are changed.
    """
    y = fleet.state
    most = harm + GLANCE_SECONDS / MINUTE * np.maximum(metal - HARMFUL_C, METAL_EXCESS_K)
    if (y[:, st.OVERHEATING] > most).any():
        ran_on = (y[:, st.OVERHEATING] > most) & (gauge_needle(fleet) > RED_FROM)
        y[ran_on, st.OVERHEATING] = most[ran_on]
        fleet.refresh()


class RedWatch:
    """Detects the safety error of running an engine on after it has shown overheating.

    Reaching the red once is no error: verifying an overheating complaint requires it, and the engine is then switched
    off.
    """

    def __init__(self) -> None:
        self.shown = False
        """Whether needle, lamp or steam has shown overheating."""
        self.minutes = 0.0
        self._ran = False
        self._reported: set[str] = set()

    def before(self, runs: bool) -> None:
        """Note the start of an action; runs: whether the engine runs."""
        self._ran = runs

    def after(self, fleet: Fleet, runs: bool, minutes: float, signs: bool) -> str:
        """The safety error of an action that lasted some minutes, in English; each is returned once, empty for none.

        fleet: one vehicle; signs: whether lamp or steam shows overheating now, or the needle was in the red at the end.
        A needle in the red over a cool engine is no overheating.
        """
        hot = float(fleet.state[0, [st.JACKET, st.UPPER]].max()) > REALLY_HOT_C
        was_shown, needle = self.shown, runs and hot and in_the_red(gauge_needle(fleet))
        self.shown = needle or (signs and hot) or (was_shown and not runs)
        if was_shown and self._ran and runs:
            self.minutes += minutes
        if not self.shown:
            self.minutes = 0.0
        if was_shown and needle and not self._ran:
            return self._once(RESTARTED)
        return self._once(RAN_ON) if self.minutes > MOST_IN_THE_RED else ""

    def _once(self, error: str) -> str:
        new = error not in self._reported
        self._reported.add(error)
        return error if new else ""
