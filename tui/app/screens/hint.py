"""A hint: worked out beside the screen, then given step by step as long as the learner asks for more."""

from __future__ import annotations

import threading
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import ProgressBar, Static

from grading.marks.rubric import load_rubric
from grading.report.hints import Guide, given, next_hint
from grading.sessions.modes import RUNGS
from grading.sessions.session import Session
from scenarios.language import N_, _, say
from scenarios.physics_failure import PhysicsFailed
from tui.app.program import program
from tui.app.screens.marking import WAITS
from tui.app.screens.slip import Slip
from tui.app.show import lines, words
from tui.app.widgets.key_hints import KeyHints
from tui.text.plain import marks


class _Stopped(Exception):
    """The learner would rather not wait."""


class HintSlip(Slip[None]):
    """Works out the hint for this moment; each step is given, marked down and recorded only when it is asked for."""

    HELP = N_("""A hint comes in three steps: a question, a pointer, an explanation. Enter asks for the next one, and
says before what it costs. They are worked out from what you have read and from the physics; the fault itself is not
known to them. Escape closes this, also while it is being worked out.""")

    DEFAULT_CSS = """
    HintSlip ProgressBar { height: 1; margin-bottom: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "more", "Next step"),
        Binding("escape", "close", "Close"),
    ]

    def __init__(self, session: Session, guide: Guide) -> None:
        super().__init__()
        self.session, self.guide = session, guide
        self.ladder = None
        self._stop = threading.Event()
        self._costs = load_rubric().hints

    def compose(self) -> ComposeResult:
        """What is told, and how far the working out is."""
        with VerticalScroll(classes="slip"):
            yield Static(Content(_("A hint")), classes="slip-title", markup=False)
            yield Static(Content(_("Going through your readings …")), id="told", classes="slip-text", markup=False)
            yield ProgressBar(total=1.0, show_eta=False)
            yield KeyHints(("Enter", N_("next step"), "more"), ("Escape", N_("close"), "close"), classes="slip-keys")

    def on_mount(self) -> None:
        """Begin."""
        self.work_out()

    def _tell(self, share: float) -> None:
        if self._stop.is_set():
            raise _Stopped
        self.app.call_from_thread(self._progress, share)

    def _wait(self, text: str) -> None:
        for told in self.query("#told").results(Static):
            told.update(words(text))

    def _progress(self, share: float) -> None:
        for bar in self.query(ProgressBar):
            bar.update(progress=share)

    @work(thread=True, exclusive=True, group="hint")
    def work_out(self) -> None:
        """Work it out beside the screen."""
        physics = program(self).physics
        while not physics.compiled.wait(WAITS):
            if self._stop.is_set():
                return
            self.app.call_from_thread(self._wait, physics.compiling)
        try:
            ladder = self.guide.ladder(self._tell)
        except _Stopped:
            return
        except PhysicsFailed as error:
            self.app.call_from_thread(self._fail, str(error))
            return
        if not self._stop.is_set():
            self.app.call_from_thread(self._ready, ladder)

    def _fail(self, text: str) -> None:
        if self.is_mounted and self.query(ProgressBar):
            self.query_one(ProgressBar).display = False
            self.query_one("#told", Static).update(words(text))

    def _ready(self, ladder) -> None:
        self.ladder = ladder
        if self.is_mounted and self.query(ProgressBar):
            self.query_one(ProgressBar).display = False
            self._show()

    def _show(self) -> None:
        if self.ladder is None:
            return
        units, count = program(self).units, given(self.session.recorder.entries, self.ladder)
        told = [
            Content.assemble((f"{_(rung).capitalize()}  ", "bold $primary"), words(_(text), units))
            for rung, text in zip(RUNGS[:count], self.ladder.rungs, strict=False)
        ]
        if count < len(RUNGS):
            cost = self._costs[RUNGS[count]]
            said = say(
                "Enter gives the {rung}; it costs {marks} of the total.", rung=_(RUNGS[count]), marks=marks(cost)
            )
            told.append(Content.styled(said, "$secondary"))
        else:
            told.append(Content.styled(_("There is no further hint at this point."), "$secondary"))
        self.query_one("#told", Static).update(lines(*told))

    def redraw(self) -> None:
        """Draw what depends on units."""
        self._show()

    def action_more(self) -> None:
        """The next step, recorded."""
        if self.ladder is not None:
            hint = next_hint(self.session.recorder.entries, self.ladder)
            if hint is not None:
                self.session.do(hint.action)
            self._show()

    def action_close(self) -> None:
        """Close, and stop working it out."""
        self._stop.set()
        self.dismiss(None)
