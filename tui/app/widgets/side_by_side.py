"""Two ways beside each other: what the learner did, and what the reference did on the same vehicle."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import zip_longest

from textual.content import Content

from grading.marks.grade import Grade
from grading.report.action_words import describe
from grading.report.told_actions import Told
from scenarios.language import _, plural, say
from scenarios.model import Catalogue
from tui.app.widgets.wrapping import wrapped
from tui.presentation.clean import clean

_THOUGHT = frozenset({"note", "suspect", "hint", "handback", "go"})
"""What changes nothing at the vehicle is no step of a way."""


def side_by_side(catalogue: Catalogue, grade: Grade, told: Iterable[Told], room: int) -> list[Content]:
    """A heading, what it took, then step by step. told: what the learner did; room: width of a line [cells]."""
    column = min(max((room - 4) // 2, 20), 50)
    course = grade.course
    mine = [one.what for one in told if one.step is not None and one.step.action.verb not in _THOUGHT]
    theirs = [describe(catalogue, action) for action in course.actions if action.verb not in _THOUGHT]
    sure = {"fault": _(catalogue.faults[course.diagnosis].name), "sure": float(round(100.0 * course.belief))}
    theirs.append(say("diagnosis: {fault}, {sure:g} % sure", **sure))
    rows = [(_took(grade.checks_used, grade.minutes_used), _took(len(course.checks), course.minutes)), ("", "")]
    rows += list(zip_longest(mine, theirs, fillvalue=""))

    def cell(text: str) -> list[Content]:
        first, *others = wrapped(Content(clean(text)), column, column - 2)
        lines = [first, *(Content.assemble("  ", other) for other in others)]
        return [line.truncate(column, pad=True) for line in lines]

    def beside(a: list[Content], b: list[Content]) -> list[Content]:
        blank = Content(" " * column)
        return [Content.assemble(one, "    ", other) for one, other in zip_longest(a, b, fillvalue=blank)]

    heading = [[line.stylize("bold") for line in cell(text)] for text in (_("you"), _("the reference"))]
    return [line for a, b in (heading, *((cell(a), cell(b)) for a, b in rows)) for line in beside(a, b)]


def _took(checks: int, minutes: float) -> str:
    told = {"checks": plural(checks, "{n} check", "{n} checks"), "minutes": minutes}
    return say("{checks}, {minutes:.0f} min to the diagnosis", **told)
