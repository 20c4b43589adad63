"""What the workshop looks like: the parts of its screen, and how they are filled from the job as it stands."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen

from grading.sessions.modes import GUIDED, now
from grading.sessions.session import Session
from scenarios.language import _, say
from scenarios.model import ELECTRIC, PLACES, SEAT
from tui.app.program import program
from tui.app.screens.spoken import Spoken
from tui.app.screens.workshop_keys import HEADINGS, HINT, NOTE_KEYS, SUSPECT_KEYS, TIMES
from tui.app.show import clock, lines, words
from tui.app.widgets.gauge import Gauge
from tui.app.widgets.job_card import JobCard
from tui.app.widgets.key_hints import KeyHint, KeyHints
from tui.app.widgets.key_line import KeyLine
from tui.app.widgets.knobs import Knobs
from tui.app.widgets.notes import Notes
from tui.app.widgets.offers import Offers, detail
from tui.app.widgets.paper import Paper
from tui.app.widgets.passing import Passing
from tui.app.widgets.place_line import PlaceLine
from tui.app.widgets.stage_line import StageLine
from tui.app.widgets.suspects import Suspects
from tui.app.widgets.vehicle import Vehicle
from tui.presentation import situation
from tui.presentation.between_jobs.numbers import titled
from tui.presentation.notebook import notebook
from tui.presentation.stages import stages

WIDE, BROAD = 116, 168
"""Columns of the terminal from which two and all three sides stand beside what can be done."""
ROOMY, HIGH = 106, 32
"""Columns and lines from which the vehicle itself is drawn."""
MANY = 3
"""Lines told of one check from which, on a low screen, what is noticed makes room for them."""
SIDES = ("notebook", "suspects", "card")


class WorkshopView(Spoken, Screen[None]):
    """Everything that is shown, without what is done."""

    DEFAULT_CSS = """
    WorkshopView #head { height: 1; padding: 0 1; }
    WorkshopView #head-title {
        width: 1fr; text-style: bold; color: $primary; text-wrap: nowrap; text-overflow: ellipsis;
    }
    WorkshopView #head-clock { width: auto; margin-left: 2; }
    WorkshopView Vehicle { display: none; }
    WorkshopView.-high.-roomy Vehicle { display: block; }
    WorkshopView.-high.-roomy PlaceLine { display: none; }
    WorkshopView #room { height: 1fr; }
    WorkshopView .column { width: 1fr; padding: 0 1; border-left: vkey transparent; }
    WorkshopView #here { width: 38%; }
    WorkshopView.-narrow #here { width: 57%; }
    WorkshopView.-broad #here { width: 28%; }
    WorkshopView.-broad #notebook { width: 2fr; }
    WorkshopView .column:focus-within { border-left: outer $primary; }
    WorkshopView #perceived { height: auto; max-height: 6; color: $foreground; margin-bottom: 1; }
    WorkshopView.-told #perceived { display: none; }
    WorkshopView.-high #perceived { display: block; }
    WorkshopView #detail { height: auto; max-height: 5; color: $secondary; }
    WorkshopView #compared { height: auto; max-height: 3; color: $accent; }
    WorkshopView #said { height: auto; min-height: 2; padding: 0 1; background: $surface; }
    WorkshopView.-high #said { min-height: 5; }
    WorkshopView #dash { height: 2; padding: 0 1; background: $panel; }
    WorkshopView #dash-low { height: 1; }
    WorkshopView #times { width: auto; margin-right: 1; }
    WorkshopView .column KeyHint { margin-right: 1; }
    WorkshopView .column-keys { margin-top: 1; }
    WorkshopView.-narrow .column-keys { margin-top: 0; }
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.looked_at = PLACES.index(session.workshop.place)
        self.side = SIDES[0] if session.readings else SIDES[2]
        self.told: list[Content] = [self._greeting()]
        self.latest = 1
        """How many of the last lines told of one thing: they are shown whole, whatever else has room."""

    def compose(self) -> ComposeResult:
        """Head, places, columns, what was said, the dash."""
        with Horizontal(id="head"):
            yield Paper(id="head-title")
            yield Paper(id="head-clock")
        yield StageLine()
        yield PlaceLine()
        yield Vehicle()
        with Horizontal(id="room"):
            with Vertical(id="here", classes="column"):
                yield Paper(id="perceived")
                yield Offers(id="offers")
                yield Paper(id="detail")
            with Vertical(id="notebook", classes="column"):
                yield KeyHints(*HEADINGS, classes="heading")
                yield Notes(id="notes")
                yield Paper(id="compared")
                yield KeyHints(*NOTE_KEYS, classes="column-keys")
            with Vertical(id="suspects", classes="column"):
                yield KeyHints(*HEADINGS, classes="heading")
                yield Suspects(id="suspect-list")
                yield KeyHints(*SUSPECT_KEYS, classes="column-keys")
            with Vertical(id="card", classes="column"):
                yield KeyHints(*HEADINGS, classes="heading")
                with VerticalScroll(can_focus=True, id="card-scroll"):
                    yield JobCard()
        yield Paper(id="said")
        yield Passing()
        with Vertical(id="dash"):
            yield Knobs()
            with Horizontal(id="dash-low"):
                yield KeyHints(*TIMES, *([HINT] if self.session.mode.name == GUIDED else []), id="times")
                yield Gauge()
        yield KeyLine()

    def on_mount(self) -> None:
        """Stand at the vehicle."""
        if not self.ending:
            self.redraw()
            self.query_one("#offers").focus()

    @staticmethod
    def _greeting() -> Content:
        return Content(_("The key is yours. Look round; ? helps wherever you are."))

    def reword(self) -> None:
        """In the language chosen; what was said before stays as it was said."""
        self.told[0] = self._greeting()
        super().reword()

    def on_unmount(self) -> None:
        """Let go of the record; it is opened again where something more is written."""
        self.session.close()

    def on_resize(self) -> None:
        """As many columns as there is room for."""
        if not self.ending:
            self.fit_columns()

    def fit_columns(self) -> None:
        width = self.size.width
        self.set_class(width < WIDE, "-narrow")
        self.set_class(width >= BROAD, "-broad")
        self.set_class(width >= ROOMY, "-roomy")
        self.set_class(self.size.height >= HIGH, "-high")
        self._show_title(width - 2 - self.query_one("#head-clock", Paper).content_cells - 2)
        self.query_one(StageLine).show(stages(self.session), width - 2)
        shown = {self.side} if width < WIDE else set(SIDES) if width >= BROAD else {self.side, *SIDES[:2]}
        if len(shown) == 3 and width < BROAD:
            shown.remove("suspects")
        for name in SIDES:
            self.query_one(f"#{name}").display = name in shown
            hints = self.query(f"#{name} .heading KeyHint").results(KeyHint)
            for side, hint in zip(SIDES, hints, strict=True):
                hint.display = side == name or side not in shown
                hint.light(side == name)

    def _show_title(self, room: int) -> None:
        """The job, with its vehicle and customer where there is room for their whole names."""
        job, vehicle = self.session.job, self.session.vehicle
        told = title = titled(job.title, job.id)
        for whole in (f"{title}: {_(vehicle.name)}", f"{title}: {_(vehicle.name)}, {_(job.customer)}"):
            told = whole if Content(whole).cell_length <= room else told
        self.query_one("#head-title", Paper).write(words(told, program(self).units))

    def redraw(self) -> None:
        """Draw everything as it is now."""
        units = program(self).units
        session, vehicle = self.session, self.session.vehicle
        self.show_clock(session.minute)
        self.query_one(StageLine).show(stages(session), self.size.width - 2)
        for places in (self.query_one(PlaceLine), self.query_one(Vehicle)):
            places.stand(session.workshop.place, self.looked_at)
        self.query_one("#perceived", Paper).write(lines(*(words(line, units) for line in session.perceived())))
        self.query_one(Offers).show_offers(session, PLACES[self.looked_at])
        self._show_detail()
        self.query_one(Notes).show_notes(notebook(session), units)
        declared = session.diagnosis[0] if session.diagnosis else None
        faults = session.catalogue.faults_of(vehicle)
        self.query_one(Suspects).show_suspects(faults, session.suspects, declared)
        self.query_one(JobCard).show_card(session, units)
        self.query_one(Knobs).stand(situation.controls(session))
        self.show_gauge()
        self._show_said()
        self.fit_columns()

    def show_clock(self, minute: float) -> None:
        mode = self.session.mode
        parts: list[Content | tuple[str, str]] = [
            (clock(minute), "bold"),
            ("  " + say("{minutes} min on this job", minutes=int(minute)), "$secondary"),
        ]
        if mode.exam:
            left = max(mode.left(now()), 0.0)
            parts.append(
                ("  " + say("exam: {left} left", left=f"{int(left // 60)}:{int(left % 60):02d}"), "bold $warning")
            )
        elif mode.name == GUIDED:
            parts.append(("  " + _(mode.name), "$secondary"))
        self.query_one("#head-clock", Paper).write(Content.assemble(*parts))

    def show_gauge(self, needle: float | None = None) -> None:
        gauge, workshop = self.query_one(Gauge), self.session.workshop
        if ELECTRIC in workshop.vehicle.equipment:
            gauge.needle, gauge.note = None, _("none on this vehicle")
        elif workshop.place != SEAT:
            gauge.needle, gauge.note = None, _("seen from the driver's seat")
        elif workshop.control("ignition") < 0.5:
            gauge.needle, gauge.note = None, _("dead, ignition off")
        else:
            from sim.observation.loop import gauge_needle

            gauge.needle = float(gauge_needle(workshop.fleet)[0]) if needle is None else needle

    def pass_time(self, passing: bool) -> None:
        """Show that time passes, where the keys stand otherwise: everything else keeps its place."""
        self.query_one(Passing).display = passing
        self.query_one("#perceived").visible = not passing  # what is noticed meanwhile is told by the dash
        self.query_one(KeyLine).display = not passing

    def _show_said(self) -> None:
        said = self.query_one("#said", Paper)
        room = max(5 if self.has_class("-high") else 2, self.latest)
        said.write(lines(*self.told[-room:]))
        self.set_class(self.latest > MANY, "-told")

    @on(Offers.OptionHighlighted, "#offers")
    def _show_detail(self) -> None:
        text = detail(self.session, self.query_one(Offers).current, program(self).units)
        self.query_one("#detail", Paper).write(text)

    def tell(self, text: Content) -> None:
        """Say something to the person."""
        self.told = [self.told[0], *self.told[1:][-50:], text]
        self.latest = 1
        self._show_said()
