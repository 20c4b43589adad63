"""The criteria safety and parts."""

from __future__ import annotations

from grading.marks.case import Case, Result, named
from grading.marks.work import is_left, is_needless, is_relieved, price, repairs_in, would_cure
from grading.sessions.record import RecordEntry
from scenarios.language import FirstSentence, Message

NOT_CURED, RELIEVED = 30.0, 60.0
"""Most marks for parts if a fault was left or a complaint came back, and if it was handed over as a temporary repair.
"""
POOR_WORK = 20.0
"""Marks for parts lost for each kind of bad work, whatever its consequences."""
SLIP, CAUTION, CRITICAL_CAUTION, CRITICAL = 25.0, 20.0, 50.0, 100.0
"""Marks for safety lost for an unsafe act, a skipped caution, a critical one, and a critical error."""
EVERY_CAUTION = 50.0
"""The least loss if every caution was skipped."""


def safety(case: Case) -> Result:
    """Safety errors and skipped cautions."""
    events = [event for entry in case.actions for event in entry.data.get("safety", ())]
    lost = sum(CRITICAL if event["critical"] else SLIP for event in events)
    shown, skipped = cautions(case.actions)
    said, passed_over = [], 0.0
    for name in skipped:
        caution = case.catalogue.cautions.get(name)
        if caution is not None:
            passed_over += CRITICAL_CAUTION if caution.critical else CAUTION
            said.append(Message("a caution was skipped: {caution}", caution=FirstSentence(caution.text)))
    if said and len(skipped) == len(shown):
        passed_over = max(passed_over, EVERY_CAUTION)
    return max(0.0, 100.0 - lost - passed_over), said


def cautions(actions: list[RecordEntry]) -> tuple[list[str], list[str]]:
    """Ids of the cautions given, and of those the person skipped, each once."""
    notes = [entry.action.arguments for entry in actions if entry.data["verb"] == "note"]
    given = [note for note in notes if len(note) == 3 and note[0] == "caution"]
    return sorted({str(note[1]) for note in given}), sorted({str(note[1]) for note in given if note[2] == "skipped"})


def parts(case: Case, came_back: bool, temporary: bool = False) -> Result:
    """Full marks if every real fault is cured; needless work costs its minutes and price, in proportion to the belief
    against it at that time.

    came_back: whether a complaint came after hand-back; temporary: whether it was handed over as a temporary repair.
    """
    needless, said = 0.0, []
    for k, step in enumerate(case.steps):
        if step.action.verb != "repair":
            continue
        repair, work = case.catalogue.repairs[step.action.text(0)], [one.action for one in case.steps[:k]]
        if not is_needless(repair, [f for f in case.real if is_left(case.catalogue, work, f)], case.real):
            continue
        meant = float(sum(step.before[k] for k in would_cure(case.faults, repair.id)))
        needless += price(repair) * (1.0 - min(meant, 1.0))
        said.append(Message("not needed: {repair}", repair=repair.name))
    done = {name for action in case.work for name in repairs_in(case.catalogue, action)}
    poor = sorted(
        {what for name in done & case.catalogue.repairs.keys() if (what := case.catalogue.repairs[name].poor_work)}
    )
    said += [Message("bad workmanship: {what}", what=what) for what in poor]
    asked = [] if case.job.diagnosis_only else case.real
    left = [fault for fault in asked if is_left(case.catalogue, case.work, fault)]
    relieved = temporary and all(is_relieved(case.catalogue, case.work, fault) for fault in left)
    if left and relieved:
        said.append(Message("handed over as a temporary repair, cause not cured: {faults}", faults=named(left)))
    elif left and len(case.real) > 1:
        said.append(Message("not repaired: {faults}", faults=named(left)))
    elif left:
        said.append(Message("the fault was not repaired"))
    most = NOT_CURED if came_back or (left and not relieved) else RELIEVED if left else 100.0
    return max(0.0, most - 100.0 * needless / case.rubric.needless - POOR_WORK * len(poor)), said
