"""The criteria of a grade: each function returns marks 0 to 100 of a case and the reasons for lost marks."""

from __future__ import annotations

from collections import Counter

from grading.marks.case import Case, Declared, Result, named, same_cure
from grading.marks.replay import Step
from grading.marks.rubric import Rubric
from grading.reference.policy import SURE, WRONG_REPAIR_MINUTES
from grading.reference.preparation import discounted_minutes
from grading.sessions.record import RecordEntry
from scenarios.actions import Action
from scenarios.language import N_, Listed, Message
from scenarios.model import Catalogue, Fault

EARNED = SURE
"""Belief in the declared fault or its group at which the diagnosis gets full marks, unless the reference stopped with
less."""
LEAST_EARNED = 0.5
"""Lower limit of the same, however early the reference stopped."""
UNSUPPORTED_MARKS = 10.0
"""Marks for a correct diagnosis that no reading supports."""
OTHER_MODE = 70.0
"""Marks for the right part and cure with another failure, if the readings support the part."""
SAME_PART, SAME_SYSTEM = 40.0, 20.0
"""Most marks for a wrong diagnosis of the right part with another cure, and of another part of the right system."""
WRONG_HELD = 0.5
"""Confidence from which a wrong diagnosis in force limits the marks."""
WRONG_MOST = 40.0
"""That limit, and the marks that a wrong diagnosis of lower confidence costs, times its confidence."""
TELLING_BITS = 0.02
"""Information below which a check is uninformative [bit]."""
FREE_MINUTES = 8.0
"""Minutes added to both sides of the comparison, so that walking and repeated looks matter little in short jobs."""
FREE_CHECKS = 2
"""The same for the number of checks."""
WARM_UP = 15.0
"""Running time to verify the complaint [min], which does not count."""
CONFIRMING = 0.15
"""Share of a repair's minutes that a final confirming check may take without counting."""
UNREAD_CODES = 20.0
"""Marks for inquiry lost for clearing trouble codes before reading them."""
RUNNING = {"idle": 0, "rev": 1, "drive": 0}
"""Verbs that run the engine, and the index of the minutes in their arguments."""
WRITTEN = (N_("complaint"), N_("cause"), N_("correction"))
SHORTEST_TEXT = 3
"""Least number of words of a written line."""


# -- diagnosis ---------------------------------------------------------------------------------------------------------
ROUNDS_TO_NOTHING = 0.005
"""Belief below which a whole percentage would read 0, which nobody can be sure of."""


def _belief(case: Case, declared: Declared) -> float:
    """Belief in the group of a diagnosis plus its standard error, in the person's favour."""
    return min(case.in_group(declared, declared.belief) + case.in_group(declared, declared.error), 1.0)


def enough(case: Case) -> float:
    """Belief at which a diagnosis gets full marks."""
    return min(EARNED, max(case.course.belief, LEAST_EARNED))


def _earned(known: float, belief: float, wanted: float) -> float:
    """Share 0..1 of the way from the prior to sufficient belief."""
    return min((belief - known) / max(wanted - known, 0.05), 1.0) if belief > known else 0.0


def _marks(case: Case, declared: Declared, fault: Fault) -> float:
    """Marks of a diagnosis for a real fault."""
    share = _earned(case.in_group(declared, case.prior), _belief(case, declared), enough(case))
    if case.matches(declared, fault):
        return max(100.0 * share, UNSUPPORTED_MARKS)
    if same_cure(declared.fault, fault):
        belief = min(case.of_part(declared, declared.belief) + case.of_part(declared, declared.error), 1.0)
        return max(OTHER_MODE * _earned(case.of_part(declared, case.prior), belief, enough(case)), UNSUPPORTED_MARKS)
    if declared.fault.part == fault.part:
        return SAME_PART * share
    return SAME_SYSTEM * share if declared.fault.system == fault.system else 0.0


def diagnosis(case: Case) -> Result:
    """Belief in the diagnosis, above the prior, from readings before the cure; mean over the faults that show the
    complaint.
    """
    if not case.held:
        return 0.0, [Message("no diagnosis was declared")]
    best = [max(_marks(case, declared, fault) for declared in case.held) for fault in case.asked]
    marks, said = sum(best) / len(best), []
    for declared in case.held:
        if not case.is_right(declared):
            continue
        if not any(case.matches(declared, fault) for fault in case.real):
            said.append(Message("right part, wrong failure: it was {faults}", faults=named(case.real)))
        elif (belief := _belief(case, declared)) < _half_earned(case, declared):
            name = declared.fault.name
            said.append(
                Message("right, but not backed by your readings: they make {fault} less than 1% likely", fault=name)
                if belief < ROUNDS_TO_NOTHING
                else Message(
                    "right, but not backed by your readings: they make {fault} only {belief:.0%} likely",
                    fault=name,
                    belief=belief,
                )
            )
    wrong = [declared for declared in case.held if not case.is_right(declared)]
    if wrong:
        said.append(Message("the diagnosis is wrong: it was {faults}", faults=named(case.real)))
    elif any(not any(case.is_right(d) and _names(case, d, fault) for d in case.held) for fault in case.asked):
        said.append(Message("not every fault was found: it was {faults}", faults=named(case.real)))
    if wrongly_held(case):
        return min(marks, WRONG_MOST), said
    return max(marks - sum(WRONG_MOST * declared.confidence for declared in wrong if len(case.held) > 1), 0.0), said


def _half_earned(case: Case, declared: Declared) -> float:
    known = case.in_group(declared, case.prior)
    return known + 0.5 * max(enough(case) - known, 0.05)


def _names(case: Case, declared: Declared, fault: Fault) -> bool:
    return case.matches(declared, fault) or same_cure(declared.fault, fault)


def wrongly_held(case: Case) -> bool:
    """Whether a wrong diagnosis of at least WRONG_HELD confidence is in force."""
    return any(declared.confidence >= WRONG_HELD and not case.is_right(declared) for declared in case.held)


def calibration(case: Case) -> Result:
    """One minus the squared difference of stated confidence and belief, a proper scoring rule (Brier 1950); mean over
    the diagnoses.
    """
    if not case.held:
        return 0.0, []
    gaps = [declared.confidence - case.in_group(declared, declared.belief) for declared in case.held]
    return 100.0 * (1.0 - sum(gap * gap for gap in gaps) / len(gaps)), []


# -- time --------------------------------------------------------------------------------------------------------------


def counted(actions: list[Action], free: float, minutes: float) -> float:
    """Minutes that count: without free ones and the running time to verify the complaint, and with idle time at a
    discount.
    """
    run = sum(action.number(RUNNING[action.verb]) for action in actions if action.verb in RUNNING)
    return max(minutes - discounted_minutes(actions) - free - min(run, WARM_UP), 0.0)


def worked(case: Case) -> float:
    """Minutes to the diagnosis or the first repair, with idle time at a discount, for comparison with the allowance.

    The time for a wrong repair costs marks for parts and efficiency instead.
    """
    steps = case.to_diagnosis
    tried = next((k for k, step in enumerate(steps) if step.action.verb == "repair"), len(steps))
    steps = steps[:tried]
    total = max((step.minute + step.minutes for step in steps), default=0.0)
    return max(total - discounted_minutes([step.action for step in steps]), 0.0)


def counted_checks(catalogue: Catalogue, names: list[str]) -> int:
    """Number of checks that count: protected ones and the first repetition of each are free."""
    return sum(
        names.count(name) - (names.count(name) > 1) for name in dict.fromkeys(names) if not _free(catalogue, name)
    )


def _free(catalogue: Catalogue, name: str) -> bool:
    return catalogue.checks[name].protected


def efficiency(case: Case) -> Result:
    """Minutes of the reference or of a competent technician, whichever are more, over one's own, and the same for the
    number of checks.

    Stopping too soon costs marks too: the cost of a wrong repair in proportion to the missing belief.
    """
    if case.declared is None:
        return 0.0, []
    steps, known, job = case.to_diagnosis, case.catalogue.checks, case.job
    total = max((step.minute + step.minutes for step in steps), default=0.0)
    nothing = _costing_nothing(case)
    free = sum(step.minutes for step in steps if step.number in nothing) + _confirming(case)
    mine = counted([step.action for step in steps], free, total)
    free = sum(known[name].minutes for name in case.course.checks if known[name].protected)
    par = max(counted(case.course.actions, free, case.course.minutes), (job.competent_minutes or 0.0) - WARM_UP)
    checks = [step.action.text(0) for step in steps if step.action.verb == "check"]
    used = counted_checks(case.catalogue, checks)
    needed = max(counted_checks(case.catalogue, case.course.checks), job.competent_checks or 0)
    too_soon = WRONG_REPAIR_MINUTES * max(enough(case) - _best_belief(case), 0.0)
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


def _best_belief(case: Case) -> float:
    """Belief in the best supported diagnosis; for the right part another failure counts as well."""
    found = [_belief(case, declared) for declared in case.held]
    for declared in case.held:
        if case.is_right(declared):
            found.append(min(case.of_part(declared, declared.belief) + case.of_part(declared, declared.error), 1.0))
    return max(found)


def _costing_nothing(case: Case) -> set[int]:
    """Numbers of the steps that are protected checks or the first repetition of a check."""
    found: set[int] = set()
    times: Counter[str] = Counter()
    for step in case.steps:
        if step.action.verb == "check":
            name = step.action.text(0)
            if _free(case.catalogue, name) or times[name] == 1:
                found.add(step.number)
            times[name] += 1
    return found


def _confirming(case: Case) -> float:
    """Free minutes of the last uninformative check, which confirms the diagnosis."""
    idle = _idle(case)
    if case.declared is None or not idle:
        return 0.0
    minutes = [case.catalogue.repairs[name].minutes for name in case.declared.fault.cured_by]
    return min(idle[-1].minutes, CONFIRMING * min(minutes, default=0.0))


# -- inquiry -----------------------------------------------------------------------------------------------------------


def _looked(case: Case) -> list[Step]:
    checks = [step for step in case.to_diagnosis if step.action.verb == "check"]
    return [step for step in checks if not _free(case.catalogue, step.action.text(0))]


def _idle(case: Case) -> list[Step]:
    """Uninformative checks, without first repetitions."""
    nothing = _costing_nothing(case)
    return [step for step in _looked(case) if step.bits < TELLING_BITS and step.number not in nothing]


def inquiry(case: Case) -> Result:
    """Informative checks, proof of the repair, and the written report."""
    looked, idle = _looked(case), _idle(case)
    checked = any(step.action.verb == "check" for step in case.to_diagnosis)
    telling = 1.0 - max(len(idle) - 1, 0) / len(looked) if looked else float(checked)
    said = [Message("{number} checks could tell nothing new", number=len(idle))] if len(idle) > 1 else []
    proven = case.proof.proven or case.job.diagnosis_only
    if not proven:
        said.append(Message("the repair was not proven: {why}", why=case.proof.why_not))
    missing = [kind for kind in WRITTEN if kind not in written(case.actions)]
    if missing:
        said.append(Message("not written down: {missing}", missing=Listed(missing)))
    cleared = cleared_unread(case)
    if cleared:
        said.append(Message("trouble codes were cleared before they were read"))
    marks = 55.0 * telling + 35.0 * proven + 10.0 * (len(WRITTEN) - len(missing)) / len(WRITTEN)
    return max(marks - UNREAD_CODES * cleared, 0.0), said


CLEARS, READS = "clear codes", "trouble code"
"""Operation that clears trouble codes, and the quantity that reads them."""


def cleared_unread(case: Case) -> bool:
    """Whether trouble codes were cleared before any check read them."""
    read = False
    for action in case.work:
        check = case.catalogue.checks.get(action.text(0)) if action.verb == "check" else None
        if check is None:
            continue
        if CLEARS in check.does:
            return not read
        read = read or any(spec.quantity == READS for spec in check.readings)
    return False


def written(actions: list[RecordEntry]) -> dict[str, str]:
    """The last written complaint, cause and correction."""
    notes = [entry.action.arguments for entry in actions if entry.data["verb"] == "note"]
    return {
        str(note[0]): str(note[1])
        for note in notes
        if len(note) == 2 and note[0] in WRITTEN and len(str(note[1]).split()) >= SHORTEST_TEXT
    }


def hint_marks(actions: list[RecordEntry], rubric: Rubric) -> float:
    """Marks of the total lost for the hints of a record."""
    return sum(rubric.hints[entry.action.text(0)] for entry in actions if entry.data["verb"] == "hint")
