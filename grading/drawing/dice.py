"""Choices that depend on a key alone, so that a job is drawn the same whatever was drawn before it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np

from sim.vehicle.tolerances import uniform

Thing = TypeVar("Thing")


class Dice:
    """Choices under one key; each is named, and the same name gives the same choice."""

    def __init__(self, *key: object) -> None:
        self._key = key

    def share(self, name: str) -> float:
        """A number between 0 and 1, neither included."""
        return uniform("draw", *self._key, name)

    def whole(self, name: str, low: int, high: int) -> int:
        """A whole number from low to high, both included, each as likely."""
        return low + min(int(self.share(name) * (high - low + 1)), high - low)

    def one_of(self, name: str, things: Sequence[Thing], weights: Sequence[float] | None = None) -> Thing:
        """One of some things, each as likely as its weight has it. Raises ValueError where there is none."""
        if not things:
            raise ValueError("nothing to choose from")
        reached = np.cumsum(np.ones(len(things)) if weights is None else np.asarray(weights, dtype=np.float64))
        place = int(np.searchsorted(reached, self.share(name) * reached[-1], side="right"))
        return things[min(place, len(things) - 1)]

    def shuffled(self, name: str, things: Sequence[Thing], weights: Sequence[float] | None = None) -> list[Thing]:
        """All things in an order by chance, heavier ones earlier on average: each place is drawn by weight from what is
        left.
        """
        of = [1.0] * len(things) if weights is None else list(weights)
        # the smallest of exponential times with these rates comes first with a chance in proportion to its rate
        times = [-np.log(self.share(f"{name} {k}")) / max(weight, 1e-12) for k, weight in enumerate(of)]
        return [things[k] for k in np.argsort(times, kind="stable")]
