"""Pass or fail: what a pass takes beside its marks, and why it was refused."""

from __future__ import annotations

from dataclasses import dataclass

from grading.marks.case import Case
from grading.marks.comeback import Comeback
from grading.marks.criteria import hint_marks, worked, wrongly_held
from grading.marks.rubric import Rubric
from grading.marks.work import is_left, is_relieved, repairs_in
from grading.sessions.modes import OUT_OF_TIME, TEMPORARY
from scenarios.actions import Action
from scenarios.language import N_, Listed, Message, Text
from scenarios.model import Fault

PASSED, WITH_HELP, FAILED, NOT_FINISHED = N_("passed"), N_("passed with help"), N_("failed"), N_("not finished")
HOLDS_DAYS = 7
"""Days for which a temporary repair has to hold (ours)."""


@dataclass(frozen=True)
class Verdict:
    """name: one of PASSED, WITH_HELP, FAILED and NOT_FINISHED; total: 0..100; reasons: why marks were lost beyond the
    criteria, and why a pass was refused; critical: the errors that fail a job whatever else was done well.
    """

    name: str
    total: float
    reasons: list[Text]
    critical: list[Text]

    @property
    def passed(self) -> bool:
        """Whether the job is passed, be it with help."""
        return self.name in (PASSED, WITH_HELP)


def total_of(criteria: dict[str, float], rubric: Rubric) -> float:
    """Weighted total 0..100 of the criteria."""
    return sum(criteria[name] * rubric.weights[name] / 100.0 for name in criteria)


def verdict(case: Case, criteria: dict[str, float], comeback: Comeback | None) -> Verdict:
    """The verdict on a case by its marks; comeback: of the month after, None where the keys were not handed back."""
    rubric, hints = case.rubric, hint_marks(case.actions, case.rubric)
    marks = total_of(criteria, rubric)
    errors = critical_errors(case, comeback)
    open_ = unfinished(case)
    refused = [*_below_floors(criteria, rubric), *_too_long(case, rubric)]
    said: list[Text] = []
    if hints:
        said.append(Message("hints took {marks:g} marks off the total", marks=hints))
    if Action("handback", (OUT_OF_TIME,)) in case.work:
        said.append(Message("time ran out: the job was handed in as it stood"))
    if errors:
        said.append(Message("critical safety error: {what}", what=Listed(errors)))
    said += [*open_, *refused]
    total = max(marks - hints, 0.0)
    if errors:
        return Verdict(FAILED, min(total, rubric.cap), said, errors)
    worked_on = any(repairs_in(case.catalogue, action) for action in case.work)
    if open_ and not (worked_on and (came_back(case, comeback) or wrongly_held(case))):
        return Verdict(NOT_FINISHED, total, said, [])
    if open_ or refused or came_back(case, comeback) or marks < rubric.total:
        return Verdict(FAILED, total, said, [])
    return Verdict(WITH_HELP if hints else PASSED, total, said, [])


def critical_errors(case: Case, comeback: Comeback | None) -> list[Text]:
    """What fails a job whatever else was done well."""
    events = [event for entry in case.actions for event in entry.data.get("safety", ())]
    critical: list[Text] = list(dict.fromkeys(str(event["what"]) for event in events if event["critical"]))
    if comeback is not None and comeback.dangerous and not comeback.held:
        critical.append(Message("handed back dangerous: {what}", what=comeback.what))
    if comeback is not None and comeback.forbidden:
        critical.append(Message("handed back unroadworthy: {what}", what=comeback.forbidden))
    return critical


def unfinished(case: Case) -> list[Text]:
    """What of a finished job is wanting: a diagnosis, a cure, its proof."""
    out: list[Text] = []
    if not case.held:
        out.append(Message("not finished: no diagnosis was declared"))
    if not any(action.verb == "handback" for action in case.work):
        out.append(Message("not finished: the keys were not handed back"))
    if case.job.diagnosis_only:
        return out
    left = [fault for fault in _to_cure(case) if is_left(case.catalogue, case.work, fault)]
    if left and not (is_temporary(case) and all(is_relieved(case.catalogue, case.work, fault) for fault in left)):
        out.append(Message("not finished: what the customer complained of was not repaired"))
    if not case.proof.proven:
        out.append(Message("not finished: the repair was not proven"))
    return out


def is_temporary(case: Case) -> bool:
    """Whether the vehicle was handed over as one with a temporary repair."""
    return Action("handback", (TEMPORARY,)) in case.work


def came_back(case: Case, comeback: Comeback | None) -> bool:
    """Whether a complaint came in the month after; a temporary repair has to hold for a week."""
    if case.job.diagnosis_only or comeback is None or comeback.day is None:
        return False
    return not is_temporary(case) or comeback.day <= HOLDS_DAYS


def _to_cure(case: Case) -> list[Fault]:
    """Faults of the vehicle that were declared or bring the complaint."""
    named = {name for declared in case.held for name in declared.group}
    return [fault for fault in case.real if fault in case.asked or fault.id in named]


def _below_floors(criteria: dict[str, float], rubric: Rubric) -> list[Text]:
    return [
        Message("the {criterion} must reach {least:g} to pass", criterion=name, least=least)
        for name, least in rubric.floors.items()
        if criteria[name] < least
    ]


def _too_long(case: Case, rubric: Rubric) -> list[Text]:
    out: list[Text] = []
    if (minutes := worked(case)) > (allowed := rubric.allowed(case.job)):
        values = {"minutes": minutes, "allowed": allowed}
        out.append(Message("{minutes:.0f} minutes to the diagnosis, {allowed:.0f} are allowed", **values))
    if wrongly_held(case):
        out.append(Message("a wrong diagnosis was still held at 50 % or more when the keys were handed back"))
    return out
