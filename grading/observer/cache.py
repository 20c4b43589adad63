"""Cache of beliefs by history: the common beginning of two sessions of a job is computed once.

An assessor marks forty candidates of one job, many of whom begin alike. A study plays ten strategies on one vehicle and
grades them afterwards.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from grading.observer.pairs import is_surprising, with_pairs
from grading.observer.particles import Particles
from grading.observer.resampling import resample
from scenarios.actions import Action
from scenarios.workshop import Performed

T = TypeVar("T")
MAX_BELIEFS = 40
"""Cached beliefs at most, the last used; one takes a megabyte or two."""


class BeliefCache:
    """Cache of the beliefs of one job's observer, from the prior to any requested history."""

    def __init__(self, start: Particles, most: int = MAX_BELIEFS) -> None:
        """start: belief before any action; most: cached beliefs at most. Callers must not change returned beliefs."""
        self.start = start
        self.most = most
        self._known: OrderedDict[tuple[object, ...], tuple[Particles, Performed]] = OrderedDict()
        self._computed: dict[tuple[object, ...], object] = {}

    def after(
        self, now: Particles, action: Action, steps: list[int], noticed: list[tuple[str, int]]
    ) -> tuple[Particles, Performed]:
        """The belief after one more action, resampled if it gave readings, and the action's result for the particles
        before resampling.

        now: a belief of this cache, not changed; steps, noticed: as in ``Particles.act``.
        """
        key = (*_key(now), _done(action, steps, noticed))
        if key in self._known:
            self._known.move_to_end(key)
            return self._known[key]
        then = now.copy()
        performed = then.act(action, steps, noticed)
        if (steps or noticed) and is_surprising(then, performed.readings, steps, noticed):
            then = with_pairs(then)
        then = then.without_failed()
        if steps or noticed:
            then = resample(then)
        self._known[key] = then, performed
        while len(self._known) > self.most:
            self._known.popitem(last=False)
        return then, performed

    def once(self, now: Particles, about: Hashable, compute: Callable[[], T]) -> T:
        """A result computed from a belief of this cache, computed once; about: everything else that it depends on."""
        key = (_key(now), about)
        if key not in self._computed:
            self._computed[key] = compute()
        return cast(T, self._computed[key])


def _key(now: Particles) -> tuple[object, ...]:
    return tuple(_done(*done) for done in now.history)


def _done(action: Action, steps: list[int], noticed: list[tuple[str, int]]) -> tuple[object, ...]:
    return (action, *steps, *map(tuple, noticed))
