"""The grade of a record, compared with an ideal observer's belief and with the reference on the same vehicle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from grading.marks import criteria as rules
from grading.marks import workmanship
from grading.marks.ambiguity import group_of
from grading.marks.case import Case, Declared, earned_at, same_cure
from grading.marks.comeback import Comeback, Months, month_after
from grading.marks.proof import UNPROVEN, Proof, prove
from grading.marks.replay import Step, replay
from grading.marks.rubric import Rubric, load_rubric
from grading.marks.verdict import Verdict, came_back, is_temporary, verdict
from grading.observer.cache import BeliefCache
from grading.observer.particles import PER_FAULT, Particles
from grading.observer.prior import complaint_likelihood
from grading.reference.policy import SOLVER, ReferenceRun, diagnose
from grading.sessions.modes import FREE, Mode
from grading.sessions.record import RecordEntry
from scenarios.actions import standing
from scenarios.language import Listed, Message, Text
from scenarios.model import Catalogue, Fault, Job

CLOSER_LOOK_BELOW = 0.5
"""Belief in a correct diagnosis below which the record is graded again with more particles."""
CLOSER_LOOK, OTHER_VEHICLES = 4, "again"
"""Factor on the number of particles then, and their seed."""
OTHER_RATES = (0.5, 2.0)
"""Factors on one fault's rate at a time, under which pass or fail is checked."""


@dataclass(frozen=True)
class Grade:
    """The marks of one record.

    total 0..100; passed; verdict: see ``grading.marks.verdict``; criteria: name to 0..100; weights: name to share;
    checks_used, minutes_used: up to the diagnosis; reference_checks, reference_minutes: of the reference on the same
    vehicle; safety: safety errors; reasons: why marks were lost and a pass was refused; rubric: hash; course, steps: of
    the reference and the record, for the debrief; group: the declared fault and, where it could matter, those that no
    check distinguishes from it; hangs_on: fault and factor on its rate that would turn pass into fail or the reverse;
    mode: of the session; hints: marks lost for hints; comeback: result of the month after hand-back, None without
    hand-back; belief, belief_error: belief in the group of the declared fault by which it was marked, and its standard
    error, None without diagnosis; critical: errors that fail the job; proof: of the repair; vehicles_failed: particles
    removed because their equations could not be solved.
    """

    total: float
    passed: bool
    verdict: str
    criteria: dict[str, float]
    weights: dict[str, float]
    checks_used: int
    minutes_used: float
    reference_checks: int
    reference_minutes: float
    safety: list[str]
    reasons: list[Text]
    rubric: str
    truth: list[str]
    course: ReferenceRun
    steps: list[Step]
    job: Job
    faults: list[Fault]
    group: list[str]
    hangs_on: list[tuple[str, float]]
    comeback: Comeback | None
    mode: str = FREE
    hints: float = 0.0
    competences: dict[str, float] = field(default_factory=dict)
    belief: float | None = None
    belief_error: float | None = None
    critical: list[Text] = field(default_factory=list)
    proof: Proof = UNPROVEN
    vehicles_failed: int = 0

    def to_json(self) -> dict[str, Any]:
        """The marks as JSON data, without the replay."""
        course = asdict(self.course)
        return {
            "total": self.total,
            "passed": self.passed,
            "verdict": self.verdict,
            "criteria": self.criteria,
            "competences": self.competences,
            "weights": self.weights,
            "checks_used": self.checks_used,
            "minutes_used": self.minutes_used,
            "reference_checks": self.reference_checks,
            "reference_minutes": self.reference_minutes,
            "reference": {k: course[k] for k in ("checks", "diagnosis", "belief", "vehicles_failed")},
            "safety": self.safety,
            "critical": [str(error) for error in self.critical],
            "proven": self.proof.proven,
            "reasons": [str(reason) for reason in self.reasons],
            "rubric": self.rubric,
            "solver": SOLVER,
            "vehicles_imagined": PER_FAULT,
            "vehicles_failed": self.vehicles_failed,
            "belief": _rounded(self.belief),
            "belief_standard_error": _rounded(self.belief_error),
            "group": self.group,
            "rates": {fault.id: fault.rate for fault in self.faults},
            "chance_of_complaint": {fault.id: round(complaint_likelihood(self.job, fault), 6) for fault in self.faults},
            "hangs_on_rates": [{"fault": fault, "factor": factor} for fault, factor in self.hangs_on],
            "mode": self.mode,
            "hints": self.hints,
            "comeback": None if self.comeback is None else asdict(self.comeback),
        }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 6)


class Grader:
    """Grades records of one job and seed, which share the prior particles, the reference and the belief cache.

    These are computed when first needed, so that forty candidates are graded with one reference.
    """

    def __init__(self, catalogue: Catalogue, job: Job, seed: int, rubric: Rubric | None = None, scale: int = 1) -> None:
        """rubric: the packaged one if not given; scale: factor on the usual number of particles, which have another
        seed if it is not 1.
        """
        self.catalogue, self.job, self.seed, self.scale = catalogue, job, seed, scale
        self.rubric = rubric or load_rubric()
        self._parted: dict[frozenset[int], bool] = {}
        self._months: Months = {}

    @cached_property
    def prior_particles(self) -> Particles:
        """The observer's prior."""
        seed = "imagined" if self.scale == 1 else OTHER_VEHICLES
        return Particles.sample_prior(self.catalogue, self.job, seed, self.scale)

    @cached_property
    def belief_cache(self) -> BeliefCache:
        """Cache of the beliefs of all records graded so far."""
        return BeliefCache(self.prior_particles)

    @cached_property
    def course(self) -> ReferenceRun:
        """What the reference did."""
        return diagnose(self.catalogue, self.job, self.seed, self.belief_cache)

    @cached_property
    def closer_look(self) -> Grader:
        """A grader with more particles and the same reference."""
        grader = Grader(self.catalogue, self.job, self.seed, self.rubric, CLOSER_LOOK * self.scale)
        grader.course, grader._months = self.course, self._months
        return grader

    def reference(self, progress: Callable[[float], None]) -> ReferenceRun:
        """``course``; progress: called with 0..1 if it is not known yet, may raise to abort."""
        if "course" not in self.__dict__:
            self.course = diagnose(self.catalogue, self.job, self.seed, self.belief_cache, progress)
        return self.course

    def grade(
        self, entries: list[RecordEntry], progress: Callable[[float], None] | None = None, look_ahead: bool = False
    ) -> Grade:
        """Grade a record of this job and seed; look_ahead: also find the best option at each step, for the debrief."""
        tell = progress or (lambda share: None)
        tell(0.1)
        steps = replay(entries, self.belief_cache, look_ahead, lambda share: tell(0.1 + 0.5 * share))
        course = self.reference(lambda share: tell(0.6 + 0.4 * share))
        tell(1.0)
        grade = self._mark(entries, steps, course, lambda: tell(1.0))
        if self.scale == 1 and needs_more_particles(grade):
            return self.closer_look.grade(entries, lambda share: tell(1.0), look_ahead)
        return grade

    def _group(self, declared: Fault, belief: np.ndarray, truth: list[str]) -> frozenset[str]:
        """The declared fault and those that no check distinguishes from it, determined only where it could matter."""
        index = self.prior_particles.faults.index(declared)
        if declared.id in truth and belief[index] >= rules.EARNED:
            return frozenset({declared.id})
        return group_of(self.prior_particles, index, belief, self._parted)

    def _declared(self, steps: list[Step], at: int, truth: list[str]) -> Declared:
        """The diagnosis of a step with the belief that counts for it."""
        faults, said = self.prior_particles.faults, steps[at].action
        fault = next(fault for fault in faults if fault.id == said.text(0))
        real = [self.catalogue.faults[name] for name in truth]
        group = self._group(fault, steps[at].after, truth)
        meant = next((one for one in real if one.id in group or same_cure(fault, one)), None)
        counts, before = earned_at(self.catalogue, steps, at, meant)
        step = steps[counts]
        belief, error = (step.before, step.error_before) if before else (step.after, step.error)
        if before:
            group = self._group(fault, belief, truth)
        return Declared(fault, said.number(1) / 100.0, group, belief, error)

    def _mark(
        self, entries: list[RecordEntry], steps: list[Step], course: ReferenceRun, progress: Callable[[], None]
    ) -> Grade:
        actions = [entry for entry in entries if entry.kind == "action"]
        truth = list(self.job.real_faults)
        case = Case(
            self.catalogue,
            self.job,
            actions,
            steps,
            course,
            self.prior_particles.faults,
            truth,
            self.rubric,
            tuple(self._declared(steps, at, truth) for at in standing([step.action for step in steps])),
            prove(self.catalogue, self.job, self.seed, actions),
        )
        mode = Mode.of_record(entries[0].data).name
        vehicles_failed = steps[-1].vehicles_failed if steps else self.prior_particles.vehicles_failed
        comeback = (
            None if self.job.diagnosis_only else month_after(self.catalogue, self.job, entries, self._months, progress)
        )
        return grade_case(case, comeback, mode, vehicles_failed)


def needs_more_particles(grade: Grade) -> bool:
    """Whether the diagnosis is correct but has a low belief, which may be due to too few particles."""
    return bool(set(grade.group) & set(grade.truth)) and grade.belief is not None and grade.belief < CLOSER_LOOK_BELOW


def grade_case(case: Case, comeback: Comeback | None, mode: str = FREE, vehicles_failed: int = 0) -> Grade:
    """Apply the rubric to a case.

    comeback: of the month after hand-back, None without hand-back; mode, vehicles_failed: as in ``Grade``.
    """
    criteria, reasons = _criteria(case, comeback)
    found = verdict(case, criteria, comeback)
    reasons += found.reasons
    hangs_on = _hangs_on(case, criteria, comeback, found)
    if hangs_on:
        complaint_likelihood = Listed(
            Message("{fault} x {factor:g}", fault=case.catalogue.faults[name].name, factor=factor)
            for name, factor in hangs_on
        )
        reasons.append(
            Message("with other assumed fault rates the verdict would differ: {rates}", rates=complaint_likelihood)
        )
    if vehicles_failed:
        reasons.append(
            Message(
                "simulated vehicles left out because they could not be calculated: {number}", number=vehicles_failed
            )
        )
    declared, steps = case.declared, case.to_diagnosis
    return Grade(
        total=round(found.total, 1),
        passed=found.passed,
        verdict=found.name,
        criteria={name: round(value, 1) for name, value in criteria.items()},
        weights=dict(case.rubric.weights),
        checks_used=sum(step.action.verb == "check" for step in steps),
        minutes_used=round(max((step.minute + step.minutes for step in steps), default=0.0), 2),
        reference_checks=len(case.course.checks),
        reference_minutes=round(case.course.minutes, 2),
        safety=[str(event["what"]) for entry in case.actions for event in entry.data.get("safety", ())],
        reasons=reasons,
        rubric=case.rubric.hash,
        truth=case.truth,
        course=case.course,
        steps=case.steps,
        job=case.job,
        faults=case.faults,
        group=sorted(declared.group) if declared else [],
        hangs_on=hangs_on,
        comeback=comeback,
        mode=mode,
        hints=rules.hint_marks(case.actions, case.rubric),
        competences={code: round(criteria[name], 1) for code, name in case.job.competences.items()},
        belief=None if declared is None else case.in_group(declared, declared.belief),
        belief_error=None if declared is None else case.in_group(declared, declared.error),
        critical=found.critical,
        proof=case.proof,
        vehicles_failed=vehicles_failed,
    )


def grade_record(
    catalogue: Catalogue,
    entries: list[RecordEntry],
    progress: Callable[[float], None] | None = None,
    rubric: Rubric | None = None,
    look_ahead: bool = False,
) -> Grade:
    """Grade one record. look_ahead: also find the best option at each step, for the debrief; progress: called with
    0..1.
    """
    job = catalogue.jobs[str(entries[0].data["job"])]
    return Grader(catalogue, job, int(entries[0].data["seed"]), rubric).grade(entries, progress, look_ahead)


def _criteria(case: Case, comeback: Comeback | None) -> tuple[dict[str, float], list[Text]]:
    back = came_back(case, comeback) or (comeback is not None and comeback.held)
    results = {
        "diagnosis": rules.diagnosis(case),
        "efficiency": rules.efficiency(case),
        "safety": workmanship.safety(case),
        "parts": workmanship.parts(case, back, is_temporary(case)),
        "inquiry": rules.inquiry(case),
        "calibration": rules.calibration(case),
    }
    reasons = [reason for _, said in results.values() for reason in said]
    if comeback is not None and comeback.day is not None:
        reasons.append(Message("it came back on day {day}: {what}", day=comeback.day, what=comeback.what))
    if comeback is not None and comeback.needlessly_held:
        reasons.append(Message('marked "not to be driven" although the vehicle is roadworthy'))
    return {name: value for name, (value, _) in results.items()}, reasons


def _hangs_on(
    case: Case, criteria: dict[str, float], comeback: Comeback | None, found: Verdict
) -> list[tuple[str, float]]:
    """Faults and factors on their rates that would change pass or fail, one at a time; the reference is not rerun."""
    out = []
    for k, fault in enumerate(case.faults if case.held else ()):
        for factor in OTHER_RATES:
            faults = [*case.faults[:k], replace(fault, rate=fault.rate * factor), *case.faults[k + 1 :]]
            other = replace(case, held=tuple(_at_rate(one, k, factor) for one in case.held), faults=faults)
            changed = {
                "diagnosis": rules.diagnosis(other)[0],
                "efficiency": rules.efficiency(other)[0],
                "calibration": rules.calibration(other)[0],
            }
            if verdict(case, criteria | changed, comeback).passed != found.passed:
                out.append((fault.id, factor))
    return out


def _at_rate(declared: Declared, k: int, factor: float) -> Declared:
    """A diagnosis with the belief for another rate of fault k (times factor)."""
    belief = declared.belief.copy()
    whole = 1.0 + (factor - 1.0) * belief[k]
    belief[k] *= factor
    return replace(declared, belief=belief / whole)
