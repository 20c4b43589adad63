"""One drawn job: a vehicle with a fault, a complaint that its physics shows, and words for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from grading.drawing.cells import NOTHING, TWO, Cell, faults_for
from grading.drawing.dice import Dice
from grading.drawing.plan import Plan
from grading.drawing.words import Words
from grading.fairness.complaint import shown_complaints
from grading.fairness.proof_course import actions_of, can_be_tried, proof_course, worked
from grading.marks.twins import HEALTHY as HEALTHY_TWIN
from grading.marks.twins import OWN, Twins
from grading.observer.prior import MISREPORTED, RELATED_COMPLAINTS, RELATED_WEIGHT, SHOWN_WEIGHT, may_come_together
from scenarios.actions import PHYSICAL, Action
from scenarios.files.cross_references import HEALTHY
from scenarios.model import Catalogue, Fault, Job, Planted
from sim.observation.instruments import RED_FROM
from sim.observation.quantities import QUANTITIES

SEED = 1
"""The vehicle by which a complaint is chosen."""
TYPICAL_KM, OLDEST_KM = (40, 180), 290
"""Mileage of two vehicles in three, and of the oldest [1000 km] (ours)."""
HIGHEST_M = 900
WARM_ENOUGH_C = 45.0
NEEDLE = 0.06
"""Difference of the needle that a driver does not notice [-] of its travel (ours)."""
ABOUT_THE_NEEDLE = frozenset({"gauge", "overheating"})
WARMING = (Action("engine", ("start",)), Action("set", ("heater", 100.0)), Action("drive", (20.0, 50.0)))


def drawn_job(
    catalogue: Catalogue, plan: Plan, cell: Cell, name: str, words: Words, dice: Dice, shunned: frozenset[str]
) -> Job | None:
    """A job for a cell, not yet proven; None where the vehicle drawn shows none of its complaints.

    name: its id; shunned: faults that must not be planted. Raises PhysicsFailed.
    """
    vehicle = catalogue.vehicles[cell.vehicle]
    faults = _faults(catalogue, cell, dice, shunned)
    if faults is None:
        return None
    thousands = dice.whole("mileage", *(TYPICAL_KM if dice.share("age") < 2.0 / 3.0 else (TYPICAL_KM[1], OLDEST_KM)))
    blank = Job(
        id=name,
        title=name,
        customer="",
        complaint="",
        complains_of=("cold",),
        comes_and_goes=False,
        vehicle=vehicle.id,
        faults=tuple(Planted(fault.id, None) for fault in faults),
        ambient_C=float(dice.whole("weather", *plan.weather)),
        altitude_m=10.0 * dice.whole("altitude", 0, HIGHEST_M // 10),
        mileage_km=1000.0 * thousands,
        history="",
        difficulty=3,
        warm_enough_C=WARM_ENOUGH_C,
        diagnosis_only=plan.diagnosis_only,
    )
    job = _with_complaint(catalogue, blank, faults, cell.complaints, dice)
    if job is None:
        return None
    (kind,) = job.complains_of
    usual = kind not in ABOUT_THE_NEEDLE and _needle_is_usual(catalogue, job)
    return replace(
        job,
        title=words.title(dice, kind),
        customer=words.customer(dice),
        complaint=words.complaint(dice, kind, job.comes_and_goes, usual),
        history=words.history(dice, cell.earlier_work),
    )


def _faults(catalogue: Catalogue, cell: Cell, dice: Dice, shunned: frozenset[str]) -> list[Fault] | None:
    """The faults to plant, by their rates; none for nothing wrong; None where all that fit are shunned."""
    if cell.kind == NOTHING:
        return []
    vehicle = catalogue.vehicles[cell.vehicle]
    able = [one for one in faults_for(catalogue, vehicle, cell.kind, cell.system, cell.faults) if one.id not in shunned]
    if not able:
        return None
    first = dice.one_of("fault", able, [fault.rate for fault in able])
    if cell.kind != TWO:
        return [first]
    others = [one for one in catalogue.faults_of(vehicle) if may_come_together(first, one) and one.id not in shunned]
    return [first, dice.one_of("second fault", others, [fault.rate for fault in others])] if others else None


def _with_complaint(
    catalogue: Catalogue, blank: Job, faults: Sequence[Fault], wanted: frozenset[str], dice: Dice
) -> Job | None:
    """The job with a complaint that the vehicle really shows, by the chances that the observer assumes of customers:
    what such a fault is known for, or something akin to it. None where nothing of that shows. wanted: complaints that
    it may be, empty for any.
    """
    known = faults or [catalogue.faults[HEALTHY]]
    shows = {kind for fault in known for kind in fault.shows}
    akin = {kind for kin in RELATED_COMPLAINTS if kin & shows for kind in kin} - shows
    vehicle = catalogue.vehicles[blank.vehicle]
    kinds = [kind for kind in (*sorted(shows), *sorted(akin)) if can_be_tried(catalogue, vehicle, kind)]
    kinds = [kind for kind in kinds if not wanted or kind in wanted]
    weights = [SHOWN_WEIGHT if kind in shows else RELATED_WEIGHT for kind in kinds]
    goes = any(fault.comes_and_goes for fault in known)
    says_so = goes and dice.share("says that it comes and goes") > MISREPORTED
    if not faults:
        usual = [kind for kind in kinds if kind in shows]
        return replace(blank, complains_of=(dice.one_of("complaint", usual),)) if usual else None
    for kind in dice.shuffled("complaint", kinds, weights):
        job = replace(blank, complains_of=(kind,), comes_and_goes=says_so)
        session = worked(catalogue, job, SEED, [], proof_course(catalogue, job))
        if kind in shown_complaints(catalogue, job, SEED, actions_of(session)):
            return job
    return None


def _needle_is_usual(catalogue: Catalogue, job: Job) -> bool:
    """Whether the needle stands, after a drive, where it does in the healthy twin."""
    twins = Twins(catalogue, job, SEED)
    for action in WARMING:
        if action.verb in PHYSICAL:
            twins.perform(action)
    needle = QUANTITIES["gauge needle"](twins.workshop.fleet)
    own, healthy = float(needle[OWN]), float(needle[HEALTHY_TWIN])
    return abs(own - healthy) < NEEDLE and own < RED_FROM
