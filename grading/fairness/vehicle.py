"""Whether a job is fair on one vehicle: the complaint occurs, each cure cures, the fault can be found."""

from __future__ import annotations

from collections.abc import Iterator

from grading.fairness.complaint import shown_complaints
from grading.fairness.cure import doubted_cures, faults_to_cure
from grading.fairness.doubt import Doubt
from grading.fairness.giveaway import given_away
from grading.fairness.look_alikes import look_alikes
from grading.fairness.proof_course import HOT, act, actions_of, proof_course, worked
from grading.marks.proof import prove
from grading.marks.rubric import Rubric
from grading.marks.what_counts import COUNTS, WARM_AIR, complaints_of
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.reference.policy import SURE, diagnosed
from grading.reference.preparation import discounted_minutes
from grading.sessions.session import Session
from scenarios.files.cross_references import HEALTHY
from scenarios.language import N_, Listed, Message, Text
from scenarios.model import COMPLAINTS, Catalogue, Job
from scenarios.physics_failure import PhysicsFailed
from sim.observation.instruments import RED_FROM
from sim.observation.quantities import QUANTITIES

FIRST = 1
"""Seed of the first vehicle."""
WARMS_MINUTES = 20.0
"""Drive after which every sound engine is warm [min] (common practice, no source)."""


class Examiner:
    """Examines the vehicles of one job, which share the belief cache of the reference."""

    def __init__(self, catalogue: Catalogue, job: Job, rubric: Rubric) -> None:
        """rubric: for the minutes allowed."""
        self.catalogue, self.job, self.rubric = catalogue, job, rubric
        self._belief_cache: BeliefCache | None = None

    def doubts(self, seed: int) -> tuple[Doubt, ...]:
        """Doubts about the job on one vehicle, and with the first about its words; empty if it is proven fair."""
        words = tuple(given_away(self.catalogue, self.job)) if seed == FIRST else ()
        try:
            return (*words, *self._simulated(seed), *self._found(seed))
        except PhysicsFailed as error:
            problem = Message("on vehicle {seed}: {why}", seed=seed, why=str(error))
            return (*words, Doubt(None, problem, N_("a vehicle that can be calculated")))

    def _simulated(self, seed: int) -> Iterator[Doubt]:
        """Doubts about complaint, proof and cures."""
        catalogue, job = self.catalogue, self.job
        course = proof_course(catalogue, job)
        actions = actions_of(session := worked(catalogue, job, seed, [], course))
        faulty = faults_to_cure(catalogue, job)[0][0] is not None
        if faulty:
            shown = shown_complaints(catalogue, job, seed, actions)
            for kind in complaints_of(job):
                # as for the proof: what comes with another complaint needs no trial of its own
                if kind not in shown and not (shown and COUNTS[kind].beside):
                    yield _not_shown(kind, seed)
            if not job.diagnosis_only and prove(catalogue, job, seed, actions).proven:
                problem = Message("on vehicle {seed} the unrepaired vehicle passes the proof too", seed=seed)
                yield Doubt(0, problem, N_("a proof that only a repaired vehicle passes"))
        else:
            yield from _justified(session, seed)
        if not job.diagnosis_only:
            yield from doubted_cures(catalogue, job, seed, course)

    def _found(self, seed: int) -> Iterator[Doubt]:
        """Doubts about whether the fault can be found."""
        if self._belief_cache is None:
            self._belief_cache = BeliefCache(Particles.sample_prior(self.catalogue, self.job))
        end = diagnosed(self.catalogue, self.job, seed, self._belief_cache)
        course = end.course
        real = self.job.real_faults
        told = {"seed": seed, "belief": course.belief, "fault": _named(course.diagnosis)}
        if course.diagnosis not in real:
            problem = Message("on vehicle {seed} a perfect observer is {belief:.0%} sure of {fault}", **told)
            problem = _with_look_alikes(problem, look_alikes(end, real))
            yield Doubt(0 if self.job.faults else None, problem, Listed(map(_named, real), N_(" or ")))
            return
        place = next((k for k, planted in enumerate(self.job.faults) if planted.fault == course.diagnosis), None)
        if course.belief < SURE:
            problem = Message("on vehicle {seed} a perfect observer is only {belief:.0%} sure of {fault}", **told)
            problem = _with_look_alikes(problem, look_alikes(end))
            yield Doubt(place, problem, Message("at least {least:.0%}", least=SURE))
        minutes, allowed = course.minutes - discounted_minutes(course.actions), self.rubric.allowed(self.job)
        if minutes > allowed:
            problem = Message(
                "on vehicle {seed} a perfect observer takes {minutes:.0f} minutes", seed=seed, minutes=minutes
            )
            yield Doubt(place, problem, Message("at most the {allowed:.0f} minutes allowed", allowed=allowed))


def _with_look_alikes(problem: Message, others: Text) -> Message:
    return Message("{problem}; {others}", problem=problem, others=others) if others else problem


def _named(fault: str) -> str:
    """A fault's id for messages, in words for the healthy entry."""
    return N_("nothing wrong") if fault == HEALTHY else fault


def _not_shown(kind: str, seed: int) -> Doubt:
    """The doubt for a complaint that does not occur."""
    problem = Message(
        "on vehicle {seed} the complaint '{kind}' does not show beside a healthy vehicle on the same drive",
        seed=seed,
        kind=kind,
    )
    return Doubt(0, problem, Message("a vehicle that shows it ({what})", what=COMPLAINTS[kind]))


def _justified(session: Session, seed: int) -> Iterator[Doubt]:
    """Doubts about a vehicle without a fault that gives reason to complain after a drive."""
    job, fleet = session.job, session.workshop.fleet
    for action in (*HOT, act("drive", WARMS_MINUTES)):
        session.do(action)
    warmth = float(QUANTITIES["vent temperature"](fleet)[0])
    if WARM_AIR & {*complaints_of(job)} and warmth < job.warm_enough_C:
        told = {"seed": seed, "warmth": warmth}
        problem = Message("vehicle {seed} has no fault and its vents reach only {warmth:.0f} °C on the road", **told)
        yield Doubt(None, problem, Message("{least:.0f} °C, as warm_enough_C has it", least=job.warm_enough_C))
    if float(QUANTITIES["gauge needle"](fleet)[0]) > RED_FROM:
        problem = Message("vehicle {seed} has no fault and its needle goes into the red", seed=seed)
        yield Doubt(None, problem, N_("an engine that does not overheat"))
