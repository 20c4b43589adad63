"""Marks so far: every record whose keys were handed back."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, Static

from scenarios.language import N_, _, say
from tui.program import program
from tui.records import Kept, sealed_jobs, total_of
from tui.screens.spoken import Spoken
from tui.show import words
from tui.widgets.rows import Row, Rows


class MarkedJobs(Rows):
    """The records."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Debrief", key_display="Enter")]


class Marks(Spoken, Screen[None]):
    """Records to look back at; Enter opens the debrief."""

    HELP = N_("Every job you handed back, newest first. Enter marks it again and opens its debrief.")

    DEFAULT_CSS = """
    Marks #title { height: 2; padding: 0 2; background: $panel; }
    Marks Rows { padding: 1 2; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "dismiss(None)", "Back to the board", key_display="Esc"),
    ]

    def __init__(self, kept: list[Kept]) -> None:
        super().__init__()
        jobs = [record for record in kept if not record.open]
        self.records = {str(record.path): record for record in jobs}
        self.sealed = sealed_jobs(kept)

    def compose(self) -> ComposeResult:
        """A title and the records."""
        yield Static(id="title", markup=False)
        yield MarkedJobs()
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """List them."""
        marked = [record.grade for record in self.records.values() if record.grade]
        passed = sum(1 for grade in marked if grade.get("passed"))
        told = (
            say("{number} handed back, {passed} passed", number=len(self.records), passed=passed)
            if self.records
            else _("No job is handed back yet.")
        )
        self.query_one("#title", Static).update(Content.assemble((_("Your marks"), "bold $primary"), f"   {told}"))
        self.query_one(Rows).show_rows([self._row(path, record) for path, record in self.records.items()])
        self.query_one(Rows).focus()

    def _row(self, path: str, record: Kept) -> Row:
        job = program(self).catalogue.jobs.get(record.job)
        grade = record.grade
        if grade is None:
            sign, right = "?", _("not marked yet")
        else:
            sign = "✓" if grade.get("passed") else "✕"
            verdict = _("passed") if grade.get("passed") else _("not passed")
            right = say("{total:.0f} of 100, {verdict}", total=total_of(grade), verdict=verdict)
        when = record.path.stem.removeprefix(f"{record.job}-")[:10]
        return Row(path, words(f"{sign} {_(job.title) if job else record.job}   {when}"), words(right))

    @on(Rows.OptionSelected)
    def action_open(self) -> None:
        """Mark it again and show the debrief."""
        from tui.screens.marking import Marking

        record = self.records.get(self.query_one(Rows).current or "")
        if record is not None and record.job in self.sealed:
            self.notify(_("An exam of this job is not handed in: its debrief waits."), severity="warning")
        elif record is not None:
            self.app.switch_screen(Marking(record.entries, record.path))
