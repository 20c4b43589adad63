"""Drawing one job: a vehicle with a fault, a complaint that occurs in the simulation, and the texts of the job card."""

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
from grading.observer.prior import MISREPORTED, RELATED_WEIGHT, SHOWN_WEIGHT, may_come_together, related_complaints
from scenarios.actions import PHYSICAL, Action
from scenarios.files.cross_references import HEALTHY
from scenarios.model import ELECTRIC, Catalogue, Fault, Job, Planted
from sim.observation.instruments import RED_FROM
from sim.observation.quantities import QUANTITIES

SEED = 1
"""Seed of the vehicle on which the complaint is simulated."""
TYPICAL_KM, OLDEST_KM = (40, 180), 290
"""Mileage of two vehicles in three, and of the oldest [1000 km] (ours)."""
HIGHEST_M = 900
WARM_ENOUGH_C = 45.0
NEEDLE = 0.06
"""Difference of the needle that a driver does not notice [share of its travel] (estimate)."""
ABOUT_THE_NEEDLE = frozenset({"gauge", "overheating"})
WARMING = (Action("engine", ("start",)), Action("set", ("heater", 100.0)), Action("drive", (20.0, 50.0)))


def drawn_job(
    catalogue: Catalogue, plan: Plan, cell: Cell, name: str, words: Words, dice: Dice, excluded: frozenset[str]
) -> Job | None:
    """A job for a cell, not yet proven fair; None if the vehicle drawn shows none of the permitted complaints.

    name: its id; excluded: ids of faults that it must not have. Raises PhysicsFailed.
    """
    vehicle = catalogue.vehicles[cell.vehicle]
    faults = _faults(catalogue, cell, dice, excluded)
    if faults is None:
        return None
    thousands = dice.integer("mileage", *(TYPICAL_KM if dice.share("age") < 2.0 / 3.0 else (TYPICAL_KM[1], OLDEST_KM)))
    blank = Job(
        id=name,
        title=name,
        customer="",
        complaint="",
        complains_of=("cold",),
        comes_and_goes=False,
        vehicle=vehicle.id,
        faults=tuple(Planted(fault.id, None) for fault in faults),
        ambient_C=float(dice.integer("weather", *plan.weather)),
        altitude_m=10.0 * dice.integer("altitude", 0, HIGHEST_M // 10),
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
    has_needle = ELECTRIC not in vehicle.equipment
    usual = has_needle and kind not in ABOUT_THE_NEEDLE and _needle_is_usual(catalogue, job)
    return replace(
        job,
        title=words.title(dice, kind),
        customer=words.customer(dice),
        complaint=words.complaint(dice, kind, job.comes_and_goes, usual),
        history=words.history(dice, cell.earlier_work),
    )


def _faults(catalogue: Catalogue, cell: Cell, dice: Dice, excluded: frozenset[str]) -> list[Fault] | None:
    """Faults drawn by their rates, empty if nothing is to be wrong; None if all that fit are excluded."""
    if cell.kind == NOTHING:
        return []
    vehicle = catalogue.vehicles[cell.vehicle]
    eligible = [
        one for one in faults_for(catalogue, vehicle, cell.kind, cell.system, cell.faults) if one.id not in excluded
    ]
    if not eligible:
        return None
    first = dice.one_of("fault", eligible, [fault.rate for fault in eligible])
    if cell.kind != TWO:
        return [first]
    others = [one for one in catalogue.faults_of(vehicle) if may_come_together(first, one) and one.id not in excluded]
    return [first, dice.one_of("second fault", others, [fault.rate for fault in others])] if others else None


def _with_complaint(
    catalogue: Catalogue, blank: Job, faults: Sequence[Fault], wanted: frozenset[str], dice: Dice
) -> Job | None:
    """The job with a complaint that occurs in the simulation, None if none does.

    Candidates are the complaints that the faults are known for and related ones, with the probabilities that the
    observer assumes. wanted: permitted complaints, empty for any.
    """
    known = faults or [catalogue.faults[HEALTHY]]
    shows = {kind for fault in known for kind in fault.shows}
    related = {kind for fault in known for kind in related_complaints(fault.shows)} - shows
    vehicle = catalogue.vehicles[blank.vehicle]
    kinds = [kind for kind in (*sorted(shows), *sorted(related)) if can_be_tried(catalogue, vehicle, kind)]
    kinds = [kind for kind in kinds if not wanted or kind in wanted]
    weights = [SHOWN_WEIGHT if kind in shows else RELATED_WEIGHT for kind in kinds]
    intermittent = any(fault.comes_and_goes for fault in known)
    says_so = intermittent and dice.share("says that it comes and goes") > MISREPORTED
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
    """Whether the needle reads the same after a drive as in the healthy twin."""
    twins = Twins(catalogue, job, SEED)
    for action in WARMING:
        if action.verb in PHYSICAL:
            twins.perform(action)
    needle = QUANTITIES["gauge needle"](twins.workshop.fleet)
    own, healthy = float(needle[OWN]), float(needle[HEALTHY_TWIN])
    return abs(own - healthy) < NEEDLE and own < RED_FROM
