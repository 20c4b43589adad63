"""The first page of a debrief: verdict and safety, the month after hand-back, one thing done well and one to try next.

How the job was marked has a page of its own.
"""

from __future__ import annotations

import numpy as np

from grading.marks.criteria import ROUNDS_TO_NOTHING
from grading.marks.grade import Grade
from grading.marks.replay import Step
from grading.marks.verdict import FAILED, NOT_FINISHED, PASSED, WITH_HELP
from grading.marks.what_counts import complaints_of, proof_check
from grading.marks.work import cures, first_cure, is_left
from grading.reference.policy import SURE
from grading.report.afterwards import afterwards
from grading.report.section import Section
from grading.sessions.record import RecordEntry
from scenarios.actions import Action
from scenarios.language import N_, _, plural, say, shown
from scenarios.model import Catalogue

WELL = 80.0
"""Least marks of a criterion that count as done well (estimate)."""
LIKELY = 0.05
"""Least belief at which a fault was still open (estimate)."""
MOST_OPEN = 3
"""Most faults named as still open."""
TITLES = (N_("Verdict"), N_("Afterwards"), N_("What was still open"), N_("Done well"), N_("To try next"))
"""Titles of the page's sections, in order."""
_VERDICTS = {
    PASSED: N_("Passed: {total:.0f} of 100."),
    WITH_HELP: N_("Passed with help: {total:.0f} of 100."),
    FAILED: N_("Failed: {total:.0f} of 100."),
    NOT_FINISHED: N_("Not finished: {total:.0f} of 100."),
}


def first_page(catalogue: Catalogue, entries: list[RecordEntry], grade: Grade) -> list[Section]:
    """Sections of the page, in the language chosen; entries: of the record."""
    work = [entry.action for entry in entries if entry.kind == "action"]
    verdict = [say(_VERDICTS[grade.verdict], total=grade.total), *_safety(grade)]
    open_ = still_open(catalogue, work, grade)
    texts = (verdict, afterwards(grade), open_, [_done_well(catalogue, work, grade)], [_next(catalogue, work, grade)])
    return [Section(title, lines) for title, lines in zip(TITLES, texts, strict=True) if lines]


def _safety(grade: Grade) -> list[str]:
    critical = [say("Critical error: {what}. That rules out a pass.", what=_(what)) for what in grade.critical]
    known = {_(what) for what in grade.critical}
    others = dict.fromkeys(_(what) for what in grade.safety)
    lines = [*critical, *(say("Safety: {what}.", what=what) for what in others if what not in known)]
    return lines or [_("Safety: no error.")]


# -- what was open -----------------------------------------------------------------------------------------------------


def still_open(catalogue: Catalogue, work: list[Action], grade: Grade) -> list[str]:
    """If the right repair did not pass: which faults were still open, and the check that would have separated them."""
    real = [catalogue.faults[name] for name in grade.truth]
    curable = [fault for fault in real if cures(fault)]
    if grade.passed or not curable or any(is_left(catalogue, work, fault) for fault in curable):
        return []
    lines = [_("The repair was right, but the job did not pass.")]
    lines += _open_faults(catalogue, work, grade)
    if not grade.proof.proven and not grade.job.diagnosis_only:
        lines.append(say("The repair was not proven: {why}.", why=_(grade.proof.why_not)))
        lines += _settled_by(_proving(catalogue, grade))
    return lines


def _open_faults(catalogue: Catalogue, work: list[Action], grade: Grade) -> list[str]:
    """Faults still possible when the fault was cured, or a declared fault other than the repaired one."""
    said = [action.text(0) for action in work if action.verb == "diagnose"]
    if not said:
        lines = [_("No diagnosis was declared: the repair came without one.")]
    elif said[-1] not in grade.truth and not set(grade.group) & set(grade.truth):
        declared = _(catalogue.faults[said[-1]].name)
        lines = [say("You declared something else: {fault}.", fault=declared)]
    else:
        lines = []
    belief = _before_cure(catalogue, grade)
    rivals = [] if belief is None else [k for k in belief.argsort()[::-1] if belief[k] >= LIKELY]
    known = 0.0 if belief is None else sum(belief[k] for k in rivals if grade.faults[k].id in _counts(grade))
    others = [grade.faults[k] for k in rivals if grade.faults[k].id not in _counts(grade)][:MOST_OPEN]
    if known < SURE and others:
        names = ", ".join(_(fault.name) for fault in others)
        lines.append(say("Your readings still left open: {faults}.", faults=names))
    if lines:
        lines += _settled_by(_settling(catalogue, grade))
    return lines


def _counts(grade: Grade) -> set[str]:
    """Faults that count as a correct diagnosis."""
    return set(grade.truth) | (set(grade.group) if set(grade.group) & set(grade.truth) else set())


def _cured_at(catalogue: Catalogue, grade: Grade) -> int | None:
    """Index of the step that completed the cure of the vehicle, None if nothing was cured."""
    work = [step.action for step in grade.steps]
    at = [first_cure(catalogue, work, catalogue.faults[name]) for name in grade.truth]
    return max((index for index in at if index is not None), default=None)


def _before_cure(catalogue: Catalogue, grade: Grade) -> np.ndarray | None:
    """Belief in each fault (faults,) before the step that cured the vehicle, or at the end if none did."""
    at = _cured_at(catalogue, grade)
    if at is not None:
        return grade.steps[at].before
    return grade.steps[-1].after if grade.steps else None


def _settling(catalogue: Catalogue, grade: Grade) -> str | None:
    """The check that the reference would have done next when the person declared or began to repair; None if the
    reference was not computed there or no informative check was left.
    """
    steps = grade.steps[: _cured_at(catalogue, grade)]
    taken = {step.action.text(0) for step in steps if step.action.verb == "check"}
    asked = [step for step in steps if step.best is not None]
    check = asked[-1].best.check if asked and asked[-1].best is not None else None
    return None if check is None or check.id in taken else _(check.name)


def _proving(catalogue: Catalogue, grade: Grade) -> str | None:
    """The quickest check that proves the first complaint not yet proven gone."""
    shown_gone = {one.complaint for one in grade.proof.findings if one.proves}
    kinds = complaints_of(grade.job)
    kind = next((kind for kind in kinds if kind not in shown_gone), kinds[0] if kinds else None)
    vehicle = catalogue.vehicles[grade.job.vehicle]
    check = None if kind is None else proof_check(catalogue, vehicle, kind)
    return None if check is None else _(check.name)


def _settled_by(check: str | None) -> list[str]:
    return [] if check is None else [say("What would have settled it: {check}.", check=check)]


# -- well done, and next -----------------------------------------------------------------------------------------------


def _done_well(catalogue: Catalogue, work: list[Action], grade: Grade) -> str:
    """One thing that was done well."""
    checked = any(action.verb == "check" for action in work)
    telling = max((step for step in grade.steps if step.shown), key=_change, default=None)
    right = bool(set(grade.group) & set(grade.truth))
    if right and grade.criteria.get("diagnosis", 0.0) >= WELL and telling is not None:
        check = _(catalogue.checks[telling.action.text(0)].name) if telling.action.verb == "check" else ""
        if check:
            return say("You found the fault, and your readings bear it out. What told most: {check}.", check=check)
        return _("You found the fault, and your readings bear it out.")
    good = [one for one in grade.proof.findings if one.proves]
    if grade.proof.proven and good:
        values = {"label": _(good[-1].label), "shown": shown(good[-1].shown)}
        return say("You proved the repair: {label}, {shown}.", **values)
    if checked and not grade.safety and grade.criteria.get("safety", 0.0) >= 100.0:
        return _("You worked safely: no error, and no caution skipped.")
    if checked and grade.criteria.get("calibration", 0.0) >= WELL:
        return _("You were about as sure as your readings allow.")
    if telling is not None and telling.action.verb == "check":
        return say("This check told most: {check}.", check=_(catalogue.checks[telling.action.text(0)].name))
    return _("Nothing to go by yet: hardly anything was checked.")


def _change(step: Step) -> float:
    return float(abs(step.after - step.before).sum())


def _next(catalogue: Catalogue, work: list[Action], grade: Grade) -> str:
    """One thing to try next: the largest loss of marks."""
    if grade.critical:
        return say("Above all, avoid the critical error: {what}.", what=_(grade.critical[0]))
    lost = {name: (100.0 - value) * grade.weights.get(name, 0.0) for name, value in grade.criteria.items()}
    dearest = max(lost, key=lambda name: lost[name], default="")
    if grade.hints * 100.0 > lost.get(dearest, 0.0):
        return _("Try the next job without a hint: each one costs marks.")
    if lost.get(dearest, 0.0) < 100.0:  # less than one mark of the total
        return _("Take a harder job: there is little to gain in this one.")
    advice = {
        "diagnosis": _to_diagnose,
        "efficiency": _to_be_quicker,
        "safety": lambda *given: _("Do what each caution asks for before you start, and watch the needle on a run."),
        "parts": lambda *given: _("Fit a part only once a reading says that it has failed."),
        "inquiry": _to_inquire,
        "calibration": _to_be_as_sure,
    }
    return advice[dearest](catalogue, work, grade)


def _to_diagnose(catalogue: Catalogue, work: list[Action], grade: Grade) -> str:
    if not any(action.verb == "diagnose" for action in work):
        return _("Declare a diagnosis before you hand back the keys, however unsure you are.")
    check = _settling(catalogue, grade)
    if check is None:
        return _("Compare your readings before you declare: which faults would have shown the same?")
    return say("Before you declare, take this check: {check}.", check=check)


def _to_be_quicker(catalogue: Catalogue, work: list[Action], grade: Grade) -> str:
    asked = [step for step in grade.steps if step.best is not None and step.action.verb == "check"]
    slow = max(asked, key=lambda step: step.regret, default=None)
    if slow is None or slow.best is None or slow.best.check.id == slow.action.text(0):
        checks = sum(action.verb == "check" for action in work)
        needed = plural(len(grade.course.checks), "{n} check", "{n} checks")
        if checks > len(grade.course.checks):
            return say("Ask before each check what it could tell you: the reference needed {checks}.", checks=needed)
        return _("Take the quick checks first, and let the engine warm up while you look round.")
    better, instead = _(slow.best.check.name), _(catalogue.checks[slow.action.text(0)].name)
    return say("Choose what tells more for its time: {better}, not {instead}.", better=better, instead=instead)


def _to_inquire(catalogue: Catalogue, work: list[Action], grade: Grade) -> str:
    if not grade.proof.proven and not grade.job.diagnosis_only:
        check = _proving(catalogue, grade)
        if check is not None:
            return say("After the repair, show that the complaint is gone: {check}.", check=check)
    return _("Write the job up: complaint, cause and correction, and take only checks that can tell you something.")


def _to_be_as_sure(catalogue: Catalogue, work: list[Action], grade: Grade) -> str:
    said = [action for action in work if action.verb == "diagnose"]
    if not said or grade.belief is None:
        return _("Say how sure you are of a diagnosis: it counts.")
    if grade.belief < ROUNDS_TO_NOTHING:
        text = N_("You stated {stated:g} %, your readings made it less than 1% likely: state what they bear out.")
        return say(text, stated=said[-1].number(1))
    values = {"stated": said[-1].number(1), "belief": grade.belief}
    return say(
        "You stated {stated:g} %, your readings made it {belief:.0%} likely: state what they bear out.", **values
    )
