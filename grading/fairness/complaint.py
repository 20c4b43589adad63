"""Whether the unrepaired vehicle of a job shows the complaint, compared with a healthy twin on the same drive."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from grading.marks.healthy_range import distinguishes, healthy_range
from grading.marks.twins import HEALTHY, OWN, Twins
from grading.marks.what_counts import COUNTS, complaints_of
from grading.sessions.perception import SENSES
from grading.sessions.record import RecordEntry
from scenarios.actions import PHYSICAL
from scenarios.model import Catalogue, Job
from scenarios.workshop import Workshop
from sim.observation.instruments import INSTRUMENTS, RED_FROM
from sim.observation.quantities import QUANTITIES

LOWER, EITHER, HIGHER = -1, 0, 1
SIDES = {
    "vent temperature": LOWER,
    "rear vent temperature": LOWER,
    "blower air": LOWER,
    "gauge needle": HIGHER,
    "coolant temperature": HIGHER,
    "engine computer's coolant temperature": HIGHER,
}
"""Quantity to the direction of deviation that shows a complaint; either direction for others."""
OTHERWISE = {("too warm", "vent temperature"): HIGHER, ("gauge", "gauge needle"): EITHER}
"""Complaint and quantity with another direction."""
SENSED = {"warmth felt": "vent temperature", "air felt": "blower air", "gauge seen": "gauge needle"}
"""Sense to the quantity that it perceives, where the direction matters."""


def shown_complaints(catalogue: Catalogue, job: Job, seed: int, actions: list[RecordEntry]) -> frozenset[str]:
    """Complaints of a job that its unrepaired vehicle shows in the actions of a record without repairs.

    A complaint is shown if an instrument or sense that counts for it distinguishes the vehicle from its healthy twin at
    the same time, in the right direction. True values are compared, without noise. An intermittent fault is observed
    all the time. Raises PhysicsFailed.
    """
    twins = Twins(catalogue, job, seed)
    kinds, found = complaints_of(job), set[str]()
    watched = [kind for kind in kinds if twins.comes_and_goes or COUNTS[kind].watched]
    if watched:
        twins.watch(lambda workshop: found.update(_sensed(watched, workshop)))
    felt = [kind for kind in kinds if COUNTS[kind].felt]
    for entry in actions:
        if entry.data["verb"] not in PHYSICAL:
            continue
        for spec, true, _minute in twins.perform(entry.action).readings:
            counting = [kind for kind in kinds if spec.quantity in COUNTS[kind].quantities]
            found |= {kind for kind in counting if _differs(kind, spec.quantity, spec.instrument, true, twins.workshop)}
        found |= _sensed([*felt, *_felt_in_the_red(kinds, twins.workshop)], twins.workshop)
    return frozenset(found)


def _felt_in_the_red(kinds: Iterable[str], workshop: Workshop) -> list[str]:
    """Complaints of cold air that the driver feels when a drive ends in the red: the engine is warm, but no measurement
    follows.
    """
    in_the_red = QUANTITIES["gauge needle"](workshop.fleet)[OWN] > RED_FROM
    return [kind for kind in kinds if kind in ("cold", "lukewarm") and in_the_red]


def _sensed(kinds: Iterable[str], workshop: Workshop) -> set[str]:
    """Complaints that the customer perceives now."""
    found = set[str]()
    for kind in kinds:
        sense = SENSES.get(COUNTS[kind].sense)
        if sense is None or workshop.place not in sense.places or not sense.when(workshop):
            continue
        quantity = SENSED.get(COUNTS[kind].sense, "")
        if _differs(kind, quantity, sense.likelihood_instrument, sense.quantity(workshop.fleet), workshop):
            found.add(kind)
    return found


def _differs(kind: str, quantity: str, instrument: str, true: np.ndarray, workshop: Workshop) -> bool:
    """Whether an instrument distinguishes the unrepaired vehicle from the healthy one, in the right direction."""
    healthy, own = float(true[HEALTHY]), float(true[OWN])
    side = OTHERWISE.get((kind, quantity), SIDES.get(quantity, EITHER))
    if healthy == own or (own - healthy) * side < 0.0:
        return False
    outside = float(workshop.fleet.controls["ambient_C"][HEALTHY])
    return distinguishes(healthy_range(INSTRUMENTS[instrument], healthy, own, outside), healthy, own)
