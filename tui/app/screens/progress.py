"""Progress: marks over time, where they are lost, what is taken for what, the job to do next; and every debrief."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from rich.cells import cell_len
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen

from grading.sessions.records import Kept, sealed_jobs
from scenarios.files.drawn_jobs import with_drawn_jobs
from scenarios.language import N_, _
from scenarios.model import Job
from tui.app.program import program
from tui.app.screens.spoken import Spoken
from tui.app.show import lines, words
from tui.app.widgets.columns import column_lines, column_signs
from tui.app.widgets.key_hints import KeyHints
from tui.app.widgets.key_line import KeyLine
from tui.app.widgets.paper import Paper
from tui.app.widgets.rows import Row, Rows
from tui.presentation.between_jobs.numbers import named
from tui.presentation.between_jobs.progress import (
    LATEST_PREDICTIONS,
    Mean,
    Progress,
    confusion,
    criteria_heading,
    how_many,
    mean_in_words,
    next_in_words,
    over_time,
    predictions_in_words,
)
from tui.presentation.between_jobs.system_map import legend
from tui.presentation.clean import clean

BAR = 20
"""Cells of a bar of marks."""


class MarkedJobs(Rows):
    """The records."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Debrief", key_display="Enter")]


class ProgressScreen(Spoken, Screen[str | None]):
    """How one gets on. Gives the id of a job where its key is to be taken."""

    HELP = N_("""To the left every job you handed back, newest first; Enter marks it again and opens its debrief.
To the right your marks over time, the criteria they are made of, what you took for what, and the job that would teach
you most now; T takes its key. On the map each sign is a fault of a system: what was tried, passed, and passed without
help, which is in another mode than guided. All of it comes from the records on this machine.""")

    DEFAULT_CSS = """
    ProgressScreen #title { height: 2; padding: 0 2; background: $panel; }
    ProgressScreen #jobs { width: 46%; padding: 1 1 0 2; }
    ProgressScreen #right { width: 1fr; border-left: vkey $panel; }
    ProgressScreen #how { height: 1fr; padding: 1 2 0 2; }
    ProgressScreen #next { height: auto; padding: 1 2 0 2; color: $secondary; }
    ProgressScreen KeyHints { padding: 0 2; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "take", "Take the next key", show=False),
        Binding("escape,q", "dismiss(None)", "Back to the board", key_display="Esc"),
    ]

    def __init__(self, progress: Progress, kept: list[Kept]) -> None:
        super().__init__()
        self.progress = progress
        self.records = {str(record.path): record for record in progress.handed_back}
        self.sealed = sealed_jobs(kept)
        self.jobs: Mapping[str, Job] = {}

    def compose(self) -> ComposeResult:
        """A title, the records, what can be said of them."""
        yield Paper(id="title")
        with Horizontal():
            yield MarkedJobs(id="jobs")
            with Vertical(id="right"):
                with VerticalScroll(id="how"):
                    yield Paper(id="told")
                yield Paper(id="next")
                yield KeyHints(("t", N_("take the key"), "take"))
        yield KeyLine()

    def on_mount(self) -> None:
        """Show it."""
        if not self.ending:
            self.jobs = with_drawn_jobs(program(self).catalogue, (kept.job for kept in self.records.values())).jobs
            self.redraw()
            self.query_one(Rows).focus()

    def on_resize(self) -> None:
        """The columns of marks fill the room there is."""
        if self.is_mounted:
            self._tell()

    def redraw(self) -> None:
        """Draw everything."""
        title = Content.assemble((_("Your progress"), "bold $primary"), f"   {how_many(self.progress)}")
        self.query_one("#title", Paper).write(title)
        self.query_one(Rows).show_rows([self._row(path, record) for path, record in self.records.items()])
        self._tell()
        said = next_in_words(program(self).catalogue, self.progress)
        self.query_one("#next", Paper).write(words(said, program(self).units))
        self.query_one(KeyHints).display = self.progress.next_job is not None

    def _row(self, path: str, record: Kept) -> Row:
        sign = "?" if record.grade is None else "✓" if record.passed else "✕"
        name = named(self.jobs, record.job)
        marks = "" if record.grade is None else f"{record.total:.0f}"
        return Row(path, words(f"{sign} {name}"), words(f"{record.day}  {marks:>3}"))

    def _tell(self) -> None:
        """What the records say, part by part."""
        room = max(self.query_one("#how").scrollable_content_region.width, BAR + 16)
        parts = [
            *self._systems(room),
            *self._over_time(room),
            *self._criteria(room),
            *self._predictions(),
            *self._confusions(),
        ]
        self.query_one("#told", Paper).write(lines(*parts))

    def _over_time(self, room: int) -> list[Content]:
        progress = self.progress
        if not progress.totals:
            return [Content.styled(_("Marks show here once a job is handed back and marked."), "$secondary")]
        height = 2 if self.size.height < 32 else 4
        drawn = column_lines(progress.totals, 100.0, room, height)
        signs = column_signs(tuple("✓" if kept.passed else "✕" for kept in progress.marked), room)
        heading = Content.styled(_("Marks over time"), "bold")
        figures = Content.styled(over_time(progress), "$secondary")
        return [heading, *(Content.styled(line, "$primary") for line in drawn), Content(signs), figures]

    def _criteria(self, room: int) -> list[Content]:
        progress = self.progress
        if not progress.criteria:
            return []
        heading = criteria_heading(progress)
        means = [(_(name), mean) for name, mean in progress.criteria.items()]
        means += [(clean(code), mean) for code, mean in progress.competences.items()]
        wide = min(max(len(name) for name, _mean in means), 30)
        bar = BAR if room >= wide + BAR + 20 else BAR // 2
        return [Content(), Content.styled(heading, "bold"), *(_bar(name, mean, wide, bar) for name, mean in means)]

    def _predictions(self) -> list[Content]:
        made = self.progress.predictions
        if not made:
            return []
        signs = "".join("✓" if right else "✕" for right in made[-LATEST_PREDICTIONS:])
        told = Content(f"{signs}  {predictions_in_words(self.progress)}")
        return [Content(), Content.styled(_("Predictions"), "bold"), told]

    def _systems(self, room: int) -> list[Content]:
        """The map: a sign for each fault of a system, beside its name where there is room."""
        told: list[Content] = [Content.styled(_("Map of systems"), "bold")]
        beside = [one for one in self.progress.systems if cell_len(_(one.system)) + 1 + one.faults <= room]
        wide = max((cell_len(_(one.system)) for one in beside), default=0)
        for one in self.progress.systems:
            name, cells = Content(_(one.system)), Content.styled(one.cells, "$primary")
            if one not in beside or wide + 1 + one.faults > room:
                told += [name, cells]
            else:
                told.append(Content.assemble(name.pad_right(wide - name.cell_length + 1), cells))
        return [*told, Content.styled(legend(), "$secondary"), Content()]

    def _confusions(self) -> list[Content]:
        if not self.progress.confusions:
            return []
        catalogue = program(self).catalogue
        pairs = [words(confusion(catalogue, *pair)) for pair in self.progress.confusions]
        return [Content(), Content.styled(_("Faults you confused"), "bold"), *pairs]

    @on(Rows.OptionSelected)
    def action_open(self) -> None:
        """Mark it again and show the debrief."""
        from tui.app.screens.marking import Marking

        record = self.records.get(self.query_one(Rows).current or "")
        if record is not None and record.job in self.sealed:
            self.notify(_("An exam of this job is not handed in: its debrief waits."), severity="warning")
        elif record is not None:
            self.app.switch_screen(Marking(record.entries, record.path))

    def action_take(self) -> None:
        """Back to the board, and on to the job that is proposed."""
        if self.progress.next_job is not None:
            self.dismiss(self.progress.next_job)


def _bar(name: str, mean: Mean, wide: int, cells: int) -> Content:
    full = round(mean.latest / 100.0 * cells)
    return Content.assemble(
        Content(name).truncate(wide, ellipsis=True, pad=True),
        " ",
        ("█" * full, "$primary"),
        ("░" * (cells - full), "$secondary"),
        f" {mean.sign} ",
        words(mean_in_words(mean)),
    )
