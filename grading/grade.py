"""The grade: a record against what a perfect observer could believe and what the reference did on the same vehicle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Any

from grading.belief import PER_FAULT, Hypotheses
from grading.record import Entry
from grading.reference import WRONG_REPAIR_MINUTES, Course, diagnose
from grading.replay import Step, replay
from grading.rubric import Rubric, load_rubric
from scenarios.model import COST_CLASSES, Catalogue, Fault, Job

EARNED = 0.85
"""Belief in the declared fault at which the diagnosis counts as fully earned."""
LUCKY = 10.0
"""Marks for a right diagnosis that nothing seen supports."""
TELLING_BITS = 0.02
"""Information below which a check could tell nothing new."""
SLACK_MINUTES = 3.0
"""Minutes beyond the reference's that cost nobody anything: walking round, looking twice."""


@dataclass(frozen=True)
class Grade:
    """The marks of one record.

    total 0..100; passed; criteria: name to 0..100; weights: name to share; checks_used, minutes_used: up to the
    diagnosis; reference_checks, reference_minutes: of the reference on the same vehicle; safety: what went wrong;
    reasons: why marks were lost and why a pass was refused; rubric: hash; course, steps: for the debrief.
    """

    total: float
    passed: bool
    criteria: dict[str, float]
    weights: dict[str, float]
    checks_used: int
    minutes_used: float
    reference_checks: int
    reference_minutes: float
    safety: list[str]
    reasons: list[str]
    rubric: str
    truth: list[str]
    course: Course
    steps: list[Step]
    faults: list[Fault]

    def to_json(self) -> dict[str, Any]:
        """The marks as plain data, without the replay."""
        course = asdict(self.course)
        return {
            "total": self.total,
            "passed": self.passed,
            "criteria": self.criteria,
            "weights": self.weights,
            "checks_used": self.checks_used,
            "minutes_used": self.minutes_used,
            "reference_checks": self.reference_checks,
            "reference_minutes": self.reference_minutes,
            "reference": {k: course[k] for k in ("checks", "diagnosis", "belief")},
            "safety": self.safety,
            "reasons": self.reasons,
            "rubric": self.rubric,
            "vehicles_imagined": PER_FAULT,
        }


class Judge:
    """What is the same for all who sit one job with one seed: the imagined vehicles and the reference's course.

    Both are worked out when first needed and kept, so that forty candidates are marked beside one reference.
    """

    def __init__(self, catalogue: Catalogue, job: Job, seed: int, rubric: Rubric | None = None) -> None:
        """rubric: the packaged one if not given."""
        self.catalogue, self.job, self.seed = catalogue, job, seed
        self.rubric = rubric or load_rubric()

    @cached_property
    def imagined(self) -> Hypotheses:
        """The observer's belief before anything is done."""
        return Hypotheses.imagine(self.catalogue, self.job)

    @cached_property
    def course(self) -> Course:
        """What the reference did."""
        return diagnose(self.catalogue, self.job, self.seed, self.imagined)

    def grade(
        self, entries: list[Entry], progress: Callable[[float], None] | None = None, look_ahead: bool = False
    ) -> Grade:
        """Grade a record of this job and seed; look_ahead: also find the best step at each point, for the debrief."""
        tell = progress or (lambda share: None)
        imagined = self.imagined
        tell(0.1)
        steps = replay(entries, imagined, look_ahead, lambda share: tell(0.1 + 0.5 * share))
        course = self.course
        tell(1.0)
        return _mark(self.catalogue, self.job, entries, self.rubric, imagined.faults, steps, course)


def grade_record(
    catalogue: Catalogue,
    entries: list[Entry],
    progress: Callable[[float], None] | None = None,
    rubric: Rubric | None = None,
    look_ahead: bool = False,
) -> Grade:
    """Grade one record. look_ahead: also find the best step at each point, for the debrief. progress: told 0..1."""
    job = catalogue.jobs[str(entries[0].data["job"])]
    return Judge(catalogue, job, int(entries[0].data["seed"]), rubric).grade(entries, progress, look_ahead)


def _mark(
    catalogue: Catalogue,
    job: Job,
    entries: list[Entry],
    rubric: Rubric,
    faults: list[Fault],
    steps: list[Step],
    course: Course,
) -> Grade:
    actions = [entry for entry in entries if entry.kind == "action"]
    truth = [planted.fault for planted in job.faults] or ["none"]
    reasons: list[str] = []
    checks = [step for step in steps if step.action.verb == "check"]
    counted = [s for s in checks if not catalogue.checks[s.action.text(0)].protected]
    minutes = max((step.minute + step.minutes for step in steps), default=0.0)

    declared, belief = _declared(faults, steps)
    safety = [(str(e["what"]), bool(e["critical"])) for entry in actions for e in entry.data.get("safety", ())]
    criteria = {
        "diagnosis": _diagnosis(catalogue, faults, truth, declared, belief, reasons),
        "efficiency": _efficiency(minutes, len(counted), course, reasons) if declared else 0.0,
        "safety": max(0.0, 100.0 - sum(100.0 if critical else 25.0 for _, critical in safety)),
        "parts": _parts(catalogue, actions, truth, reasons),
        "inquiry": _inquiry(job, actions, counted, truth, reasons),
        "calibration": _calibration(entries, faults, declared, belief),
    }
    total = sum(criteria[name] * rubric.weights[name] / 100.0 for name in criteria)
    critical = [what for what, is_critical in safety if is_critical]
    if critical:
        total = min(total, rubric.cap)
        reasons.append(f"critical safety error: {critical[0]}")
    if criteria["diagnosis"] < rubric.diagnosis:
        reasons.append(f"the diagnosis must reach {rubric.diagnosis:g} to pass")
    if criteria["efficiency"] < rubric.efficiency:
        reasons.append(f"the efficiency must reach {rubric.efficiency:g} to pass")
    passed = (
        total >= rubric.total
        and criteria["diagnosis"] >= rubric.diagnosis
        and criteria["efficiency"] >= rubric.efficiency
        and not critical
    )
    return Grade(
        round(total, 1),
        passed,
        {name: round(value, 1) for name, value in criteria.items()},
        dict(rubric.weights),
        len(checks),
        round(minutes, 2),
        len(course.checks),
        round(course.minutes, 2),
        [what for what, _ in safety],
        reasons,
        rubric.hash,
        truth,
        course,
        steps,
        faults,
    )


def _declared(faults: list[Fault], steps: list[Step]) -> tuple[Fault | None, dict[str, float]]:
    """The fault of the last diagnosis, and the belief in each fault when it was declared."""
    said = [step for step in steps if step.action.verb == "diagnose"]
    if not said:
        return None, {}
    belief = {fault.id: float(p) for fault, p in zip(faults, said[-1].after, strict=True)}
    return next(f for f in faults if f.id == said[-1].action.text(0)), belief


def _diagnosis(
    catalogue: Catalogue,
    faults: list[Fault],
    truth: list[str],
    declared: Fault | None,
    belief: dict[str, float],
    reasons: list[str],
) -> float:
    if declared is None:
        reasons.append("no diagnosis was declared")
        return 0.0
    prior = declared.rate / sum(fault.rate for fault in faults)
    earned = min(max((belief[declared.id] - prior) / max(EARNED - prior, 0.05), 0.0), 1.0)
    if declared.id in truth:
        if earned < 0.5:
            reasons.append(
                f"right, but hardly earned: what was seen makes {declared.name} only {belief[declared.id]:.0%} likely"
            )
        return max(100.0 * earned, LUCKY)
    real = [catalogue.faults[name] for name in truth]
    reasons.append(f"the diagnosis is wrong: it was {', '.join(fault.name for fault in real)}")
    if any(fault.part == declared.part for fault in real):
        return 40.0 * earned
    if any(fault.system == declared.system for fault in real):
        return 20.0 * earned
    return 0.0


def _efficiency(minutes: float, checks: int, course: Course, reasons: list[str]) -> float:
    """Minutes of the reference over those used, less a little for checks beyond the reference's number."""
    spent = course.minutes / max(minutes - SLACK_MINUTES, course.minutes, 0.1)
    many = len(course.checks) / max(checks - 1, len(course.checks), 1)
    if spent < 0.6:
        reasons.append(f"{minutes:.0f} minutes to the diagnosis, the reference took {course.minutes:.0f}")
    if many < 0.6:
        reasons.append(f"{checks} checks, the reference needed {len(course.checks)}")
    return 100.0 * (0.7 * spent + 0.3 * many)


def _parts(catalogue: Catalogue, actions: list[Entry], truth: list[str], reasons: list[str]) -> float:
    """Full marks for the repair that cures; unneeded parts and labour cost in proportion to a wrong repair's price."""
    cures = {name for fault in truth for name in catalogue.faults[fault].cured_by}
    relieves = {name for fault in truth for name in catalogue.faults[fault].relieved_by}
    done = [entry.action.text(0) for entry in actions if entry.data["verb"] == "repair"]
    wasted = 0.0
    for name in done:
        repair = catalogue.repairs[name]
        if name not in cures and name not in relieves:
            wasted += repair.minutes + COST_CLASSES[repair.cost]
            reasons.append(f"not needed: {repair.name}")
    cured = not cures or bool(cures & set(done))
    if not cured:
        reasons.append("the fault was not repaired")
    return max(0.0, (100.0 if cured else 30.0) - 100.0 * wasted / WRONG_REPAIR_MINUTES)


def _inquiry(job: Job, actions: list[Entry], counted: list[Step], truth: list[str], reasons: list[str]) -> float:
    """Checks that could tell something new, and the repair proven at the vents."""
    idle = [step for step in counted if step.bits < TELLING_BITS]
    telling = 1.0 - len(idle) / len(counted) if counted else 0.0
    if len(idle) > 1:
        reasons.append(f"{len(idle)} checks could tell nothing new")
    proven = proves_warm(job, actions)
    if not proven:
        reasons.append("the repair was not proven: no warm reading at the vents after it")
    return 60.0 * telling + 40.0 * proven


def proves_warm(job: Job, actions: list[Entry]) -> bool:
    """Whether the last reading of the vents, after the last repair, was warm enough."""
    after = 0
    for k, entry in enumerate(actions):
        if entry.data["verb"] == "repair":
            after = k
    warm = [
        int(reading["step"])
        for entry in actions[after:]
        for reading in entry.data.get("readings", ())
        if entry.data["verb"] == "check" and entry.action.text(0) == "vent-temperature"
    ]
    return bool(warm) and warm[-1] >= job.warm_enough_C


def _calibration(entries: list[Entry], faults: list[Fault], declared: Fault | None, belief: dict[str, float]) -> float:
    """One minus the Brier distance between stated confidence and belief; suspects marked against belief cost."""
    if declared is None:
        return 0.0
    said = [e for e in entries if e.kind == "action" and e.data["verb"] == "diagnose"][-1]
    gap = said.action.number(1) / 100.0 - belief[declared.id]
    marks = {e.action.text(0): e.action.text(1) for e in entries if e.kind == "action" and e.data["verb"] == "suspect"}
    wrong = sum(1 for name, mark in marks.items() if mark == "out" and belief.get(name, 0.0) > 0.2)
    return max(0.0, 100.0 * (1.0 - gap * gap) - 25.0 * wrong)
