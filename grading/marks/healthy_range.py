"""Healthy range of an instrument's readings, and whether it distinguishes a healthy from an unrepaired vehicle.

The instrument model decides, so that a difference below its noise or display step proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite
from statistics import NormalDist

import numpy as np

from sim.observation.categories import Categories
from sim.observation.likelihood import Display, Instrument, Words

SHARE = 0.9
"""Share of a healthy vehicle's temperature above ambient that a repaired one must reach."""
MOST_WRONG = 0.03
"""Error probability, either way, above which a reading proves nothing (ours)."""
_NORMAL = NormalDist()


@dataclass(frozen=True)
class HealthyRange:
    """The readings of an instrument that count as healthy.

    steps: for words; None for figures, which must be between low and high, in units of the instrument's signal.
    """

    instrument: Instrument
    steps: frozenset[int] | None = None
    low: float = -inf
    high: float = inf

    def passes(self, step: int) -> bool:
        """Whether a display step counts as healthy."""
        return step in self.steps if self.steps is not None else self.low <= _middle(self.instrument, step) <= self.high

    def holds(self, true: float) -> bool:
        """Whether a true value would count as healthy if read without error."""
        if isinstance(self.instrument, Categories):
            return self.passes(round(true))
        seen = float(self.instrument.response(np.array([true]))[0])
        return self.passes(self.instrument.step(seen)) if self.steps is not None else self.low <= seen <= self.high

    def chance(self, true: float) -> float:
        """Probability that a true value is read as healthy."""
        if self.steps is not None:
            if not self.steps:
                return 0.0
            return float(self.instrument.likelihoods(sorted(self.steps), np.array([true])).sum())
        seen = float(self.instrument.response(np.array([true]))[0])
        spread = self.instrument.spread
        return _NORMAL.cdf((self.high - seen) / spread) - _NORMAL.cdf((self.low - seen) / spread)

    @property
    def limit(self) -> str:
        """The limit as the instrument would show it, empty for words."""
        edge = self.low if isfinite(self.low) else self.high
        if self.steps is not None or not isfinite(edge) or not isinstance(self.instrument, Display):
            return ""
        return self.instrument.show(self.instrument.step(edge))


def _middle(instrument: Instrument, step: int) -> float:
    """The middle of the signals that give a display step, infinite for an open-ended step."""
    low, high = instrument.edges(step)
    return 0.5 * (low + high)


def healthy_range(instrument: Instrument, healthy: float, ill: float, outside: float) -> HealthyRange:
    """The healthy range between the true values of a healthy and an unrepaired (ill) vehicle.

    outside [degC]: ambient temperature. Temperatures must reach SHARE of the healthy difference from ambient, or the
    middle between the two if that is stricter; other quantities must be beyond the middle. If the two are equal, as
    without a fault, the range is the spread around the healthy value.
    """
    if isinstance(instrument, Categories):
        return HealthyRange(instrument, frozenset({round(healthy)}))
    good, bad = (float(instrument.response(np.array([true]))[0]) for true in (healthy, ill))
    middle = 0.5 * (good + bad)
    if isinstance(instrument, Words):
        here, every = instrument.step(good), range(len(instrument.words))
        if good == bad:  # a neighbouring word is within the noise
            return HealthyRange(instrument, frozenset(step for step in every if abs(step - here) <= 1))
        beyond = (step for step in every if (_middle(instrument, step) > middle) == (good > bad))
        return HealthyRange(instrument, frozenset(beyond))
    if not isinstance(instrument, Display) or instrument.unit != "°C":
        if good == bad:
            return HealthyRange(instrument, None, good - 3.0 * instrument.spread, good + 3.0 * instrument.spread)
        return HealthyRange(instrument, None, middle) if good > bad else HealthyRange(instrument, None, high=middle)
    if good >= bad:
        warm = outside + SHARE * (good - outside)
        return HealthyRange(instrument, None, warm if good == bad else max(warm, middle))
    if good < outside:  # no air temperature: what antifreeze protects to
        return HealthyRange(instrument, None, high=middle)
    cool = max(outside + (good - outside) / SHARE, good + 3.0 * instrument.spread)
    return HealthyRange(instrument, None, high=min(cool, middle))


def distinguishes(line: HealthyRange, healthy: float, ill: float) -> bool:
    """Whether an instrument distinguishes the two with error probabilities of at most MOST_WRONG."""
    return line.chance(healthy) >= 1.0 - MOST_WRONG and line.chance(ill) <= MOST_WRONG
