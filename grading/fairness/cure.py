"""Whether each cure of a job cures: it can be proven, and the customer has no complaint for a month."""

from __future__ import annotations

from collections.abc import Iterator

from grading.fairness.doubt import Doubt
from grading.fairness.proof_course import act, actions_of, worked
from grading.marks.comeback import month_after
from grading.marks.proof import prove
from scenarios.actions import Action
from scenarios.files.cross_references import HEALTHY
from scenarios.language import N_, Message
from scenarios.model import Catalogue, Fault, Job


def faults_to_cure(catalogue: Catalogue, job: Job) -> list[tuple[int | None, Fault]]:
    """A job's faults that change the vehicle, with their indices in the job; if there are none, the healthy entry with
    index None.
    """
    real = [
        (place, catalogue.faults[planted.fault])
        for place, planted in enumerate(job.faults)
        if planted.severity != 0.0 and catalogue.faults[planted.fault].changes
    ]
    return [*real] or [(None, catalogue.faults[name]) for name in (HEALTHY,) if name in catalogue.faults]


def doubted_cures(catalogue: Catalogue, job: Job, seed: int, course: list[Action]) -> Iterator[Doubt]:
    """Doubts about the cures of a job's faults on one vehicle, each tried with the first cures of the other faults.

    course: actions that prove each repair. Raises PhysicsFailed.
    """
    faults = faults_to_cure(catalogue, job)
    vehicle = catalogue.vehicles[job.vehicle]
    cures = [[name for name in fault.cured_by if catalogue.repairs[name].fits(vehicle)] for _, fault in faults]
    tried = set[tuple[str, ...]]()
    for k, (place, _) in enumerate(faults):
        for cure in cures[k]:
            repairs = [cure if other == k else names[0] for other, names in enumerate(cures) if names]
            if tuple(repairs) not in tried:
                tried.add(tuple(repairs))
                yield from _doubted(catalogue, job, seed, repairs=repairs, cure=cure, place=place, course=course)


def _doubted(
    catalogue: Catalogue, job: Job, seed: int, *, repairs: list[str], cure: str, place: int | None, course: list[Action]
) -> Iterator[Doubt]:
    """Doubts about one cure."""
    told = {"seed": seed, "repair": cure}
    session = worked(catalogue, job, seed, repairs, course)
    if session.repairs != repairs:
        problem = Message("on vehicle {seed} {repair} cannot be done as the vehicle arrives", **told)
        yield Doubt(place, problem, N_("a repair that can be done"))
        return
    proof = prove(catalogue, job, seed, actions_of(session))
    if not proof.proven:
        problem = Message("on vehicle {seed} {repair} cannot be proven ({why})", **told, why=proof.why_not)
        yield Doubt(place, problem, N_("a proof as the job card asks for it"))
    session.do(act("handback"))
    month = month_after(catalogue, job, session.recorder.entries)
    if month is not None and month.day is not None:
        problem = Message(
            "on vehicle {seed} after {repair} the customer is back on day {day}: {what}",
            **told,
            day=month.day,
            what=month.what,
        )
        yield Doubt(place, problem, N_("a month without complaint"))
    elif month is not None and month.forbidden:
        problem = Message("on vehicle {seed} after {repair} it must not be driven: {why}", **told, why=month.forbidden)
        yield Doubt(place, problem, N_("a vehicle that may be driven"))
