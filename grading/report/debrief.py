"""The debrief: a finished job explained step by step, in short sentences."""

from __future__ import annotations

from dataclasses import dataclass

from grading.marks.grade import Grade
from grading.marks.practice import Practice, remember
from grading.marks.replay import Step
from grading.sessions.modes import MODES, NOT_DRIVEN, OUT_OF_TIME, TEMPORARY, Mode
from grading.sessions.record import Entry
from scenarios.actions import ALSO, Action
from scenarios.language import N_, _, say, shown
from scenarios.model import Catalogue

CAUTION = N_(
    "This is training. On a real vehicle its manual, local rules and licensed practice come first. "
    "These marks are evidence of reasoning, not of hand skill."
)


REGRETTED = 2.0
"""Minutes of a step beyond the best way from which they are told."""


@dataclass(frozen=True)
class Section:
    """A heading, in English as screens know it by, and its lines in the language chosen."""

    title: str
    lines: list[str]


def describe(catalogue: Catalogue, action: Action) -> str:
    """An action in words."""
    match action.verb:
        case "check" if len(action.arguments) > 1:
            name = _(catalogue.checks[action.text(0)].name)
            return say("{check}, broken off after {minutes:g} min", check=name, minutes=round(action.number(1), 1))
        case "check":
            return _(catalogue.checks[action.text(0)].name)
        case "repair":
            return say("repair: {repair}", repair=_(catalogue.repairs[action.text(0)].name))
        case "diagnose":
            fault = _(catalogue.faults[action.text(0)].name)
            if action.arguments[2:] == (ALSO,):
                return say("diagnosis beside it: {fault}, {sure:g} % sure", fault=fault, sure=action.number(1))
            return say("diagnosis: {fault}, {sure:g} % sure", fault=fault, sure=action.number(1))
        case "suspect":
            fault = _(catalogue.faults[action.text(0)].name)
            return say("suspect {fault}: {mark}", fault=fault, mark=_(action.text(1)))
        case "drive" if len(action.arguments) > 1:
            return say("drive {minutes:g} min, {speed:g} km/h", minutes=action.number(0), speed=action.number(1))
        case "drive":
            return say("drive {minutes:g} min", minutes=action.number(0))
        case "rev":
            return say("rev {speed:g} rpm, {minutes:g} min", speed=action.number(0), minutes=action.number(1))
        case "idle":
            return say("idle {minutes:g} min", minutes=action.number(0))
        case "wait":
            return say("wait {minutes:g} min", minutes=action.number(0))
        case "go":
            return say("walk to: {place}", place=_(action.text(0)))
        case "set":
            value = " ".join(map(_setting, action.arguments[1:]))
            return say("{control}: {value}", control=_(action.text(0)), value=value)
        case "ignition":
            return say("ignition {state}", state=_(action.text(0)))
        case "engine":
            return _("engine start") if action.text(0) == "start" else _("engine stop")
        case "hint":
            return say("hint: {rung}", rung=_(action.text(0)))
        case "handback":
            if action.arguments == (NOT_DRIVEN,):
                return _("keys handed back, the vehicle not to be driven")
            if action.arguments == (TEMPORARY,):
                return _("keys handed back, as a temporary repair")
            return _("the time ran out") if action.arguments == (OUT_OF_TIME,) else _("keys handed back")
        case _:
            return " ".join([action.verb, *map(_setting, action.arguments)])


def turned_on(action: Action, after: Action | None) -> bool:
    """Whether a control was at once turned further, so that this step says nothing of its own."""
    return after is not None and action.verb == after.verb == "set" and action.text(0) == after.text(0)


_CONTROLS = (N_("heater"), N_("blower"), N_("vents"), N_("recirculation"), N_("on"), N_("off"))
"""Controls and how they stand, as actions name them."""


def _setting(value: str | float) -> str:
    return f"{value:g}" if isinstance(value, float) else _(str(value))


def _beliefs(grade: Grade, step: Step, count: int = 3) -> str:
    order = sorted(range(len(grade.faults)), key=lambda k: -step.after[k])[:count]
    told = [
        say("{fault} {belief:.0%}", fault=_(grade.faults[k].name), belief=float(step.after[k]))
        for k in order
        if step.after[k] >= 0.01
    ]
    return ", ".join(told)


def _step_lines(catalogue: Catalogue, grade: Grade, step: Step) -> list[str]:
    lines = [say("{minute:5.1f} min  {what}", minute=step.minute, what=describe(catalogue, step.action))]
    if step.action.verb == "hint":
        return [*lines, "    " + _(step.action.message or "")]
    if step.action.verb == "diagnose" and step.worth is True:
        return [*lines, "    " + _("One more look would have been worth its minutes before this.")]
    if step.action.verb != "check":
        return lines
    lines += [f"    {_(label)}: {shown(reading)}" for label, reading in step.shown]
    gained = float(abs(step.after - step.before).sum())
    if not step.shown:
        lines.append("    " + _("No reading came of it."))
    elif gained < 0.02:
        lines.append("    " + _("It changed nothing in what could be believed."))
    else:
        told = {"beliefs": _beliefs(grade, step), "bits": step.bits}
        lines.append("    " + say("After it: {beliefs}. It could be expected to bring {bits:.2f} bit.", **told))
    if step.worth is False:
        lines.append("    " + _("Nothing more was worth its minutes here: what was known was enough to declare."))
    if step.regret >= REGRETTED and not catalogue.checks[step.action.text(0)].protected:
        less = say("The best way to know as much takes {minutes:.0f} minutes less.", minutes=step.regret)
        lines.append("    " + less)
    best = step.best
    if best and best.check.id != step.action.text(0) and best.bits > 2.0 * step.bits + 0.05:
        first = _(", then ").join([*(describe(catalogue, action) for action in best.before), _(best.check.name)])
        lines.append("    " + say("More telling for its time: {steps}.", steps=first))
    return lines


def afterwards(grade: Grade) -> list[str]:
    """What came of the work in the month after, in sentences."""
    came = grade.comeback
    if came is None:
        return [_("The keys were not handed back.")]
    fit = [say("It was not fit for the road: {what}.", what=_(came.unroadworthy))] if came.unroadworthy else []
    if came.held:
        return [*fit, _("The job card says that the vehicle is not to be driven, so nobody did.")]
    if came.day is None:
        return [
            *fit,
            say(
                "The vehicle ran for {days} days, through cold starts, short and long trips. No complaint came.",
                days=came.days,
            ),
        ]
    lines = [*fit, say("On day {day} the customer was back: {what}.", day=came.day, what=_(came.what))]
    if came.dangerous:
        lines.append(_("The engine overheated at once. Handing back such a vehicle is dangerous."))
    return lines


def _suspects(catalogue: Catalogue, entries: list[Entry], grade: Grade) -> list[str]:
    """What each mark was and what the readings make of it."""
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
            told = {"fault": fault, "mark": _(mark), "should": _(should)}
            lines.append(say("{fault}: you marked it {mark}, the readings say: {should}.", **told))
    return lines


def _hints(entries: list[Entry]) -> list[str]:
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


def _sat(entries: list[Entry]) -> str:
    mode = Mode.of_record(entries[0].data)
    told = {"mode": _(mode.name), "what": _(MODES[mode.name])}
    if mode.minutes is None:
        return say("Mode: {mode} ({what}).", **told)
    return say("Mode: {mode}, {minutes:g} minutes allowed ({what}).", minutes=mode.minutes, **told)


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
    told = {"belief": grade.belief, "error": max(grade.belief_error, 0.01)}
    return [say("From what was seen, the diagnosis is {belief:.0%} likely, give or take {error:.0%}.", **told)]


def debrief(
    catalogue: Catalogue, entries: list[Entry], grade: Grade, practice: Practice | None = None
) -> list[Section]:
    """Sections that explain a graded record; entries: the record; practice: the learner's memory, or this job alone."""
    job = catalogue.jobs[str(entries[0].data["job"])]
    sections = []
    lines = [say('The complaint: "{complaint}"', complaint=_(job.complaint))]
    for name in grade.truth:
        fault = catalogue.faults[name]
        told = {"fault": _(fault.name), "part": _(fault.part), "mode": _(fault.mode)}
        lines += [say("{fault}. Part: {part}. How it failed: {mode}.", **told), _(fault.explains)]
        if fault.prevents:
            lines.append(say("What would have prevented it: {prevents}", prevents=_(fault.prevents)))
    sections.append(Section(N_("What was wrong"), lines))
    lines = []
    for step in grade.steps:
        if step.action.verb != "note":
            lines += _step_lines(catalogue, grade, step)
    sections.append(Section(N_("Your way"), lines or [_("Nothing was done.")]))
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
    sections.append(Section(N_("The reference's way, on the same vehicle"), lines))
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
    lines.append(say("Total {total:.0f}: {verdict}.", total=grade.total, verdict=_(grade.verdict)))
    lines += [f"- {_(reason)}" for reason in grade.reasons]
    sections.append(Section(N_("Marks"), lines))
    if told := _hints(entries):
        sections.append(Section(N_("Hints"), told))
    if grade.safety:
        sections.append(Section(N_("Safety"), [f"- {_(what)}" for what in grade.safety]))
    if marks := _suspects(catalogue, entries, grade):
        sections.append(Section(N_("Your suspects"), marks))
    sections.append(Section(N_("Afterwards"), afterwards(grade)))
    memory = practice or remember(catalogue, [(entries, grade.passed)])
    if memory.next_job is not None:
        chosen = catalogue.jobs[memory.next_job]
        told = say("{job} ({id}): {why}.", job=_(chosen.title), id=chosen.id, why=_(memory.why))
        sections.append(Section(N_("What to practise next"), [told]))
    sections.append(
        Section(
            N_("How this was judged"),
            [
                _sat(entries),
                *_rates(catalogue, grade),
                *_sure(grade),
                _("Belief comes from the same actions replayed on many possible vehicles of this type."),
                _(CAUTION),
            ],
        )
    )
    return sections
