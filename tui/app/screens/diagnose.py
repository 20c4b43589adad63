"""Declaring what is wrong, and how sure one is."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.reactive import reactive
from textual.widgets import Static

from scenarios.language import N_, _, say
from scenarios.model import Fault
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.key_hints import KeyHints

_WORDS = (
    (20, N_("a guess")),
    (50, N_("more a feeling than a finding")),
    (75, N_("likely")),
    (90, N_("quite sure")),
    (101, N_("certain")),
)


class Diagnose(Slip[tuple[float, bool] | None]):
    """Gives the confidence in percent and whether it stands beside what was declared before; None where nothing is."""

    HELP = N_("""The confidence you state is compared with what your readings support.
Overstating costs marks, and so does understating. You can declare again as long as you hold the keys: Enter declares
in place of what you declared before, B beside it, where the vehicle has more than one fault. A wrong diagnosis that
still stands at 50 % or more when you hand back the keys fails the job.""")

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "change(-5)", "Less sure"),
        Binding("right", "change(5)", "Surer"),
        Binding("down", "change(-1)", show=False),
        Binding("up", "change(1)", show=False),
        *(Binding(str(digit), f"tenths({digit})", show=False) for digit in range(10)),
        Binding("enter", "declare(False)", "Declare"),
        Binding("b", "declare(True)", "Declare beside the others"),
        Binding("escape", "dismiss(None)", "Leave it"),
    ]
    confidence: reactive[int] = reactive(70)

    def __init__(self, fault: Fault, confidence: float | None, others: tuple[Fault, ...] = ()) -> None:
        """others: what is declared besides."""
        super().__init__()
        self.fault, self.others = fault, others
        if confidence is not None:
            self.set_reactive(Diagnose.confidence, round(confidence))

    def compose(self) -> ComposeResult:
        """Part, failure mode, confidence."""
        with Vertical(classes="slip"):
            yield Static(words(say("Diagnosis: {fault}", fault=_(self.fault.name))), classes="slip-title", markup=False)
            yield Static(
                words(say("Part: {part}. How it failed: {mode}.", part=_(self.fault.part), mode=_(self.fault.mode))),
                classes="slip-text",
                markup=False,
            )
            if self.others:
                names = ", ".join(_(fault.name) for fault in self.others)
                declared = words(say("Declared so far: {faults}.", faults=names))
                yield Static(declared, classes="slip-text", markup=False)
            yield Static(id="confidence", classes="slip-text", markup=False)
            yield KeyHints(
                ("←", N_("less sure"), "change(-5)"),
                ("→", N_("surer"), "change(5)"),
                *self._ways(),
                ("Escape", N_("leave it"), "dismiss(None)"),
                classes="slip-keys",
            )

    def _ways(self) -> list[tuple[str, str, str]]:
        if not self.others:
            return [("0-9", N_("tens of percent"), "change(0)"), ("Enter", N_("declare"), "declare(False)")]
        return [("Enter", N_("declare instead"), "declare(False)"), ("B", N_("add it"), "declare(True)")]

    def watch_confidence(self, confidence: int) -> None:
        """Draw the bar."""
        for bar_line in self.query("#confidence").results(Static):
            said = next(_(word) for bound, word in _WORDS if confidence < bound)
            full = round(confidence / 2.5)
            bar = Content.assemble(("█" * full, "$primary"), ("░" * (40 - full), "$secondary"))
            bar_line.update(Content.assemble(_("How sure"), "  ", bar, (f"  {confidence} %", "bold"), f"  {said}"))

    def on_mount(self) -> None:
        """Draw the bar once it is there."""
        self.watch_confidence(self.confidence)

    def action_change(self, by: int) -> None:
        """Surer or less sure."""
        self.confidence = min(max(self.confidence + by, 0), 100)

    def action_tenths(self, digit: int) -> None:
        """A digit sets tens of percent; 0 after 1... is 100 where the bar stood at 10."""
        self.confidence = 100 if digit == 0 and self.confidence == 10 else digit * 10

    def action_declare(self, beside: bool) -> None:
        """Done; beside: what was declared before stands too."""
        self.dismiss((float(self.confidence), beside and bool(self.others)))
