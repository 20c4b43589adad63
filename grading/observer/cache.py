"""Beliefs along what was done: what two sessions of one job have in common is replayed once.

An assessor marks forty candidates of one job, and many of them begin alike; a study plays ten ways of working on one
vehicle, and grades what it has just followed.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from grading.observer.pairs import badly_foreseen, widened
from grading.observer.particles import Hypotheses
from grading.observer.resampling import settle
from scenarios.actions import Action
from scenarios.workshop import Performed

Thought = TypeVar("Thought")
MOST = 40
"""Beliefs remembered, the latest used; one takes a megabyte or two."""


class Trail:
    """The beliefs of one job's observer, from what was imagined at first to any moment that has been asked for."""

    def __init__(self, start: Hypotheses, most: int = MOST) -> None:
        """start: before anything is done; most: beliefs remembered. Beliefs handed out are not to be changed."""
        self.start = start
        self.most = most
        self._known: OrderedDict[tuple[object, ...], tuple[Hypotheses, Performed]] = OrderedDict()
        self._thought: dict[tuple[object, ...], object] = {}

    def after(
        self, now: Hypotheses, action: Action, steps: list[int], noticed: list[tuple[str, int]]
    ) -> tuple[Hypotheses, Performed]:
        """The belief after one action more, settled where it taught something, and what the action did to the vehicles
        that were there before it settled.

        now: a belief of this trail, left as it is; steps, noticed: as in ``Hypotheses.act``.
        """
        key = (*_key(now), _done(action, steps, noticed))
        if key in self._known:
            self._known.move_to_end(key)
            return self._known[key]
        then = now.copy()
        performed = then.act(action, steps, noticed)
        if (steps or noticed) and badly_foreseen(then, performed.readings, steps, noticed):
            then = widened(then)
        then = then.without_failed()
        if steps or noticed:
            then = settle(then)
        self._known[key] = then, performed
        while len(self._known) > self.most:
            self._known.popitem(last=False)
        return then, performed

    def once(self, now: Hypotheses, about: Hashable, think: Callable[[], Thought]) -> Thought:
        """What is thought at a belief of this trail, thought once; about: all else that it depends on."""
        key = (_key(now), about)
        if key not in self._thought:
            self._thought[key] = think()
        return cast(Thought, self._thought[key])


def _key(now: Hypotheses) -> tuple[object, ...]:
    return tuple(_done(*done) for done in now.past)


def _done(action: Action, steps: list[int], noticed: list[tuple[str, int]]) -> tuple[object, ...]:
    return (action, *steps, *map(tuple, noticed))
