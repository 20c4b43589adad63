"""The workshop: where one stands at the vehicle, what can be done there, what it tells, what one suspects."""

from __future__ import annotations

import asyncio
import time
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, Static

from grading.session import Outcome, Session
from scenarios.actions import Action
from scenarios.model import PLACES, Check, Repair
from tui import situation
from tui.desk import Desk, Done
from tui.film import Film
from tui.notebook import notebook, unseen_cautions
from tui.plain import sentence
from tui.program import program
from tui.screens.ask_time import QUESTIONS, AskTime
from tui.screens.caution import CautionSlip
from tui.screens.diagnose import Diagnose
from tui.screens.hand_back import HandBack
from tui.show import clock, lines, took, words
from tui.widgets.gauge import Gauge
from tui.widgets.job_card import JobCard
from tui.widgets.knobs import Knobs
from tui.widgets.notes import Notes
from tui.widgets.offers import WALK, Offers, detail
from tui.widgets.passing import Passing
from tui.widgets.place_line import VIEWS, PlaceLine
from tui.widgets.suspects import Suspects
from tui.widgets.vehicle import Vehicle

SIDES = ("notebook", "suspects", "card")
FRAME_SECONDS = 0.05
WIDE, BROAD = 116, 168
"""Columns of the terminal from which two and all three sides stand beside what can be done."""
ROOMY, HIGH = 106, 32
"""Columns and lines from which the vehicle itself is drawn."""
VENT_ORDER = ("floor", "face", "screen")
_INSTANT = frozenset({"set", "ignition", "engine", "suspect", "note", "diagnose"})


class WorkshopScreen(Screen[None]):
    """One job in progress."""

    HELP = """The line of places shows where you stand (●). A number looks at another place; taking a check there
walks you over, half a minute each way. The controls answer at once from wherever you are.
A check that is not possible now says why below the list. Everything you do is on record.
When you know what it is: Enter on a suspect declares it. Repair it, prove it at the vents, hand back the keys."""

    DEFAULT_CSS = """
    WorkshopScreen #head { height: 1; padding: 0 1; }
    WorkshopScreen #head-title { width: 1fr; text-style: bold; color: $primary; }
    WorkshopScreen #head-clock { width: auto; }
    WorkshopScreen Vehicle { display: none; }
    WorkshopScreen.-high.-roomy Vehicle { display: block; }
    WorkshopScreen.-high.-roomy PlaceLine { display: none; }
    WorkshopScreen #room { height: 1fr; }
    WorkshopScreen .column { width: 1fr; padding: 0 1; border-left: vkey transparent; }
    WorkshopScreen #here { width: 38%; }
    WorkshopScreen.-narrow #here { width: 57%; }
    WorkshopScreen.-broad #here { width: 28%; }
    WorkshopScreen.-broad #notebook { width: 2fr; }
    WorkshopScreen .column:focus-within { border-left: outer $primary; }
    WorkshopScreen #perceived { height: auto; max-height: 6; color: $foreground; margin-bottom: 1; }
    WorkshopScreen #detail { height: auto; max-height: 5; color: $secondary; }
    WorkshopScreen #compared { height: auto; max-height: 3; color: $accent; }
    WorkshopScreen #said { height: 2; padding: 0 1; background: $surface; }
    WorkshopScreen.-high #said { height: 5; }
    WorkshopScreen #dash { height: 2; padding: 0 1; background: $panel; }
    WorkshopScreen #dash-low { height: 1; }
    WorkshopScreen #times { width: auto; margin-right: 3; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "app.focus_next", "Next", key_display="Tab"),
        Binding("shift+tab", "app.focus_previous", "Column before", show=False),
        *(
            Binding(str(index + 1), f"look_at({index})", f"Look at: {name}", show=False)
            for index, name in enumerate(VIEWS)
        ),
        Binding("h", "side('here')", "What can be done here", show=False),
        Binding("n", "side('notebook')", "Notebook", show=False),
        Binding("s", "side('suspects')", "Suspects", show=False),
        Binding("k", "side('card')", "Job card", show=False),
        Binding("i", "ignition", "Ignition", show=False),
        Binding("e", "engine", "Engine start or stop", show=False),
        Binding("plus,equals_sign", "heater(10)", "Heater warmer", show=False, key_display="+"),
        Binding("minus", "heater(-10)", "Heater colder", show=False, key_display="-"),
        Binding("b", "blower(1)", "Blower up", show=False),
        Binding("B", "blower(-1)", "Blower down", show=False),
        Binding("v", "vents", "Vents: floor, face, screen", show=False),
        Binding("a", "air", "Fresh or recirculated air", show=False),
        Binding("r", "ask('rev')", "Rev: hold the engine at a speed", show=False),
        Binding("l", "ask('idle')", "Let it idle", show=False),
        Binding("d", "ask('drive')", "Drive"),
        Binding("w", "ask('wait')", "Wait", show=False),
        Binding("z", "undo", "Undo a mark", show=False),
        Binding("x", "hand_back", "Hand back"),
        Binding("escape", "leave", "Back to the board, the job is kept", show=False),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.desk, self.session = Desk(session), session
        self.looked_at = PLACES.index(session.workshop.place)
        self.side = SIDES[0] if session.readings else SIDES[2]
        self.busy = False
        self.told: list[Content] = [Content("The key is yours. Look round; ? helps wherever you are.")]
        self.asked: dict[str, tuple[float, ...]] = {}
        self._skip = asyncio.Event()

    # -- what is on the screen --------------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """Head, places, columns, what was said, the dash."""
        with Horizontal(id="head"):
            yield Static(id="head-title", markup=False)
            yield Static(id="head-clock", markup=False)
        yield PlaceLine()
        yield Vehicle()
        with Horizontal(id="room"):
            with Vertical(id="here", classes="column"):
                yield Static(id="perceived", markup=False)
                yield Offers(id="offers")
                yield Static(id="detail", markup=False)
            with Vertical(id="notebook", classes="column"):
                yield Static(classes="heading", markup=False)
                yield Notes(id="notes")
                yield Static(id="compared", markup=False)
            with Vertical(id="suspects", classes="column"):
                yield Static(classes="heading", markup=False)
                yield Suspects(id="suspect-list")
            with Vertical(id="card", classes="column"):
                yield Static(classes="heading", markup=False)
                with VerticalScroll(can_focus=True, id="card-scroll"):
                    yield JobCard()
        yield Static(id="said", markup=False)
        yield Passing()
        with Vertical(id="dash"):
            yield Knobs()
            with Horizontal(id="dash-low"):
                yield Static(id="times", markup=False)
                yield Gauge()
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Stand at the vehicle."""
        keys = [("r", "rev"), ("l", "idle"), ("d", "drive"), ("w", "wait")]
        parts = [part for key, name in keys for part in ((key, "bold $primary"), f" {name}  ")]
        self.query_one("#times", Static).update(Content.assemble(*parts))
        self.redraw()
        self.query_one("#offers").focus()

    def on_unmount(self) -> None:
        """Let go of the record; it is opened again where something more is written."""
        self.session.recorder.close()

    def on_resize(self) -> None:
        """As many columns as there is room for."""
        self._arrange()

    def _arrange(self) -> None:
        width = self.size.width
        self.set_class(width < WIDE, "-narrow")
        self.set_class(width >= BROAD, "-broad")
        self.set_class(width >= ROOMY, "-roomy")
        self.set_class(self.size.height >= HIGH, "-high")
        shown = {self.side} if width < WIDE else set(SIDES) if width >= BROAD else {self.side, *SIDES[:2]}
        if len(shown) == 3 and width < BROAD:
            shown.remove("suspects")
        for name in SIDES:
            self.query_one(f"#{name}").display = name in shown
            keys = [("n", "notebook"), ("s", "suspects"), ("k", "card")]
            offered = [pair for pair in keys if pair[1] == name or pair[1] not in shown]
            offered.sort(key=lambda pair: pair[1] != name)
            self.query_one(f"#{name} .heading", Static).update(self._heading(name, offered))

    def _heading(self, name: str, offered: list[tuple[str, str]]) -> Content:
        titles = {"notebook": "notebook", "suspects": "suspects", "card": "job card"}
        parts: list[Any] = []
        for key, other in offered:
            style = "bold $foreground" if other == name else "$secondary"
            parts += [
                (key, "bold $primary"),
                " ",
                (titles[other], style),
                "  ",
            ]
        return Content.assemble(*parts)

    def redraw(self) -> None:
        """Draw everything as it is now."""
        units = program(self).units
        session, job = self.session, self.session.job
        vehicle = session.vehicle
        self.query_one("#head-title", Static).update(words(f"{job.title}: {vehicle.name}, {job.customer}", units))
        self._show_clock(session.minute)
        for places in (self.query_one(PlaceLine), self.query_one(Vehicle)):
            places.stand(session.workshop.place, self.looked_at)
        self.query_one("#perceived", Static).update(lines(*(words(line, units) for line in session.perceived())))
        self.query_one(Offers).show_offers(session, VIEWS[self.looked_at])
        self._show_detail()
        self.query_one(Notes).show_notes(notebook(session), units)
        declared = session.diagnosis[0] if session.diagnosis else None
        faults = session.catalogue.faults_of(vehicle)
        self.query_one(Suspects).show_suspects(faults, session.suspects, declared)
        self.query_one(JobCard).show_card(session, units)
        self.query_one(Knobs).stand(situation.controls(session))
        self._show_gauge()
        self._show_said()
        self._arrange()

    def _show_clock(self, minute: float) -> None:
        text = Content.assemble((clock(minute), "bold"), (f"  {minute:.0f} min on this job", "$secondary"))
        self.query_one("#head-clock", Static).update(text)

    def _show_gauge(self, needle: float | None = None) -> None:
        gauge, workshop = self.query_one(Gauge), self.session.workshop
        if workshop.place != PLACES[0]:
            gauge.needle, gauge.note = None, "seen from the driver's seat"
        elif workshop.control("ignition") < 0.5:
            gauge.needle, gauge.note = None, "dead, ignition off"
        else:
            from sim.observe import gauge_needle

            gauge.needle = float(gauge_needle(workshop.fleet)[0]) if needle is None else needle

    def _show_said(self) -> None:
        said = self.query_one("#said", Static)
        room = 5 if self.has_class("-high") else 2
        said.update(lines(*self.told[-room:]))

    @on(Offers.OptionHighlighted, "#offers")
    def _show_detail(self) -> None:
        text = detail(self.session, self.query_one(Offers).current, program(self).units)
        self.query_one("#detail", Static).update(text)

    def tell(self, text: Content) -> None:
        """Say something to the person."""
        self.told = [*self.told[-50:], text]
        self._show_said()

    # -- looking round ----------------------------------------------------------------------------------------------

    @on(PlaceLine.Chosen)
    def _place_chosen(self, event: PlaceLine.Chosen) -> None:
        self.action_look_at(event.index)

    def action_look_at(self, index: int) -> None:
        """Look at another place, without walking there."""
        self.looked_at = index
        self.redraw()
        offers = self.query_one(Offers)
        offers.focus()
        offers.action_first()

    def action_side(self, name: str) -> None:
        """Go to a column."""
        if name in SIDES:
            self.side = name
            self._arrange()
        inside = {"here": "#offers", "notebook": "#notes", "suspects": "#suspect-list", "card": "#card-scroll"}
        self.query_one(inside[name]).focus()

    @on(Notes.Compared)
    def _compared(self, event: Notes.Compared) -> None:
        self.query_one("#compared", Static).update(words(event.text))
        self._arrange()

    # -- doing ------------------------------------------------------------------------------------------------------

    def perform(self, action: Action) -> None:
        """Do an action: at once where it takes no time, otherwise with cautions before and a film after."""
        if self.busy:
            return
        if action.verb in _INSTANT:
            self._tell_outcome(self.desk.do(action))
        elif action.verb == "handback":
            self.action_hand_back()
        else:
            self.run_worker(self._perform(action), group="act")

    async def _perform(self, action: Action) -> None:
        thing = self._thing(action)
        if thing is not None and situation.offer(self.session, thing).possible and not await self._heeds(thing):
            return
        self.busy = True
        focused = self.focused
        try:
            done = await asyncio.to_thread(self.desk.do, action)
            if done.film is not None and program(self).pace > 0.0:
                await self._play(done.film, action, program(self).pace)
        finally:
            self.busy = False
            self.query_one(Passing).remove_class("-on")
            if focused is not None:
                focused.focus()
        if action.verb in ("go", "check", "drive") and done.outcome.refused is None:
            self.looked_at = self.looked_at if action.verb == "check" else PLACES.index(self.session.workshop.place)
        self._tell_outcome(done)

    def _thing(self, action: Action) -> Check | Repair | None:
        catalogue = self.session.catalogue
        known: dict[str, Any] = {"check": catalogue.checks, "repair": catalogue.repairs}.get(action.verb, {})
        return known.get(str(action.arguments[0])) if action.arguments else None

    async def _heeds(self, thing: Check | Repair) -> bool:
        """Say the cautions not yet said; whether the person goes on."""
        cautions = unseen_cautions(self.session, thing)
        if not cautions:
            return True
        chosen = await self.app.push_screen_wait(CautionSlip(thing.name, cautions))
        for caution in cautions:
            self.session.do(Action("note", ("caution", caution.id, "skipped" if chosen == "skip" else "heeded")))
        return chosen != "back"

    async def _play(self, film: Film, action: Action, pace: float) -> None:
        passing = self.query_one(Passing)
        passing.add_class("-on")
        passing.focus()
        self._skip.clear()
        doing = {"drive": "driving", "rev": "holding the engine", "idle": "idling", "wait": "waiting"}
        what = doing.get(action.verb, "working")
        started, seconds = time.monotonic(), film.seconds / pace
        while (share := (time.monotonic() - started) / seconds) < 1.0 and not self._skip.is_set():
            moment = film.at(share)
            self._show_clock(moment.minute)
            self._show_gauge(moment.needle)
            engine = f", engine {moment.rpm:.0f} rpm" if moment.rpm > 0 else ""
            fan = ", fan running" if moment.fan > 0.3 and self.session.workshop.place == PLACES[1] else ""
            passing.tell(f"{what}{engine}{fan}", share)
            await asyncio.sleep(FRAME_SECONDS)

    @on(Passing.Skipped)
    def _skipped(self) -> None:
        self._skip.set()

    def _tell_outcome(self, done: Done) -> None:
        outcome, units = done.outcome, program(self).units
        if outcome.refused is not None:
            self.tell(Content.assemble(("Not done. ", "bold $warning"), words(sentence(outcome.refused), units)))
        else:
            for content in self._came_of(outcome):
                self.told.append(content)
        self.redraw()

    def _came_of(self, outcome: Outcome) -> list[Content]:
        units = program(self).units
        told = [words(said, units) for said in outcome.said]
        told += [
            Content.assemble(words(reading.label, units), ": ", words(reading.shown, units, "bold $primary"))
            for reading in outcome.readings
        ]
        told += [Content.assemble(("✕ Safety: ", "bold $error"), words(event.what, units)) for event in outcome.safety]
        if outcome.minutes and not told:
            told = [Content(f"{took(outcome.minutes)} later.")]
        return told

    @on(Offers.OptionSelected, "#offers")
    def _chosen(self, event: Offers.OptionSelected) -> None:
        name = event.option_id or ""
        if name == WALK:
            self.perform(Action("go", (VIEWS[self.looked_at],)))
        elif name in QUESTIONS:
            self.action_ask(name)
        elif VIEWS[self.looked_at] == "repairs":
            self.perform(Action("repair", (name,)))
        else:
            self.perform(Action("check", (name,)))

    # -- controls ---------------------------------------------------------------------------------------------------

    def action_ignition(self) -> None:
        """Turn the ignition."""
        on_now = self.session.workshop.control("ignition") > 0.5
        self.perform(Action("ignition", ("off" if on_now else "on",)))

    def action_engine(self) -> None:
        """Start or stop the engine."""
        running = self.session.workshop.control("engine") > 0.5
        self.perform(Action("engine", ("stop" if running else "start",)))

    def action_heater(self, by: int) -> None:
        """Turn the temperature control."""
        now = situation.controls(self.session).heater
        self.perform(Action("set", ("heater", float(min(max(now + by, 0), 100)))))

    def action_blower(self, by: int) -> None:
        """Turn the blower, round from 4 to 0."""
        now = situation.controls(self.session).blower
        self.perform(Action("set", ("blower", float((now + by) % 5))))

    def action_vents(self) -> None:
        """Turn the vents to the next place."""
        now = situation.controls(self.session).vents
        self.perform(Action("set", ("vents", VENT_ORDER[(VENT_ORDER.index(now) + 1) % 3])))

    def action_air(self) -> None:
        """Fresh or recirculated air."""
        now = situation.controls(self.session).recirculation
        self.perform(Action("set", ("recirculation", "off" if now == "on" else "on")))

    def action_ask(self, verb: str) -> None:
        """Ask how long, then let time pass."""

        def go(action: Action | None) -> None:
            if action is not None:
                self.asked[verb] = tuple(float(figure) for figure in action.arguments)
                self.perform(action)

        if not self.busy:
            self.app.push_screen(AskTime(verb, self.asked.get(verb)), go)

    # -- thinking ---------------------------------------------------------------------------------------------------

    @on(Suspects.Marked)
    def _suspect_marked(self, event: Suspects.Marked) -> None:
        self.desk.suspect(event.fault, event.mark)
        self.redraw()

    @on(Suspects.OptionSelected, "#suspect-list")
    def _declare(self, event: Suspects.OptionSelected) -> None:
        fault = self.session.catalogue.faults[event.option_id or ""]
        before = self.session.diagnosis
        confidence = before[1] * 100.0 if before and before[0] == fault.id else None

        def declare(confidence: float | None) -> None:
            if confidence is not None:
                self.perform(Action("diagnose", (fault.id, confidence)))

        self.app.push_screen(Diagnose(fault, confidence), declare)

    @on(Notes.Marked)
    def _reading_marked(self, event: Notes.Marked) -> None:
        self.desk.mark_reading(event.number, event.mark)
        self.redraw()

    def action_undo(self) -> None:
        """Take back a mark."""
        undone = self.desk.undo()
        self.tell(Content("The last mark is taken back." if undone else "There is no mark to take back."))
        self.redraw()

    # -- leaving ----------------------------------------------------------------------------------------------------

    def action_leave(self) -> None:
        """Back to the board."""
        if not self.busy:
            self.notify("The record is kept: the job goes on where you left it.")
            self.dismiss(None)

    def action_hand_back(self) -> None:
        """Ask once more, then hand back the keys."""

        def hand_back(sure: bool | None) -> None:
            if sure:
                from tui.screens.marking import Marking

                self.desk.do(Action("handback"))
                recorder = self.session.recorder
                self.app.switch_screen(Marking(recorder.entries, recorder.path, recorder))

        if not self.busy:
            self.app.push_screen(HandBack(self.session, program(self).units), hand_back)
