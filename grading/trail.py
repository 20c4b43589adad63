"""Beliefs along what was done: what two sessions of one job have in common is replayed once.

An assessor marks forty candidates of one job, and many of them begin alike; a study plays ten ways of working on one
vehicle, and grades what it has just followed.
"""

from __future__ import annotations

from collections import OrderedDict

from grading.belief import Hypotheses
from grading.upkeep import settle
from scenarios.actions import Action
from scenarios.workshop import Performed

MOST = 40
"""Beliefs remembered, the latest used; one takes a megabyte or two."""


class Trail:
    """The beliefs of one job's observer, from what was imagined at first to any moment that has been asked for."""

    def __init__(self, start: Hypotheses, most: int = MOST) -> None:
        """start: before anything is done; most: beliefs remembered. Beliefs handed out are not to be changed."""
        self.start = start
        self.most = most
        self._known: OrderedDict[tuple[object, ...], tuple[Hypotheses, Performed]] = OrderedDict()

    def after(
        self, now: Hypotheses, action: Action, steps: list[int], noticed: list[tuple[str, int]]
    ) -> tuple[Hypotheses, Performed]:
        """The belief after one action more, settled where it taught something, and what the action did to the vehicles
        that were there before it settled.

        now: a belief of this trail, left as it is; steps, noticed: as in ``Hypotheses.act``.
        """
        past = (*now.past, (action, steps, noticed))
        key = tuple((done, *read, *map(tuple, seen)) for done, read, seen in past)
        if key in self._known:
            self._known.move_to_end(key)
            return self._known[key]
        then = now.copy()
        performed = then.act(action, steps, noticed)
        if steps or noticed:
            then = settle(then)
        self._known[key] = then, performed
        while len(self._known) > self.most:
            self._known.popitem(last=False)
        return then, performed
