"""Time that has passed, to be watched: the dense output of one action, played many times faster than life."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np

from scenarios.workshop import Workshop
from sim.fleet import Fleet
from sim.observation.loop import gauge_needle
from sim.world import MINUTE

SHORTEST, LONGEST = 0.6, 5.0
"""Seconds that a film lasts, whatever time it shows."""
PER_MINUTE = 0.3
"""Seconds of film for a minute, between those bounds."""


@dataclass(frozen=True, slots=True)
class Moment:
    """What can be seen at a moment: minute of the job; engine speed [1/min]; needle 0..1; share of the fan; km/h."""

    minute: float
    rpm: float
    needle: float
    fan: float


@dataclass(frozen=True)
class _Vehicles:
    """One vehicle at several moments, in the shape that the laws of observation ask of a fleet."""

    parameters: np.ndarray
    controls: np.ndarray
    algebraic: np.ndarray


def needle_over(fleet: Fleet, quantities: np.ndarray) -> np.ndarray:
    """Needle of the dash gauge, 0 to 1, of a fleet's first vehicle at several moments: its quantities at them (m,)."""
    one = np.zeros(len(quantities), dtype=np.int64)
    return gauge_needle(cast(Fleet, _Vehicles(fleet.parameters[one], fleet.controls[one], quantities)))


class Film:
    """What happened between two minutes of a job."""

    def __init__(self, workshop: Workshop, first_sample: int, start: float) -> None:
        """first_sample: index of the first of the world's samples that is new; start: minute at which it began."""
        self.start, self.end = start, workshop.minute
        times, _, self.quantities = workshop.world.all_samples(first_sample)
        self.times = times / MINUTE
        self.needle = needle_over(workshop.fleet, self.quantities)

    def __len__(self) -> int:
        return len(self.times)

    @property
    def seconds(self) -> float:
        """How long it lasts on the screen [s]."""
        return min(max((self.end - self.start) * PER_MINUTE, SHORTEST), LONGEST)

    def at(self, share: float) -> Moment:
        """The moment at a share 0..1 of the film."""
        minute = self.start + min(max(share, 0.0), 1.0) * (self.end - self.start)
        k = min(int(np.searchsorted(self.times, minute)), len(self.times) - 1)
        q = self.quantities[k]
        return Moment(minute, float(q["rpm"]), float(self.needle[k]), float(q["fan_share"]))
