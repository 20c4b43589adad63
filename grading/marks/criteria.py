"""The criteria of a grade: each takes a case and gives 0 to 100 and the reasons why marks were lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from grading.marks.proof import UNPROVEN, Proof
from grading.marks.replay import Step
from grading.marks.rubric import Rubric
from grading.marks.work import done_work
from grading.observer.prior import prior
from grading.reference.policy import SURE, WRONG_REPAIR_MINUTES, Course
from grading.reference.preparation import stood
from grading.sessions.record import Entry
from scenarios.actions import Action
from scenarios.language import N_, FirstSentence, Listed, Message, Text
from scenarios.model import COST_CLASSES, Catalogue, Fault, Job

EARNED = SURE
"""Belief in the declared fault, or its group, at which the diagnosis counts as fully earned, unless the reference
stopped with less."""
LEAST_EARNED = 0.5
"""The same where the reference itself found no further check worth its minutes, at the least."""
LUCKY = 10.0
"""Marks for a right diagnosis that nothing seen supports."""
SAME_PART, SAME_SYSTEM = 40.0, 20.0
"""Most marks for a wrong diagnosis of the right part, or of another part of the right system."""
NOT_CURED = 30.0
"""Most marks for parts where a fault was left in the vehicle, or a complaint came back."""
POOR_WORK = 30.0
"""Marks for parts that each kind of bad work costs, whatever comes of it."""
TELLING_BITS = 0.02
"""Information below which a check could tell nothing new [bit]."""
FREE_MINUTES = 8.0
"""Added to the minutes of both sides, so that walking round and looking twice weigh little beside a short course."""
FREE_CHECKS = 2
"""The same for the number of checks."""
WARM_UP = 15.0
"""Running that verifies the complaint [min]: it counts against nobody."""
RUNNING = {"idle": 0, "rev": 1, "drive": 0}
"""Verbs that run the engine, and where their minutes stand among the arguments."""
WRITTEN = (N_("complaint"), N_("cause"), N_("correction"))
SHORTEST_TEXT = 3
"""Words below which a written line says nothing."""
Result = tuple[float, Sequence[Text]]


@dataclass(frozen=True)
class Case:
    """One record as it is marked.

    actions: entries of actions; steps: up to the last diagnosis; truth: fault ids; group: ids of faults that no check
    tells from the declared one, with it; belief: in each fault, as the diagnosis counts, and its standard
    error (faults,); proof: of the repair.
    """

    catalogue: Catalogue
    job: Job
    actions: list[Entry]
    steps: list[Step]
    course: Course
    faults: list[Fault]
    truth: list[str]
    declared: Fault | None
    group: frozenset[str]
    belief: np.ndarray
    error: np.ndarray
    proof: Proof = UNPROVEN

    @property
    def prior(self) -> np.ndarray:
        """Probability of each fault by its rate and the complaint (faults,)."""
        return prior(self.job, self.faults)

    def in_group(self, chance: np.ndarray) -> float:
        """Sum over the group of the declared fault."""
        return float(sum(p for fault, p in zip(self.faults, chance, strict=True) if fault.id in self.group))


def _belief(case: Case) -> float:
    """In the group of the declared fault; what the observer does not know counts for the person."""
    return min(case.in_group(case.belief) + case.in_group(case.error), 1.0)


def _enough(case: Case) -> float:
    """Belief at which a diagnosis is fully earned."""
    return min(EARNED, max(case.course.belief, LEAST_EARNED))


def counted(actions: list[Action], protected: float, minutes: float) -> float:
    """Minutes that count: without those of protected checks and the running that verifies the complaint.

    Standing counts for less.
    """
    run = sum(action.number(RUNNING[action.verb]) for action in actions if action.verb in RUNNING)
    return max(minutes - stood(actions) - protected - min(run, WARM_UP), 0.0)


def counted_checks(catalogue: Catalogue, names: list[str]) -> int:
    """Number of checks that are not protected."""
    return sum(1 for name in names if not catalogue.checks[name].protected)


def diagnosis(case: Case) -> Result:
    """Belief in the declared fault or its group, given what was seen, above the prior."""
    declared = case.declared
    if declared is None:
        return 0.0, [Message("no diagnosis was declared")]
    known, belief, enough = case.in_group(case.prior), _belief(case), _enough(case)
    earned = min((belief - known) / max(enough - known, 0.05), 1.0) if belief > known else 0.0
    if case.group & set(case.truth):
        said = []
        if earned < 0.5:
            said.append(
                Message(
                    "right, but hardly earned: what was seen makes {fault} only {belief:.0%} likely",
                    fault=declared.name,
                    belief=belief,
                )
            )
        return max(100.0 * earned, LUCKY), said
    real = [case.catalogue.faults[name] for name in case.truth]
    said = [Message("the diagnosis is wrong: it was {faults}", faults=Listed(fault.name for fault in real))]
    if any(fault.part == declared.part for fault in real):
        return SAME_PART * earned, said
    if any(fault.system == declared.system for fault in real):
        return SAME_SYSTEM * earned, said
    return 0.0, said


def efficiency(case: Case) -> Result:
    """Minutes of the reference over the reference's and the regret, less a little for checks beyond its number.

    Stopping too soon is regretted too: what was not looked at is paid for in wrong repairs, in proportion to the belief
    that was lacking.
    """
    if case.declared is None:
        return 0.0, []
    total = max((step.minute + step.minutes for step in case.steps), default=0.0)
    known = case.catalogue.checks
    free = sum(s.minutes for s in case.steps if s.action.verb == "check" and known[s.action.text(0)].protected)
    mine = counted([step.action for step in case.steps], free, total) - _confirming(case)
    free = sum(known[name].minutes for name in case.course.checks if known[name].protected)
    par = counted(case.course.actions, free, case.course.minutes)
    checks = [step.action.text(0) for step in case.steps if step.action.verb == "check"]
    used, needed = counted_checks(case.catalogue, checks), counted_checks(case.catalogue, case.course.checks)
    too_soon = WRONG_REPAIR_MINUTES * max(_enough(case) - _belief(case), 0.0)
    spent = (par + FREE_MINUTES) / (max(mine, par) + too_soon + FREE_MINUTES)
    many = (needed + FREE_CHECKS) / (max(used, needed) + FREE_CHECKS)
    said = []
    if too_soon >= 1.0:
        said.append(
            Message("declared too soon: that may cost {minutes:.0f} minutes of wrong repairs", minutes=too_soon)
        )
    if mine > par and spent < 0.6:
        said.append(
            Message(
                "{minutes:.0f} minutes to the diagnosis, the reference took {reference:.0f}",
                minutes=total,
                reference=case.course.minutes,
            )
        )
    if many < 0.6:
        reference = len(case.course.checks)
        said.append(
            Message("{number} checks, the reference needed {reference}", number=len(checks), reference=reference)
        )
    return 100.0 * (0.7 * spent + 0.3 * many), said


def _confirming(case: Case) -> float:
    """Minutes of the last check that told nothing new, where it confirms before a dear part."""
    cures = case.declared.cured_by if case.declared else ()
    if not cures or any(case.catalogue.repairs[name].cost not in ("large", "dear") for name in cures):
        return 0.0
    idle = _idle(case)
    return idle[-1].minutes if idle else 0.0


def _looked(case: Case) -> list[Step]:
    checks = [step for step in case.steps if step.action.verb == "check"]
    return [step for step in checks if not case.catalogue.checks[step.action.text(0)].protected]


def _idle(case: Case) -> list[Step]:
    return [step for step in _looked(case) if step.bits < TELLING_BITS]


def safety(case: Case) -> Result:
    """What hurt or could have, and cautions that were passed over."""
    events = [event for entry in case.actions for event in entry.data.get("safety", ())]
    lost = sum(100.0 if event["critical"] else 25.0 for event in events)
    said = []
    for name in skipped_cautions(case.actions):
        caution = case.catalogue.cautions.get(name)
        if caution is not None:
            lost += 50.0 if caution.critical else 20.0
            said.append(Message("a caution was passed over: {caution}", caution=FirstSentence(caution.text)))
    return max(0.0, 100.0 - lost), said


def skipped_cautions(actions: list[Entry]) -> list[str]:
    """Ids of cautions that the person chose to pass over, each once."""
    notes = [entry.action.arguments for entry in actions if entry.data["verb"] == "note"]
    return sorted({str(note[1]) for note in notes if note[:1] == ("caution",) and note[2:] == ("skipped",)})


def parts(case: Case, stays: bool) -> Result:
    """Full marks where every fault of the vehicle is cured; unneeded parts and labour cost in proportion to a wrong
    repair's price.

    stays: a complaint came back after the keys were handed back.
    """
    truths = [case.catalogue.faults[name] for name in case.truth]
    cures = {name for fault in truths for name in (*fault.cured_by, *fault.cured_in_passing)}
    relieves = {name for fault in truths for name in fault.relieved_by}
    done = [entry.action.text(0) for entry in case.actions if entry.data["verb"] == "repair"]
    wasted, said = 0.0, []
    for name in done:
        repair = case.catalogue.repairs[name]
        in_passing = all(name not in fault.cured_by for fault in truths)
        if (name not in cures and name not in relieves) or (name in cures and name not in relieves and in_passing):
            wasted += repair.minutes + COST_CLASSES[repair.cost]
            said.append(Message("not needed: {repair}", repair=repair.name))
    poor = sorted({what for name in done if (what := case.catalogue.repairs[name].poor_work)})
    said += [Message("poor work: {what}", what=what) for what in poor]
    worked = done_work(case.catalogue, case.actions)
    left = [fault for fault in truths if _left(fault, worked)]
    if left and len(truths) > 1:
        said.append(Message("not repaired: {faults}", faults=Listed(fault.name for fault in left)))
    elif left:
        said.append(Message("the fault was not repaired"))
    most = NOT_CURED if left or stays else 100.0
    return max(0.0, most - 100.0 * wasted / WRONG_REPAIR_MINUTES - POOR_WORK * len(poor)), said


def _left(fault: Fault, done: list[str]) -> bool:
    """Whether none of the repairs done cures a fault; one that no repair cures is not held against anyone."""
    cures = {*fault.cured_by, *fault.cured_in_passing}
    return bool(cures) and not cures & set(done)


def inquiry(case: Case) -> Result:
    """Checks that could tell something new, the repair proven, and the work written down."""
    looked, idle = _looked(case), _idle(case)
    checked = any(step.action.verb == "check" for step in case.steps)
    telling = 1.0 - max(len(idle) - 1, 0) / len(looked) if looked else float(checked)
    said = [Message("{number} checks could tell nothing new", number=len(idle))] if len(idle) > 1 else []
    proven = case.proof.proven
    if not proven:
        said.append(Message("the repair was not proven: {why}", why=case.proof.why_not))
    missing = [kind for kind in WRITTEN if kind not in written(case.actions)]
    if missing:
        said.append(Message("not written down: {missing}", missing=Listed(missing)))
    return 55.0 * telling + 35.0 * proven + 10.0 * (len(WRITTEN) - len(missing)) / len(WRITTEN), said


def hint_marks(actions: list[Entry], rubric: Rubric) -> float:
    """Marks of the total that the hints of a record cost."""
    return sum(rubric.hints[entry.action.text(0)] for entry in actions if entry.data["verb"] == "hint")


def written(actions: list[Entry]) -> dict[str, str]:
    """Complaint, cause and correction as the person wrote them, the last of each."""
    notes = [entry.action.arguments for entry in actions if entry.data["verb"] == "note"]
    return {
        str(note[0]): str(note[1])
        for note in notes
        if len(note) == 2 and note[0] in WRITTEN and len(str(note[1]).split()) >= SHORTEST_TEXT
    }


def calibration(case: Case) -> Result:
    """One minus the squared gap between stated confidence and belief; suspects struck out against belief cost."""
    if case.declared is None:
        return 0.0, []
    stated = [entry for entry in case.actions if entry.data["verb"] == "diagnose"][-1].action.number(1) / 100.0
    gap = stated - case.in_group(case.belief)
    belief = {fault.id: float(p) for fault, p in zip(case.faults, case.belief, strict=True)}
    marks = {e.action.text(0): e.action.text(1) for e in case.actions if e.data["verb"] == "suspect"}
    wrong = [name for name, mark in marks.items() if mark == "out" and belief.get(name, 0.0) > 0.2]
    said = [Message("struck out although likely: {fault}", fault=case.catalogue.faults[name].name) for name in wrong]
    return max(0.0, 100.0 * (1.0 - gap * gap) - 25.0 * len(wrong)), said


def counting_step(steps: list[Step], declared: Fault | None) -> Step | None:
    """The step whose `after` and `error` a diagnosis counts with: when declared, or before a part was first tried out.

    Parts fitted before anything is declared teach, but that is no diagnosis. A repair that only relieves the declared
    fault, such as topping up before looking for the leak, is no trial of parts.
    """
    said = [step for step in steps if step.action.verb == "diagnose"]
    if not said or declared is None:
        return steps[-1] if steps else None
    tried = [s for s in steps if s.action.verb == "repair" and s.action.text(0) not in declared.relieved_by]
    first = tried[0] if tried else None
    return replace(first, after=first.before, error=first.error_before) if first else said[-1]
