"""The debrief: a finished job explained step by step, in short sentences."""

from __future__ import annotations

from dataclasses import dataclass

from grading.grade import Grade
from grading.modes import MODES, OUT_OF_TIME, Mode
from grading.practice import Practice, remember
from grading.record import Entry
from grading.replay import Step
from scenarios.actions import Action
from scenarios.model import Catalogue

CAUTION = (
    "This is training. On a real vehicle its manual, local rules and licensed practice come first. "
    "These marks are evidence of reasoning, not of hand skill."
)


@dataclass(frozen=True)
class Section:
    """A heading and its lines."""

    title: str
    lines: list[str]


def describe(catalogue: Catalogue, action: Action) -> str:
    """An action in words."""
    verb = action.verb
    if verb == "check":
        return catalogue.checks[action.text(0)].name
    if verb == "repair":
        return f"repair: {catalogue.repairs[action.text(0)].name}"
    if verb == "diagnose":
        return f"diagnosis: {catalogue.faults[action.text(0)].name}, {action.number(1):g} % sure"
    if verb == "suspect":
        return f"suspect {catalogue.faults[action.text(0)].name}: {action.text(1)}"
    if verb == "hint":
        return f"hint: {action.text(0)}"
    if verb == "handback":
        return "the time ran out" if action.arguments == (OUT_OF_TIME,) else "keys handed back"
    return " ".join([verb, *(f"{a:g}" if isinstance(a, float) else str(a) for a in action.arguments)])


def _beliefs(grade: Grade, step: Step, count: int = 3) -> str:
    order = sorted(range(len(grade.faults)), key=lambda k: -step.after[k])[:count]
    told = [f"{grade.faults[k].name} {step.after[k]:.0%}" for k in order if step.after[k] >= 0.01]
    return ", ".join(told)


def _step_lines(catalogue: Catalogue, grade: Grade, step: Step) -> list[str]:
    lines = [f"{step.minute:5.1f} min  {describe(catalogue, step.action)}"]
    if step.action.verb == "hint":
        return [*lines, f"    {step.action.text(2)}"]
    if step.action.verb != "check":
        return lines
    lines += [f"    {label}: {shown}" for label, shown in step.shown]
    gained = float(abs(step.after - step.before).sum())
    if not step.shown:
        lines.append("    No reading came of it.")
    elif gained < 0.02:
        lines.append("    It changed nothing in what could be believed.")
    else:
        lines.append(f"    After it: {_beliefs(grade, step)}. It could be expected to bring {step.bits:.2f} bit.")
    best = step.best
    if best and best.check.id != step.action.text(0) and best.bits > 2.0 * step.bits + 0.05:
        first = "".join(f"{describe(catalogue, action)}, then " for action in best.before)
        lines.append(f"    More telling for its time: {first}{best.check.name}.")
    return lines


def _afterwards(grade: Grade) -> list[str]:
    came = grade.comeback
    if came is None:
        return ["The keys were not handed back."]
    if came.day is None:
        return [f"The vehicle ran for {came.days} days, through cold starts, short and long trips. No complaint came."]
    lines = [f"On day {came.day} the customer was back: {came.what}."]
    if came.dangerous:
        lines.append("The engine overheated at once. Handing back such a vehicle is dangerous.")
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
        said = "as it should be" if mark == should else f"the readings say: {should}"
        lines.append(f"{catalogue.faults[name].name}: you marked it {mark}, {said}.")
    return lines


def _hints(entries: list[Entry]) -> list[str]:
    """Every hint as it was given."""
    hints = [entry for entry in entries if entry.kind == "action" and entry.data["verb"] == "hint"]
    return [f"{float(e.data['minute']):.0f} min, {e.action.text(0)}: {e.action.text(2)}" for e in hints]


def _sat(entries: list[Entry]) -> str:
    mode = Mode.of_record(entries[0].data)
    allowed = f", {mode.minutes:g} minutes allowed" if mode.minutes is not None else ""
    return f"Mode: {mode.name}{allowed} ({MODES[mode.name]})."


def _rates(catalogue: Catalogue, grade: Grade) -> list[str]:
    rates = ", ".join(f"{fault.name} {fault.rate:g}" for fault in grade.faults)
    lines = [f"Assumed fault rates, relative to each other (assumptions): {rates}."]
    if grade.hangs_on:
        names = ", ".join(f"{catalogue.faults[name].name} x {factor:g}" for name, factor in grade.hangs_on)
        lines.append(f"Pass or fail would be the other with one of these rates changed: {names}.")
    else:
        lines.append("Pass or fail stays the same with any one of these rates halved or doubled.")
    if len(grade.group) > 1:
        names = ", ".join(catalogue.faults[name].name for name in grade.group)
        lines.append(f"No check tells these apart, so any of them counts: {names}.")
    return lines


def debrief(
    catalogue: Catalogue, entries: list[Entry], grade: Grade, practice: Practice | None = None
) -> list[Section]:
    """Sections that explain a graded record; entries: the record; practice: the learner's memory, or this job alone."""
    job = catalogue.jobs[str(entries[0].data["job"])]
    sections = []
    lines = [f'The complaint: "{job.complaint}"']
    for name in grade.truth:
        fault = catalogue.faults[name]
        lines += [f"{fault.name}. Part: {fault.part}. How it failed: {fault.mode}.", fault.explains]
        if fault.prevents:
            lines.append(f"What would have prevented it: {fault.prevents}")
    sections.append(Section("What was wrong", lines))
    lines = []
    for step in grade.steps:
        if step.action.verb != "note":
            lines += _step_lines(catalogue, grade, step)
    sections.append(Section("Your way", lines or ["Nothing was done."]))
    course = grade.course
    lines = [
        f"It needed {len(course.checks)} checks and {course.minutes:.0f} minutes, "
        f"and ended {course.belief:.0%} sure of: {catalogue.faults[course.diagnosis].name}."
    ]
    lines += [f"    {describe(catalogue, action)}" for action in course.actions]
    sections.append(Section("The reference's way, on the same vehicle", lines))
    lines = [f"{name}: {value:.0f} of 100, weight {grade.weights[name]:g}" for name, value in grade.criteria.items()]
    if grade.hints:
        lines.append(f"Hints took {grade.hints:g} marks off.")
    lines.append(f"Total {grade.total:.0f}: {'passed' if grade.passed else 'not passed'}.")
    lines += [f"- {reason}" for reason in grade.reasons]
    sections.append(Section("Marks", lines))
    if told := _hints(entries):
        sections.append(Section("Hints", told))
    if grade.safety:
        sections.append(Section("Safety", [f"- {what}" for what in grade.safety]))
    if marks := _suspects(catalogue, entries, grade):
        sections.append(Section("Your suspects", marks))
    sections.append(Section("Afterwards", _afterwards(grade)))
    memory = practice or remember(catalogue, [entries])
    if memory.next_job is not None:
        chosen = catalogue.jobs[memory.next_job]
        sections.append(Section("What to practise next", [f"{chosen.title} ({chosen.id}): {memory.why}."]))
    sections.append(
        Section(
            "How this was judged",
            [
                _sat(entries),
                *_rates(catalogue, grade),
                "Belief comes from the same actions replayed on many possible vehicles of this type.",
                CAUTION,
            ],
        )
    )
    return sections
