"""The workshop: what a person does at the vehicle, and how they are told what came of it."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.content import Content

from grading.marks.criteria import written
from grading.sessions.modes import GUIDED, now
from grading.sessions.openings import hand_in, time_is_up
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import N_, _, say
from scenarios.model import BAY, PLACES, Check, Repair
from tui.app.outcome_lines import came_of
from tui.app.program import program
from tui.app.screens.ask_time import AskTime
from tui.app.screens.caution import CautionSlip
from tui.app.screens.confirm import Confirm
from tui.app.screens.hand_back import HandBack
from tui.app.screens.workshop_keys import KEYS
from tui.app.screens.workshop_thinking import WorkshopThinking
from tui.app.screens.write_up import WriteUp, counts
from tui.app.show import clock, words
from tui.app.widgets.offers import WALK, Offers
from tui.app.widgets.passing import Passing
from tui.presentation.clean import clean
from tui.presentation.curves.film import Film
from tui.presentation.desk import Done
from tui.presentation.exam_clock import ExamClock
from tui.presentation.figures import QUESTIONS
from tui.presentation.first_step import first_step
from tui.presentation.notebook import drafts, kept_as_drafts
from tui.presentation.situation import NOTHING_DONE, untouched
from tui.presentation.sound import first_sentences, normal, what_came_of_it
from tui.presentation.stages import next_step
from tui.text.plain import sentence

if TYPE_CHECKING:
    from grading.report.hints import Guide
    from grading.report.sound_band import Band
    from grading.sessions.outcome import Outcome

FRAME_SECONDS = 0.05
_DOING = {
    "drive": N_("driving"),
    "rev": N_("holding the engine"),
    "idle": N_("idling"),
    "wait": N_("waiting"),
}
_WORKING = N_("working")
_INSTANT = frozenset({"set", "ignition", "engine", "suspect", "note", "diagnose"})


class WorkshopScreen(WorkshopThinking):
    """One job in progress."""

    HELP = N_("""The line of places shows where you stand (●). A number looks at another place; taking a check there
walks you over, half a minute each way. The controls answer at once from wherever you are.
A check that needs something first says so below the list; Enter does both. Everything you do is on record.
When you know what it is: Enter on a suspect declares it. Repair it, prove that the complaint is gone, hand back the
keys.""")
    BINDINGS: ClassVar[list[BindingType]] = KEYS

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._asking = False
        """Whether it waits for the answer to a caution, with the vehicle at rest."""
        self.asked: dict[str, tuple[float, ...]] = {}
        self._exam_clock = ExamClock(session.mode)
        self._skip = asyncio.Event()
        self._guide: Guide | None = None
        self.normal = ""
        """What is normal of the check that was done last; empty outside guided mode."""

    def on_mount(self) -> None:
        """Stand at the vehicle; mind the clock of an exam."""
        super().on_mount()
        if self.is_exam:
            self.set_interval(1.0, self._mind_the_clock)
            self._mind_the_clock()

    @property
    def is_exam(self) -> bool:
        """Whether nothing may be revealed."""
        return self.session.mode.exam

    def _mind_the_clock(self) -> None:
        """Show the time left; when it has run out, hand the exam in as it stands."""
        at_rest = not self.busy or self._asking
        if not time_is_up(self.session):
            if (warning := self._exam_clock.warning(now())) is not None:
                self.notify(warning, severity="warning", timeout=10.0, markup=False)
            if at_rest:
                self.show_clock(self.session.minute)
        elif at_rest:
            program(self).keep_typed()
            while self.app.screen is not self and self in self.app.screen_stack:
                self.app.pop_screen()
            hand_in(self.session)
            self.notify(_("Time is up: the job is handed in as it stands."), severity="warning")
            self._to_marking()

    # -- doing ------------------------------------------------------------------------------------------------------

    def perform(self, action: Action) -> None:
        """Do an action: at once where it takes no time, otherwise with cautions before and a film after.

        One at a time: what is asked for while another is under way is not done.
        """
        if self.busy:
            return
        if action.verb in _INSTANT:
            self._tell_outcome(self.desk.do(action))
        elif action.verb == "handback":
            self.action_hand_back()
        else:
            self.busy = True  # not first in the worker: the next key of a burst comes before that begins
            self.run_worker(self._perform(action), group="act")

    async def _perform(self, action: Action) -> None:
        try:
            thing = self._thing(action)
            if (thing is None or await self._heeds(thing)) and self._prepared(action):
                await self._act(action)
        finally:
            self.busy = False

    def _prepared(self, action: Action) -> bool:
        """Do what has to be done before an action; whether nothing is in its way now."""
        while (first := first_step(self.session, action)) is not None:
            done = self.desk.do(first.action)
            self._tell_outcome(done)
            if done.outcome.refused is not None:
                return False
        return True

    async def _act(self, action: Action) -> None:
        """Do it, in a thread, and show what came of it."""
        focused = self.focused
        try:
            physics = program(self).physics
            done = await asyncio.to_thread(physics.act, self.desk.do, action)
            beside = asyncio.create_task(asyncio.to_thread(self.sound.bands, done.outcome)) if self._led else None
            if done.film is not None and program(self).pace > 0.0:
                await self._play(done.film, action, program(self).pace)
                self._note_outcome(done, await beside if beside else ())
                self._show_said()  # what came of it first; the rest of the screen takes longer to draw
                await self._drawn()
            else:
                self._note_outcome(done, await beside if beside else ())
        finally:
            self.pass_time(False)
            if focused is not None:
                focused.focus()
        if action.verb in ("go", "check", "drive") and done.outcome.refused is None:
            self.looked_at = self.looked_at if action.verb == "check" else PLACES.index(self.session.workshop.place)
        self.redraw()

    async def _drawn(self) -> None:
        """Until what has changed so far is on the screen."""
        drawn = asyncio.Event()
        self.call_after_refresh(drawn.set)
        await drawn.wait()

    def _thing(self, action: Action) -> Check | Repair | None:
        catalogue = self.session.catalogue
        known: dict[str, Any] = {"check": catalogue.checks, "repair": catalogue.repairs}.get(action.verb, {})
        return known.get(str(action.arguments[0])) if action.arguments else None

    async def _heeds(self, thing: Check | Repair) -> bool:
        """Say the cautions not yet said; whether the person goes on."""
        cautions = self.session.unseen_cautions(thing)
        if not cautions:
            return True
        self._asking = True
        try:
            chosen = await self.app.push_screen_wait(CautionSlip(thing.name, cautions))
        finally:
            self._asking = False
        for caution in cautions:
            self.session.do(Action("note", ("caution", caution.id, "skipped" if chosen == "skip" else "heeded")))
        return chosen != "back"

    async def _play(self, film: Film, action: Action, pace: float) -> None:
        passing = self.query_one(Passing)
        self.pass_time(True)
        passing.focus()
        self._skip.clear()
        what = _(_DOING.get(action.verb, _WORKING))
        started, seconds = time.monotonic(), film.seconds / pace
        while (share := (time.monotonic() - started) / seconds) < 1.0 and not self._skip.is_set():
            moment = film.at(share)
            self.show_clock(moment.minute)
            self.show_gauge(moment.needle)
            engine = say(", engine {rpm:.0f} rpm", rpm=moment.rpm) if moment.rpm > 0 else ""
            fan = _(", fan running") if moment.fan > 0.3 and self.session.workshop.place == BAY else ""
            passing.tell(f"{what}{engine}{fan}", share)
            with suppress(TimeoutError):  # a skip need not wait for the next frame
                await asyncio.wait_for(self._skip.wait(), FRAME_SECONDS)

    @on(Passing.Skipped)
    def _skipped(self) -> None:
        self._skip.set()

    def _tell_outcome(self, done: Done) -> None:
        self._note_outcome(done)
        self.redraw()

    @property
    def _led(self) -> bool:
        """Whether sound vehicles are told of beside readings: in guided mode, once there is the speed for them."""
        return self.session.mode.name == GUIDED and program(self).physics.compiled.is_set()

    def _note_outcome(self, done: Done, bands: Sequence[Band] = ()) -> None:
        outcome, units = done.outcome, program(self).units
        if outcome.refused is not None:
            why = words(sentence(outcome.refused), units)
            self.told.append(Content.assemble((_("Not done. "), "bold $warning"), why))
            self.latest = 1
        else:
            first, *others = came_of(outcome, units, bands, self._below(outcome)) or [Content()]
            if outcome.minutes:
                first = Content.assemble((f"{clock(self.session.minute)}  ", "$secondary"), first)
            said = [first, *others] if first else others
            if outcome.action.verb in ("diagnose", "repair") and not self.session.finished:
                said = [*said, words(next_step(self.session), units, "bold")]
            self.told += said
            self.latest = max(len(said), 1)

    def _below(self, outcome: Outcome) -> list[str]:
        """What is told below the readings; of what is normal only as much as has room, the rest by the help."""
        self.normal = whole = normal(self.session, outcome)
        told = first_sentences(whole, 1000 if self.has_class("-high") else 2 * self.size.width)
        more = [told + (" " + _("(? tells more)") if told != whole else "")] if whole else []
        return [*what_came_of_it(self.session, outcome), *more]

    @on(Offers.OptionSelected, "#offers")
    def _chosen(self, event: Offers.OptionSelected) -> None:
        name = event.option_id or ""
        if name == WALK:
            self.perform(Action("go", (PLACES[self.looked_at],)))
        elif name in QUESTIONS:
            self.action_ask(name)
        elif name in self.session.catalogue.repairs:
            self.perform(Action("repair", (name,)))
        else:
            self.perform(Action("check", (name,)))

    # -- time ---------------------------------------------------------------------------------------------------------

    def action_ask(self, verb: str) -> None:
        """Ask how long, then let time pass."""

        def go(action: Action | None) -> None:
            if action is not None:
                self.asked[verb] = tuple(float(figure) for figure in action.arguments)
                self.perform(action)

        if not self.busy:
            first = first_step(self.session, Action(verb))
            self.app.push_screen(AskTime(verb, self.asked.get(verb), first.offer if first else ""), go)

    # -- writing up -------------------------------------------------------------------------------------------------

    def action_write_up(self) -> None:
        """Write complaint, cause and correction."""
        stands = written([entry for entry in self.session.recorder.entries if entry.kind == "action"])

        def keep(kind: str, text: str) -> None:
            try:
                self.desk.draft(kind, text)
            except OSError as error:
                self.notify(
                    clean(say("What you type cannot be kept ({reason}).", reason=error)), severity="error", markup=False
                )

        def write(texts: dict[str, str] | None) -> None:
            for kind, text in (texts or {}).items():
                if counts(text) and text != stands.get(kind):
                    self.perform(Action("note", (kind, text)))
            if open_ := drafts(self.session):
                self.tell(words(kept_as_drafts(open_)))
            self.redraw()

        if not self.busy:
            self.app.push_screen(WriteUp(stands, drafts(self.session), keep), write)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Hints are for mode guided; elsewhere their key does nothing and is not listed."""
        if action == "hint" and self.session.mode.name != GUIDED:
            return False
        return super().check_action(action, parameters)

    def action_hint(self) -> None:
        """A hint for this moment."""
        if not self.busy:
            from grading.report.hints import Guide
            from tui.app.screens.hint import HintSlip

            self._guide = self._guide or Guide(self.session)
            self.app.push_screen(HintSlip(self.session, self._guide))

    # -- leaving ----------------------------------------------------------------------------------------------------

    def action_leave(self) -> None:
        """Back to the board."""
        if not self.busy:
            self.notify(_("The record is kept: the job goes on where you left it."))
            self.dismiss(None)

    def _to_marking(self) -> None:
        from tui.app.screens.marking import Marking

        recorder = self.session.recorder
        self.session.close()
        self.app.switch_screen(Marking(recorder.entries, recorder.path))

    def action_hand_back(self) -> None:
        """Ask once more, twice where nothing was done, then hand back the keys."""

        def ask_again(card: tuple[str, ...] | None) -> None:
            if card is None or not untouched(self.session):
                hand_back(card)
                return

            def sure(goes_on: bool | None) -> None:
                hand_back(card if goes_on else None)

            asks = _("Hand back the keys all the same?")
            slip = Confirm(asks, _(NOTHING_DONE), N_("hand back all the same"), N_("go on working"))
            self.app.push_screen(slip, sure)

        def hand_back(card: tuple[str, ...] | None) -> None:
            if card is not None:
                done = self.desk.do(Action("handback", card))
                if done.outcome.refused is None:
                    self._to_marking()
                else:
                    self._tell_outcome(done)

        if not self.busy:
            self.app.push_screen(HandBack(self.session, program(self).units), ask_again)
