"""Predicted readings of checks, for weighing them beforehand.

Most checks read the same at their end as at their start, and are read at once. Those marked in the data
(``Check.changes_meanwhile``) do not: a reservoir holds or loses its vacuum only after the engine has stood for minutes.
They are simulated on a copy of the particles; checks that hold the same controls share one run.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from grading.observer.information import OutcomeSampler
from grading.observer.particles import Particles
from scenarios.actions import Action, NotPossible
from scenarios.model import Check
from scenarios.workshop import Look, Workshop


@dataclass(frozen=True)
class PredictedCheck:
    """Predicted readings of a check.

    looks: instrument and true values (n,) of each reading, in the order of the data; failed (n,): particles whose
    equations could not be solved to its end.
    """

    check: Check
    looks: list[tuple[str, np.ndarray]]
    failed: np.ndarray


def read_now(sampler: OutcomeSampler, checks: Iterable[Check]) -> Iterator[PredictedCheck]:
    """Checks read at once, without their minutes passing."""
    for check in checks:
        yield PredictedCheck(check, sampler.looks(check), sampler.particles.workshop.fleet.failed)


def simulated(particles: Particles, checks: Iterable[Check]) -> Iterator[PredictedCheck]:
    """Checks simulated on copies of the particles, each as if it came next; runs are made lazily.

    Checks that are not possible now are left out.
    """
    shared: dict[object, list[Check]] = {}
    for check in checks:
        shared.setdefault(check.id if check.held is None else check.held, []).append(check)
    for together in shared.values():
        shop = particles.workshop.copy()
        try:
            looks = _looks(shop, together)
        except NotPossible:
            continue
        for check in together:
            seen = [(spec.instrument, true) for spec, true, _ in looks[check.id]]
            yield PredictedCheck(check, seen, shop.fleet.failed)


def _looks(shop: Workshop, together: list[Check]) -> dict[str, list[Look]]:
    if together[0].held is not None:
        return shop.look_together(together)
    (check,) = together
    return {check.id: shop.perform(Action("check", (check.id,))).readings}
