"""Whoever runs an engine watches its gauge: it is looked at every half minute, and nobody drives on in the red."""

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
METAL_IN_THE_RED_K = 10.0
"""How far the metal is beyond what it stands half a minute after the needle has gone into the red, at most [K]."""
AT_ONCE = 1e-6
"""Time that nobody notices [s]."""
WATCH = ReadingSpec(N_("gauge on the way"), "gauge needle", "glance at the gauge")
RED = INSTRUMENTS[WATCH.instrument]
MOST_IN_THE_RED = 2.0
"""Minutes of running after needle, lamp or steam was shown beyond which it is an error: time to pull over and stop."""
REALLY_HOT_C = 108.0
"""Coolant from which an engine is too hot to run on; below it a needle in the red is a faulty gauge (ours)."""
RAN_ON = N_("kept the engine running after it showed overheating")
RESTARTED = N_("restarted the engine with the gauge still in the red")


def is_watched(check: Check) -> bool:
    """Whether somebody watches the gauge in a check: on the road, and at a filler while the engine runs."""
    return check.drive_kmh > 0.0 or check.runs_engine


def in_the_red(needles: np.ndarray) -> bool:
    """Whether one vehicle's needle (1,) stands in the red; of many (n,) at once nobody can say."""
    return len(needles) == 1 and RED.step(float(needles[0])) > 0


def run_watched(world: World, seconds: float) -> float:
    """Let time pass; the seconds that passed until one vehicle's needle was seen in the red, else all of them.

    Many vehicles run for the whole time, which is what one vehicle's run really lasted.
    """
    left, ran, fleet = seconds, 0.0, world.fleet
    before = fleet.state[:, [st.OVERHEATING, st.METAL]]
    while left > AT_ONCE:
        leg = min(left, GLANCE_SECONDS) if len(fleet) == 1 else left
        world.wait(leg)
        left, ran = left - leg, ran + leg
        if left > AT_ONCE and in_the_red(gauge_needle(fleet)):
            break
    if len(fleet) > 1:
        _stop_in_time(fleet, *before.T)
    return ran


def _stop_in_time(fleet: Fleet, harm: np.ndarray, metal: np.ndarray) -> None:
    """Each of many vehicles would have been stopped at a glance: take back what running on in the red did to it.

    harm, metal (n,): overheating [K min] and temperature [degC] before the run.
    """
    y = fleet.state
    most = harm + GLANCE_SECONDS / MINUTE * np.maximum(metal - HARMFUL_C, METAL_IN_THE_RED_K)
    if (y[:, st.OVERHEATING] > most).any():
        ran_on = (y[:, st.OVERHEATING] > most) & (gauge_needle(fleet) > RED_FROM)
        y[ran_on, st.OVERHEATING] = most[ran_on]
        fleet.refresh()


class RedWatch:
    """What a person was shown of an overheating engine, and how long it ran on: a critical safety error.

    Reaching the red once is none: an overheating complaint demands it, and the engine is then switched off.
    """

    def __init__(self) -> None:
        self.shown = False
        """Whether needle, lamp or steam shows it, as far as is known."""
        self.minutes = 0.0
        self._ran = False
        self._told: set[str] = set()

    def before(self, runs: bool) -> None:
        """An action begins; runs: whether the engine does."""
        self._ran = runs

    def after(self, fleet: Fleet, runs: bool, minutes: float, told: bool) -> str:
        """An action of some minutes is over; the error that it made, in English, each once, empty for none.

        fleet: one vehicle; told: whether lamp or steam shows it now, or the needle stood in the red as it ended. Whose
        gauge alone is in the red harms nothing by running on.
        """
        hot = float(fleet.state[0, [st.JACKET, st.UPPER]].max()) > REALLY_HOT_C
        was_shown, needle = self.shown, runs and hot and in_the_red(gauge_needle(fleet))
        self.shown = needle or (told and hot) or (was_shown and not runs)
        if was_shown and self._ran and runs:
            self.minutes += minutes
        if not self.shown:
            self.minutes = 0.0
        if was_shown and needle and not self._ran:
            return self._once(RESTARTED)
        return self._once(RAN_ON) if self.minutes > MOST_IN_THE_RED else ""

    def _once(self, error: str) -> str:
        new = error not in self._told
        self._told.add(error)
        return error if new else ""
