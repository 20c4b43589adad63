"""What checks would show once their minutes have passed: carried out beforehand on possible vehicles.

Most checks show at their end what they would show at their start, and are weighed as things stand. Those that data
marks (``Check.changes_meanwhile``) are not: a reservoir holds its vacuum or loses it only once the engine has stood for
minutes. They are carried out on a copy of the vehicles, and those that hold the same controls share one run.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from grading.observer.information import Moment
from grading.observer.particles import Hypotheses
from scenarios.actions import Action, NotPossible
from scenarios.model import Check
from scenarios.workshop import Look, Workshop


@dataclass(frozen=True)
class Foreseen:
    """What a check would show.

    looks: instrument and true quantities (n,) of each reading, in the order of the data; failed: vehicles that cannot
    be calculated to its end (n,), of which it tells nothing.
    """

    check: Check
    looks: list[tuple[str, np.ndarray]]
    failed: np.ndarray


def as_it_stands(moment: Moment, checks: Iterable[Check]) -> Iterator[Foreseen]:
    """Checks read at this moment, none of their minutes let pass."""
    for check in checks:
        yield Foreseen(check, moment.looks(check), moment.hypotheses.workshop.fleet.failed)


def carried_out(hypotheses: Hypotheses, checks: Iterable[Check]) -> Iterator[Foreseen]:
    """Checks carried out on copies of the vehicles, each as if it alone came next; a run is made when asked for.

    A check that cannot be done as things stand is left out.
    """
    shared: dict[object, list[Check]] = {}
    for check in checks:
        shared.setdefault(check.id if check.held is None else check.held, []).append(check)
    for together in shared.values():
        shop = hypotheses.workshop.copy()
        try:
            looks = _looks(shop, together)
        except NotPossible:
            continue
        for check in together:
            seen = [(spec.instrument, true) for spec, true, _ in looks[check.id]]
            yield Foreseen(check, seen, shop.fleet.failed)


def _looks(shop: Workshop, together: list[Check]) -> dict[str, list[Look]]:
    if together[0].held is not None:
        return shop.look_together(together)
    (check,) = together
    return {check.id: shop.perform(Action("check", (check.id,))).readings}
