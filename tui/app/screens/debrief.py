"""The debrief: the marks, what was wrong, each step and what could be believed after it, the reference's way."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from itertools import accumulate, zip_longest
from typing import ClassVar

import numpy as np
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from grading.marks.grade import Grade
from grading.report.debrief import more_telling
from grading.report.first_page import TITLES
from grading.report.section import Section
from grading.report.timeline import CURVES, Way, moments, scale
from grading.report.told_actions import Bands, Told, told_actions
from grading.sessions.record import RecordEntry
from scenarios.language import N_, _, plural, say
from tui.app.program import program
from tui.app.screens.same_complaint import SameComplaint
from tui.app.show import clock, lines, words
from tui.app.widgets.beliefs import belief_bars
from tui.app.widgets.chart import AXIS, STYLES, chart, marks
from tui.app.widgets.key_hints import KeyHints
from tui.app.widgets.key_line import KeyLine
from tui.app.widgets.loop_drawing import WIDTH as LOOP_WIDTH
from tui.app.widgets.loop_drawing import loop_drawing
from tui.app.widgets.rows import Row, Rows
from tui.app.widgets.side_by_side import side_by_side
from tui.app.widgets.wrapping import wrapped
from tui.presentation.between_jobs import numbers
from tui.presentation.curves.truth import Course
from tui.presentation.process.draw_ahead import draw_ahead
from tui.presentation.units import fahrenheit

PAGES = (
    N_("result"),
    N_("fault"),
    N_("what you did"),
    N_("over time"),
    N_("reference"),
    N_("how judged"),
)
WAY, TIME, REFERENCE, JUDGED = 2, 3, 4, 5
_ON_PAGE: dict[int, tuple[str, ...]] = {
    0: (*TITLES, "What to practise next"),
    1: ("What was wrong",),
    REFERENCE: ("The reference's way, on the same vehicle",),
}
"""Page to the titles of its sections; sections of other titles stand on the last page, below the marks."""
SCRUB = (
    ("←", N_("earlier"), "turn(-1)"),
    ("→", N_("later"), "turn(1)"),
    ("n", N_("next event"), "event(1)"),
    ("p", N_("event before"), "event(-1)"),
)
BESIDE = 132
"""Columns from which the drawing of the loop stands beside the curves."""
LEGEND = 32
"""Cells to the right of the curves, for their names and figures."""


class Debrief(SameComplaint, Screen[None]):
    """A graded record, page by page."""

    HELP = N_("""Numbers turn the pages. On what you did, up and down go from step to step: the bars show what a perfect
observer of the same readings would have believed before and after each, the drawing what truly was in the loop.
Over time, left and right move through every moment of the job, n and p from one thing done to the next, on your way
and on the best route; a click on the chart goes there.""")

    DEFAULT_CSS = """
    Debrief #result { height: 2; padding: 0 2; background: $panel; }
    Debrief #pages { height: 1; padding: 0 2; background: $panel; }
    Debrief #page { padding: 1 2; }
    Debrief #page Static { max-width: 110; }
    Debrief.-time #page { padding: 0 2; }
    Debrief.-time #page Static { max-width: 100%; }
    Debrief #scrub { padding: 0 2; }
    Debrief #way { height: 1fr; }
    Debrief #steps { width: 42%; padding: 1 0 0 1; }
    Debrief #step { width: 1fr; padding: 1 2; border-left: vkey $panel; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(str(k + 1), f"page({k})", name, show=False) for k, name in enumerate(PAGES)),
        Binding("left", "turn(-1)", "Page before, or an earlier moment", show=False),
        Binding("right", "turn(1)", "Next page, or a later moment", show=False),
        Binding("shift+left", "turn(-10)", "Much earlier", show=False),
        Binding("shift+right", "turn(10)", "Much later", show=False),
        Binding("n", "event(1)", "Next event", show=False),
        Binding("p", "event(-1)", "Event before", show=False),
        Binding("o", "like", "Same complaint, another fault"),
        Binding("escape,q", "dismiss(None)", "Back to the board", key_display="Esc"),
    ]

    def __init__(
        self,
        entries: list[RecordEntry],
        grade: Grade,
        told: Callable[[], list[Section]],
        course: Course,
        ways: tuple[Way, Way],
        sound: Bands | None = None,
    ) -> None:
        """told: gives the sections in the language chosen; ways: the person's own and the best route; sound: what sound
        vehicles would have shown.
        """
        super().__init__()
        self.sound, self.ways = sound, ways
        self.entries, self.grade, self.told, self.course = entries, grade, told, course
        self.sections = told()
        self.actions: dict[str, Told] = {}
        """What was done, by the id of its row."""
        self.minute = 0.0
        self.page = 0

    def compose(self) -> ComposeResult:
        """Result, pages, page."""
        yield Static(id="result", markup=False)
        yield Static(id="pages", markup=False)
        yield KeyHints(*SCRUB, id="scrub")
        with VerticalScroll(id="page"):
            yield Static(id="text", markup=False)
        with Horizontal(id="way"):
            yield Rows(id="steps")
            with VerticalScroll(id="step"):
                yield Static(id="step-text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """The verdict first."""
        if not self.ending:
            self.redraw()
            self.action_page(0)
            if not self.app.is_headless:
                draw_ahead(self.job.id if self.grade.passed else "")

    def on_resize(self) -> None:
        """The bars of a step and the two ways fill the room there is."""
        self.call_after_refresh(self._show_step)
        self.call_after_refresh(self._show_reference)

    def reword(self) -> None:
        """Everything in the language chosen."""
        self.sections = self.told()
        super().reword()
        self.action_page(self.page)

    def redraw(self) -> None:
        """Draw what depends on units."""
        grade, catalogue, job = self.grade, program(self).catalogue_with(self.job.id), self.job
        number = numbers.told(job.id)
        verdict = (
            ("✓ " + _(grade.verdict), "bold $success") if grade.passed else ("✕ " + _(grade.verdict), "bold $error")
        )
        self.query_one("#result", Static).update(
            lines(
                Content.assemble(
                    words(_(job.title), style="bold $primary"),
                    "   ",
                    (say("{total:.0f} of 100", total=grade.total), "bold"),
                    "   ",
                    verdict,
                ),
                words(
                    " ".join(filter(None, (f"{_(job.customer)}, {_(catalogue.vehicles[job.vehicle].name)}.", number))),
                    style="$secondary",
                ),
            )
        )
        self.actions = {str(k): told for k, told in enumerate(told_actions(catalogue, self.entries, grade, self.sound))}
        rows = [
            Row(name, words(told.what), Content.styled(clock(told.minute), "$secondary"))
            for name, told in self.actions.items()
        ]
        self.query_one(Rows).show_rows(rows)
        self._show_step()

    def action_page(self, page: int) -> None:
        """Turn to a page."""
        self.page = page
        parts = [(name, "bold reverse" if k == page else "$secondary") for k, name in enumerate(_page_names())]
        self.query_one("#pages", Static).update(Content.assemble(*parts))
        way = page == WAY
        self.set_class(page == TIME, "-time")
        self.query_one("#scrub").display = page == TIME and bool(self.course.tracks)
        self.query_one("#way").display, self.query_one("#page").display = way, not way
        if way:
            self.query_one(Rows).focus()
            self.call_after_refresh(self._show_step)  # its bars fill the room there is, known once it is laid out
        else:
            self.query_one("#text", Static).update(self._text(page))
            self.query_one("#page").focus()
            if page == REFERENCE:
                self.call_after_refresh(self._show_reference)  # likewise

    def _show_reference(self) -> None:
        if self.page == REFERENCE:
            self.query_one("#text", Static).update(self._text(REFERENCE))

    def action_turn(self, by: int) -> None:
        """The next page or the one before; over time, a later moment or an earlier one."""
        if self.page == TIME and self.course.tracks:
            self._look_at(self.minute + by * self._end / self._time_width())
        else:
            self.action_page((self.page + by) % len(PAGES))

    def _look_at(self, minute: float) -> None:
        self.minute = min(max(minute, 0.0), self._end)
        self.query_one("#text", Static).update(self._over_time())

    def on_click(self, event: events.Click) -> None:
        """Turn to the page that was clicked; over time, look at the moment of the curve that was."""
        at = event.get_content_offset(self.query_one("#pages"))
        if at is not None:
            ends = list(accumulate(len(name) for name in _page_names()))
            if at.x < ends[-1]:
                self.action_page(bisect_right(ends, at.x))
            return
        offset = event.get_content_offset(self.query_one("#text"))
        if self.page == TIME and self.course.tracks and offset is not None:
            column = offset.x - AXIS
            if 0 <= column < self._time_width():
                self._look_at((column + 0.5) / self._time_width() * self._end)

    def _text(self, page: int) -> Content:
        if page == TIME:
            return self._over_time()
        if page == REFERENCE:
            room = self.query_one("#page").scrollable_content_region.width
            return lines(*side_by_side(program(self).catalogue, self.grade, self.actions.values(), room))
        if page == JUDGED:
            return lines(*self._marks(), *self._sections(*self._elsewhere()))
        told = self._sections(*_ON_PAGE[page])
        return lines(*(told[1:] if page == 0 else told))  # the first page begins at its top

    def _elsewhere(self) -> tuple[str, ...]:
        """Titles of sections that no other page shows."""
        placed = {title for titles in _ON_PAGE.values() for title in titles} | {"What you did", "Marks"}
        return tuple(section.title for section in self.sections if section.title not in placed)

    def _sections(self, *titles: str) -> list[Content]:
        units = program(self).units
        told: list[Content] = []
        for section in self.sections:
            if section.title in titles:
                told += [Content(), words(_(section.title), units, "bold $primary")]
                told += [words(line, units) for line in section.lines]
        return told

    def _marks(self) -> list[Content]:
        """Bars of the criteria, what it took, and why marks were lost."""
        grade, units = self.grade, program(self).units
        told = []
        wide = max([12, *(len(_(name)) + 1 for name in grade.criteria)])
        for name, value in grade.criteria.items():
            full = round(value / 5)
            bar = (("█" * full, "$primary"), ("░" * (20 - full), "$secondary"))
            told.append(
                Content.assemble(
                    (f"{_(name):<{wide}}", "bold"),
                    *bar,
                    f" {value:4.0f}",
                    ("   " + say("weight {weight:g}", weight=grade.weights[name]), "$secondary"),
                )
            )
        said = say(
            "you: {used}, {minutes:.0f} min to the diagnosis; the reference: {needed}, {reference:.0f} min",
            used=_checks(grade.checks_used),
            minutes=grade.minutes_used,
            needed=_checks(grade.reference_checks),
            reference=grade.reference_minutes,
        )
        told += [Content(), Content.styled(said, "$secondary")]
        told += [Content.assemble(("– ", "$warning"), words(_(reason), units)) for reason in grade.reasons]
        return told

    def _time_width(self) -> int:
        """Cells of a curve."""
        taken = AXIS + LEGEND + 5 + (LOOP_WIDTH if self.size.width >= BESIDE else 0)
        return max(min(self.size.width - taken, 90), 20)

    def _over_time(self) -> Content:
        """Temperatures over the whole job, what was done when on both ways, and all of it at the moment looked at."""
        course, units, width = self.course, program(self).units, self._time_width()
        if not course.tracks:
            return Content(_("No time passed."))
        mine, best = self.ways
        end = self._end
        cursor = min(int(self.minute / max(end, 1e-9) * width), width - 1)
        bounds, values = scale(self.ways), mine.temperatures
        if units == "us":
            bounds, values = (fahrenheit(bounds[0]), fahrenheit(bounds[1])), 1.8 * values + 32.0
        height = max(min(self.size.height - 15, 14), 6) | 1  # odd, so that the middle has its own figure
        told = chart(mine.times, values, bounds, end, (width, height), cursor)
        now = values[:, max(int(np.searchsorted(mine.times, self.minute, side="right")) - 1, 0)]
        legend = [self._legend(number, now) for number in range(len(CURVES))]
        told = [Content.assemble(line, "  ", *legend[k : k + 1]) for k, line in enumerate(told)]
        ruler = "0" + say("{end:.0f} min", end=end).rjust(width - 1)
        told.append(Content.styled(" " * AXIS + ruler, "$secondary"))
        for name, way in ((_("you"), mine), (_("best"), best)):
            signs = marks([(event.minute, event.sign) for event in way.events], end, width, cursor)
            told.append(Content.assemble((f"{name[: AXIS - 1]:<{AXIS}}", "$secondary"), signs))
        told.append(Content.styled(_("c check   d drive   i engine run   r repair   = diagnosis"), "$secondary"))
        told += self._both()
        heading = say("At {clock}, minute {minute:.1f}", clock=clock(self.minute), minute=self.minute)
        drawing = [Content.styled(heading, "bold"), *loop_drawing(course.moment(self.minute), units)]
        if self.size.width < BESIDE:
            return lines(drawing[0], *told, Content(), *drawing[1:])
        room = AXIS + width + LEGEND
        beside = [*drawing, *[Content()] * (len(told) - len(drawing))]
        return lines(*(Content.assemble(a.truncate(room, pad=True), b) for a, b in zip(told, beside, strict=True)))

    def _legend(self, number: int, values: np.ndarray) -> Content:
        unit = "°F" if program(self).units == "us" else "°C"
        text = f"{number + 1} {_(CURVES[number])}: {values[number]:.0f} {unit}"
        return Content.styled(text, STYLES[number])

    def _both(self) -> list[Content]:
        """What was done last at the moment looked at, on both ways beside each other."""
        column = max((min(self.size.width, AXIS + self._time_width() + LEGEND) - 6) // 2, 20)
        told = []
        for name, way in zip((_("you"), _("the best route")), self.ways, strict=True):
            event = way.at(self.minute)
            what = say("minute {minute:.1f}: {what}", minute=event.minute, what=event.what) if event else "–"
            told.append([Content.styled(name, "bold"), *wrapped(words(what, program(self).units), column, column)])
        blank = Content()
        return [Content.assemble(a.truncate(column, pad=True), "  ", b) for a, b in zip_longest(*told, fillvalue=blank)]

    def action_event(self, by: int) -> None:
        """Over time: go to the next moment at which something was done on one of the ways, or the one before."""
        if self.page != TIME or not self.course.tracks:
            return
        times = moments(self.ways)
        later = [minute for minute in times if minute > self.minute + 1e-3]
        earlier = [minute for minute in times if minute < self.minute - 1e-3]
        self._look_at((later or [self._end])[0] if by > 0 else (earlier or [0.0])[-1])

    @property
    def _end(self) -> float:
        """Time at the right edge [min]."""
        return max(self.course.end, *(way.end for way in self.ways))

    @on(Rows.OptionHighlighted, "#steps")
    def _show_step(self) -> None:
        current = self.query_one(Rows).current
        if current is None or self.page != WAY:
            return
        action, units, catalogue = self.actions[current], program(self).units, program(self).catalogue
        told = [words(action.what, units, "bold $primary")]
        told += [
            Content.assemble(
                words(label, units), ": ", words(reading, units, "bold"), "   ", words(band, units, "$secondary")
            )
            for label, reading, band in action.readings
        ]
        check = catalogue.checks.get(str(action.entry.action.arguments[0])) if action.readings else None
        if check is not None and check.normal and action.entry.data["verb"] == "check":
            told.append(words(_(check.normal), units, "$secondary"))
        if action.entry.data["verb"] == "hint":
            told.append(words(_(action.entry.action.message or ""), units))
        if action.minutes:
            told.append(
                Content.styled(
                    say("{minutes:.1f} min, from {clock}", minutes=action.minutes, clock=clock(action.minute)),
                    "$secondary",
                )
            )
        told += [words(remark, units) for remark in action.remarks]
        if action.step is not None:
            room = self.query_one("#step").scrollable_content_region.width - 3
            told += [Content(), *belief_bars(self.grade.faults, action.step.before, action.step.after, room)]
            if action.step.action.verb == "check" and (better := more_telling(catalogue, action.step)) is not None:
                told += [Content(), words(say("More telling for its time: {steps}.", steps=better), units)]
        truth = self.course.at.get(int(action.entry.data["n"]))
        if truth is not None:
            self.minute = min(truth.minute, self.course.end)
            told += [Content(), Content.styled(_("The true state at that moment"), "bold"), *loop_drawing(truth, units)]
        self.query_one("#step-text", Static).update(lines(*told))


def _page_names() -> list[str]:
    return [f" {k + 1} {_(name)} " for k, name in enumerate(PAGES)]


def _checks(count: int) -> str:
    return plural(count, "{n} check", "{n} checks")
