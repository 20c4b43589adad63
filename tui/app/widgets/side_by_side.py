"""Two ways beside each other: what the learner did, and what the reference did on the same vehicle."""

from __future__ import annotations

from itertools import zip_longest

from textual.content import Content

from grading.marks.grade import Grade
from grading.report.action_words import describe, turned_on
from scenarios.language import _, plural, say
from scenarios.model import Catalogue
from tui.presentation.clean import clean

_THOUGHT = frozenset({"note", "suspect", "hint", "handback", "go"})
"""What changes nothing at the vehicle is no step of a way."""


def side_by_side(catalogue: Catalogue, grade: Grade, room: int) -> list[Content]:
    """A heading, what it took, then step by step. room: width of a line [cells]."""
    column = min(max((room - 4) // 2, 20), 50)
    course = grade.course
    steps = [
        step
        for step, after in zip_longest(grade.steps, grade.steps[1:])
        if step.action.verb not in _THOUGHT and not turned_on(step.action, after and after.action)
    ]
    mine = [describe(catalogue, step.action) for step in steps]
    theirs = [describe(catalogue, action) for action in course.actions if action.verb not in _THOUGHT]
    sure = {"fault": _(catalogue.faults[course.diagnosis].name), "sure": float(round(100.0 * course.belief))}
    theirs.append(say("diagnosis: {fault}, {sure:g} % sure", **sure))
    rows = [(_took(grade.checks_used, grade.minutes_used), _took(len(course.checks), course.minutes)), ("", "")]
    rows += list(zip_longest(mine, theirs, fillvalue=""))

    def cell(text: str) -> Content:
        return Content(clean(text)).truncate(column, ellipsis=True, pad=True)

    heading = Content.assemble(cell(_("you")).stylize("bold"), "    ", cell(_("the reference")).stylize("bold"))
    return [heading, *(Content.assemble(cell(a), "    ", cell(b)) for a, b in rows)]


def _took(checks: int, minutes: float) -> str:
    told = {"checks": plural(checks, "{n} check", "{n} checks"), "minutes": minutes}
    return say("{checks}, {minutes:.0f} min to the diagnosis", **told)
