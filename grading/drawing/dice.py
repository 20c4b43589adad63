"""Random choices that depend on a key alone, so that a draw does not depend on earlier ones."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np

from sim.vehicle.tolerances import uniform

Thing = TypeVar("Thing")


class Dice:
    """Random choices under one key; each has a name, and the same name gives the same choice."""

    def __init__(self, *key: object) -> None:
        self._key = key

    def share(self, name: str) -> float:
        """A uniform number between 0 and 1, both excluded."""
        return uniform("draw", *self._key, name)

    def integer(self, name: str, low: int, high: int) -> int:
        """A uniform integer from low to high, both included."""
        return low + min(int(self.share(name) * (high - low + 1)), high - low)

    def one_of(self, name: str, things: Sequence[Thing], weights: Sequence[float] | None = None) -> Thing:
        """One of the things, with probability in proportion to its weight. Raises ValueError if there are none."""
        if not things:
            raise ValueError("nothing to choose from")
        reached = np.cumsum(np.ones(len(things)) if weights is None else np.asarray(weights, dtype=np.float64))
        place = int(np.searchsorted(reached, self.share(name) * reached[-1], side="right"))
        return things[min(place, len(things) - 1)]

    def shuffled(self, name: str, things: Sequence[Thing], weights: Sequence[float] | None = None) -> list[Thing]:
        """All things in random order: each place is drawn by weight from those that remain."""
        of = [1.0] * len(things) if weights is None else list(weights)
        # of exponential times, the smallest is that of a thing with a probability in proportion to its rate
        times = [-np.log(self.share(f"{name} {k}")) / max(weight, 1e-12) for k, weight in enumerate(of)]
        return [things[k] for k in np.argsort(times, kind="stable")]
