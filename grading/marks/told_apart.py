"""Whether an instrument can tell a healthy vehicle from an unrepaired one, and which of its readings speak for health.

The instrument's own law decides, so that a difference smaller than its spread or step proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite
from statistics import NormalDist

import numpy as np

from sim.observation.categories import Categories
from sim.observation.likelihood import Display, Instrument, Words

SHARE = 0.9
"""Of a healthy vehicle's warmth over the air outside that a repaired one must reach."""
MOST_WRONG = 0.03
"""Chance that healthy is read as ill, or ill as healthy, above which a reading proves nothing (ours)."""
_NORMAL = NormalDist()


@dataclass(frozen=True)
class Verge:
    """Which readings of an instrument count as healthy.

    steps: of words; None for figures, which must lie between low and high, in units of what the instrument sees.
    """

    instrument: Instrument
    steps: frozenset[int] | None = None
    low: float = -inf
    high: float = inf

    def passes(self, step: int) -> bool:
        """Whether a display step counts as healthy."""
        return step in self.steps if self.steps is not None else self.low <= _middle(self.instrument, step) <= self.high

    def holds(self, true: float) -> bool:
        """Whether a vehicle of this true quantity would count as healthy if it were read without error."""
        if isinstance(self.instrument, Categories):
            return self.passes(round(true))
        seen = float(self.instrument.response(np.array([true]))[0])
        return self.passes(self.instrument.step(seen)) if self.steps is not None else self.low <= seen <= self.high

    def chance(self, true: float) -> float:
        """Chance that a vehicle of this true quantity is read as healthy."""
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
    """The middle of what is seen that gives a step, infinite for one that has no end."""
    low, high = instrument.edges(step)
    return 0.5 * (low + high)


def verge(instrument: Instrument, healthy: float, ill: float, outside: float) -> Verge:
    """Which readings count as healthy, between a healthy and an unrepaired vehicle's true quantities.

    outside [degC]: for temperatures. These must reach SHARE of the healthy one's distance from outside, or the middle
    to the unrepaired one where that is stricter; all else must lie beyond the middle. Where healthy and ill are the
    same, as with nothing wrong, the healthy one's own band counts.
    """
    if isinstance(instrument, Categories):
        return Verge(instrument, frozenset({round(healthy)}))
    good, bad = (float(instrument.response(np.array([true]))[0]) for true in (healthy, ill))
    middle = 0.5 * (good + bad)
    if isinstance(instrument, Words):
        here, every = instrument.step(good), range(len(instrument.words))
        if good == bad:  # the next word is hardly another
            return Verge(instrument, frozenset(step for step in every if abs(step - here) <= 1))
        beyond = (step for step in every if (_middle(instrument, step) > middle) == (good > bad))
        return Verge(instrument, frozenset(beyond))
    if not isinstance(instrument, Display) or instrument.unit != "°C":
        if good == bad:
            return Verge(instrument, None, good - 3.0 * instrument.spread, good + 3.0 * instrument.spread)
        return Verge(instrument, None, middle) if good > bad else Verge(instrument, None, high=middle)
    if good >= bad:
        warm = outside + SHARE * (good - outside)
        return Verge(instrument, None, warm if good == bad else max(warm, middle))
    if good < outside:  # no air is: what antifreeze protects to
        return Verge(instrument, None, high=middle)
    cool = max(outside + (good - outside) / SHARE, good + 3.0 * instrument.spread)
    return Verge(instrument, None, high=min(cool, middle))


def tells(line: Verge, healthy: float, ill: float) -> bool:
    """Whether the instrument tells the two apart: neither is often taken for the other."""
    return line.chance(healthy) >= 1.0 - MOST_WRONG and line.chance(ill) <= MOST_WRONG
