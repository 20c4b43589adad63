"""Playback of one action at many times real speed, from the dense output of the simulation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np

from scenarios.workshop import Workshop
from sim.fleet import Fleet
from sim.observation.loop import gauge_needle
from sim.world import MINUTE

SHORTEST, LONGEST = 0.6, 5.0
"""Shortest and longest playback [s]."""
PER_MINUTE = 0.3
"""Playback time per simulated minute [s], between those bounds."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A frame. minute: of the job; rpm: engine speed [1/min]; needle: 0..1; fan: share of full speed."""

    minute: float
    rpm: float
    needle: float
    fan: float


@dataclass(frozen=True)
class _Vehicles:
    """One vehicle at several times, in the form of a fleet as ``sim.observation`` expects it."""

    parameters: np.ndarray
    controls: np.ndarray
    algebraic: np.ndarray


def needle_over(fleet: Fleet, quantities: np.ndarray) -> np.ndarray:
    """Needle of the dash gauge (m,), 0 to 1, of a fleet's first vehicle from its quantities (m,) at several times."""
    one = np.zeros(len(quantities), dtype=np.int64)
    return gauge_needle(cast(Fleet, _Vehicles(fleet.parameters[one], fleet.controls[one], quantities)))


class Film:
    """Playback of the time between two minutes of a job."""

    def __init__(self, workshop: Workshop, first_sample: int, start: float) -> None:
        """first_sample: index of the world's first new sample; start: minute of the job."""
        self.start, self.end = start, workshop.minute
        times, _, self.quantities = workshop.world.all_samples(first_sample)
        self.times = times / MINUTE
        self.needle = needle_over(workshop.fleet, self.quantities)

    def __len__(self) -> int:
        return len(self.times)

    @property
    def seconds(self) -> float:
        """Duration on the screen [s]."""
        return min(max((self.end - self.start) * PER_MINUTE, SHORTEST), LONGEST)

    def at(self, share: float) -> Moment:
        """The frame at a share 0..1 of the playback."""
        minute = self.start + min(max(share, 0.0), 1.0) * (self.end - self.start)
        k = min(int(np.searchsorted(self.times, minute)), len(self.times) - 1)
        q = self.quantities[k]
        return Moment(minute, float(q["rpm"]), float(self.needle[k]), float(q["fan_share"]))
