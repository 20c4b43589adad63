"""The debrief, which explains a finished job step by step."""

from __future__ import annotations

from grading.marks.criteria import ROUNDS_TO_NOTHING
from grading.marks.grade import Grade
from grading.marks.practice import Practice, remember
from grading.marks.replay import Step
from grading.report.action_words import describe
from grading.report.first_page import first_page
from grading.report.section import Section
from grading.report.told_actions import Bands, Told, told_actions
from grading.sessions.modes import MODES, Mode
from grading.sessions.record import RecordEntry
from scenarios.language import N_, _, say
from scenarios.model import Catalogue

CAUTION = N_(
    "This is training. On a real vehicle its manual, local rules and licensed practice come first. "
    "These marks are evidence of reasoning, not of hand skill."
)


REGRETTED = 2.0
"""Least number of minutes lost by a step that the debrief mentions."""


def _beliefs(grade: Grade, step: Step, count: int = 3) -> str:
    order = sorted(range(len(grade.faults)), key=lambda k: -step.after[k])[:count]
    likeliest = [
        say("{fault} {belief:.0%}", fault=_(grade.faults[k].name), belief=float(step.after[k]))
        for k in order
        if step.after[k] >= 0.01
    ]
    return ", ".join(likeliest)


def _action_lines(catalogue: Catalogue, grade: Grade, told: Told) -> list[str]:
    """An action with its readings, the belief after it and remarks."""
    lines = [say("{minute:5.1f} min  {what}", minute=told.minute, what=told.what)]
    lines += [f"    {label}: {reading}{band and f' ({band})'}" for label, reading, band in told.readings]
    if told.entry.data["verb"] == "hint":
        lines.append("    " + _(told.entry.action.message or ""))
    if told.step is not None:
        lines += [f"    {line}" for line in _judged(catalogue, grade, told.step)]
    return lines + [f"    {remark}" for remark in told.remarks]


def _judged(catalogue: Catalogue, grade: Grade, step: Step) -> list[str]:
    """The belief after a step, and whether another step would have been better."""
    if step.action.verb == "diagnose" and step.worth is True:
        return [_("One more check before this would have been worth the time.")]
    if step.action.verb != "check":
        return []
    lines = []
    gained = float(abs(step.after - step.before).sum())
    if not step.shown:
        lines.append(_("It gave no reading."))
    elif gained < 0.02:
        lines.append(_("Ruled nothing in or out."))
    else:
        lines.append(say("After it: {beliefs}.", beliefs=_beliefs(grade, step)))
    if step.worth is False:
        lines.append(_("No further check was worth the time here: enough was known to declare."))
    if step.regret >= REGRETTED and not catalogue.checks[step.action.text(0)].protected:
        lines.append(say("The quickest way to know as much takes {minutes:.0f} minutes less.", minutes=step.regret))
    if (better := more_telling(catalogue, step)) is not None:
        lines.append(say("More telling for its time: {steps}.", steps=better))
    return lines


def more_telling(catalogue: Catalogue, step: Step) -> str | None:
    """A check, with its preparations, much more informative per minute than the one done; None if there is none."""
    best = step.best
    if best is None or best.check.id == step.action.text(0) or best.bits <= 2.0 * step.bits + 0.05:
        return None
    return _(", then ").join([*(describe(catalogue, action) for action in best.before), _(best.check.name)])


def _information(catalogue: Catalogue, grade: Grade) -> list[str]:
    """Expected information of each check done."""
    checks = [
        say("{check} {bits:.2f} bit", check=describe(catalogue, step.action), bits=step.bits)
        for step in grade.steps
        if step.action.verb == "check"
    ]
    return (
        [say("Information that each check could be expected to bring: {checks}.", checks="; ".join(checks))]
        if checks
        else []
    )


def _suspects(catalogue: Catalogue, entries: list[RecordEntry], grade: Grade) -> list[str]:
    """The learner's mark on each fault, compared with what the readings say."""
    if not grade.steps:
        return []
    belief = {fault.id: float(p) for fault, p in zip(grade.faults, grade.steps[-1].after, strict=True)}
    marks = {e.action.text(0): e.action.text(1) for e in entries if e.kind == "action" and e.data["verb"] == "suspect"}
    lines = []
    for name, mark in marks.items():
        p = belief.get(name, 0.0)
        should = "likely" if p > 0.5 else "maybe" if p > 0.1 else "unlikely" if p > 0.01 else "out"
        fault = _(catalogue.faults[name].name)
        if mark == should:
            lines.append(say("{fault}: you marked it {mark}, as it should be.", fault=fault, mark=_(mark)))
        else:
            values = {"fault": fault, "mark": _(mark), "should": _(should)}
            lines.append(say("{fault}: you marked it {mark}, the readings say: {should}.", **values))
    return lines


def _hints(entries: list[RecordEntry]) -> list[str]:
    """Every hint as it was given."""
    hints = [entry for entry in entries if entry.kind == "action" and entry.data["verb"] == "hint"]
    return [
        say(
            "{minute:.0f} min, {rung}: {hint}",
            minute=float(e.data["minute"]),
            rung=_(e.action.text(0)),
            hint=_(e.action.message or ""),
        )
        for e in hints
    ]


def _mode(entries: list[RecordEntry]) -> str:
    mode = Mode.of_record(entries[0].data)
    values = {"mode": _(mode.name), "what": _(MODES[mode.name])}
    if mode.minutes is None:
        return say("Mode: {mode} ({what}).", **values)
    return say("Mode: {mode}, {minutes:g} minutes allowed ({what}).", minutes=mode.minutes, **values)


def _rates(catalogue: Catalogue, grade: Grade) -> list[str]:
    rates = ", ".join(say("{fault} {rate:g}", fault=_(fault.name), rate=fault.rate) for fault in grade.faults)
    lines = [say("Assumed fault rates, relative to each other (assumptions): {rates}.", rates=rates)]
    lines.append(
        _(
            "The complaint counts as evidence: a fault that is told otherwise starts with a hundredth to a fifth "
            "of its rate (assumption)."
        )
    )
    if grade.hangs_on:
        names = ", ".join(
            say("{fault} x {factor:g}", fault=_(catalogue.faults[name].name), factor=factor)
            for name, factor in grade.hangs_on
        )
        lines.append(say("Pass or fail would be the other with one of these rates changed: {rates}.", rates=names))
    else:
        lines.append(_("Pass or fail stays the same with any one of these rates halved or doubled."))
    if len(grade.group) > 1:
        names = ", ".join(_(catalogue.faults[name].name) for name in grade.group)
        lines.append(say("No check tells these apart, so any of them counts: {faults}.", faults=names))
    return lines


def _sure(grade: Grade) -> list[str]:
    if grade.belief is None or grade.belief_error is None:
        return []
    if grade.belief < ROUNDS_TO_NOTHING:
        return [_("From what was seen, the diagnosis is less than 1% likely.")]
    values = {"belief": grade.belief, "error": max(grade.belief_error, 0.01)}
    return [say("From what was seen, the diagnosis is {belief:.0%} likely, give or take {error:.0%}.", **values)]


def debrief(
    catalogue: Catalogue,
    entries: list[RecordEntry],
    grade: Grade,
    practice: Practice | None = None,
    sound: Bands | None = None,
) -> list[Section]:
    """Sections that explain a graded record.

    entries: the record; practice: the learner's practice history, this job alone if not given; sound: bands of sound
    vehicles, if known.
    """
    sections = [*first_page(catalogue, entries, grade), _what_was_wrong(catalogue, grade)]
    lines = [
        line
        for told in told_actions(catalogue, entries, grade, sound)
        for line in _action_lines(catalogue, grade, told)
    ]
    sections.append(Section(N_("What you did"), lines or [_("Nothing was done.")]))
    sections.append(_reference(catalogue, grade))
    if hints := _hints(entries):
        sections.append(Section(N_("Hints"), hints))
    if marks := _suspects(catalogue, entries, grade):
        sections.append(Section(N_("Your suspects"), marks))
    history = practice or remember(catalogue, [(entries, grade.passed)])
    if history.next_job is not None:
        chosen = catalogue.jobs[history.next_job]
        advice = say("{job} ({id}): {why}.", job=_(chosen.title), id=chosen.id, why=_(history.why))
        sections.append(Section(N_("What to practise next"), [advice]))
    sections.append(_marks(grade))
    sections.append(
        Section(
            N_("How this was judged"),
            [
                _mode(entries),
                *_rates(catalogue, grade),
                *_sure(grade),
                *_information(catalogue, grade),
                _("Belief comes from the same actions replayed on many possible vehicles of this type."),
                _(CAUTION),
            ],
        )
    )
    return sections


def _what_was_wrong(catalogue: Catalogue, grade: Grade) -> Section:
    lines = [say('The complaint: "{complaint}"', complaint=_(grade.job.complaint))]
    for name in grade.truth:
        fault = catalogue.faults[name]
        values = {"fault": _(fault.name), "part": _(fault.part), "mode": _(fault.mode)}
        lines += [say("{fault}. Part: {part}. How it failed: {mode}.", **values), _(fault.explains)]
        if fault.prevents:
            lines.append(say("What would have prevented it: {prevents}", prevents=_(fault.prevents)))
    return Section(N_("What was wrong"), lines)


def _reference(catalogue: Catalogue, grade: Grade) -> Section:
    course = grade.course
    lines = [
        say(
            "It needed {checks} checks and {minutes:.0f} minutes, and ended {belief:.0%} sure of: {fault}.",
            checks=len(course.checks),
            minutes=course.minutes,
            belief=course.belief,
            fault=_(catalogue.faults[course.diagnosis].name),
        )
    ]
    lines += [f"    {describe(catalogue, action)}" for action in course.actions]
    return Section(N_("The reference's way, on the same vehicle"), lines)


def _marks(grade: Grade) -> Section:
    lines = [
        say(
            "{criterion}: {value:.0f} of 100, weight {weight:g}",
            criterion=_(name),
            value=value,
            weight=grade.weights[name],
        )
        for name, value in grade.criteria.items()
    ]
    lines += [say("{code}: {value:.0f} of 100", code=code, value=value) for code, value in grade.competences.items()]
    if grade.hints:
        lines.append(say("Hints took {marks:g} marks off.", marks=grade.hints))
    lines += [f"- {_(reason)}" for reason in grade.reasons]
    return Section(N_("Marks"), lines)
