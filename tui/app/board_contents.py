"""What the board shows: what is offered today, vehicles drawn by number, all jobs from the easiest; and their cards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from grading.sessions.modes import now
from scenarios.language import N_, _, say
from tui.app.notices import Notice
from tui.app.show import lines, words
from tui.app.widgets.rows import Row
from tui.presentation.between_jobs.complaint_words import in_short
from tui.presentation.clean import clean
from tui.presentation.units import Units, temperature

if TYPE_CHECKING:  # else only once the board is seen: a program is waited for
    from grading.sessions.records import Kept
    from tui.presentation.between_jobs.offered import DueAgain, Offered

NEXT, DUE, OF_DAY = "next:", "due:", "day"
"""What the ids of rows begin with that are not those of jobs."""
DRAWN = "draw-"
START = N_("Start here: Enter takes the key, and G gives a hint whenever you ask.")


class BoardContents:
    """Rows and cards. notices: by id of job; kept: records, newest first; offered: None until records are read."""

    def __init__(self, notices: dict[str, Notice]) -> None:
        self.notices = notices
        self.kept: list[Kept] = []
        self.offered: Offered | None = None

    @property
    def next_job(self) -> str | None:
        """Id of the job to do next; of the easiest one until records are read."""
        if self.offered is not None:
            return self.offered.next_job
        packaged = [job for job in self.notices.values() if not is_drawn(job.id)]
        return min(packaged, key=lambda job: (job.difficulty, job.id)).id if packaged else None

    def job_of(self, row: str | None) -> str | None:
        """Id of the job of a row, None where its vehicle is not drawn yet."""
        if row is None or row.startswith(DUE):
            one = self.due_of(row)
            return one.begun if one else None
        if row == OF_DAY:
            return self.offered.job_of_day if self.offered else None
        return row.removeprefix(NEXT)

    def notice_of(self, row: str | None) -> Notice | None:
        """The notice of a row's job."""
        return self.notices.get(self.job_of(row) or "")

    def due_of(self, row: str | None) -> DueAgain | None:
        """What is due again by a row."""
        due = self.offered.due if self.offered else ()
        return next((one for one in due if row == DUE + one.word), None)

    def records(self, job: str) -> list[Kept]:
        """Records of a job, newest first."""
        return [kept for kept in self.kept if kept.job == job]

    def open_record(self, job: str) -> Kept | None:
        """The record of a job that is not over."""
        return next((kept for kept in self.records(job) if kept.open), None)

    def _best(self, job: str) -> Kept | None:
        marked = [kept for kept in self.records(job) if kept.grade]
        return max(marked, key=lambda kept: (kept.passed, kept.total), default=None)

    # -- rows ---------------------------------------------------------------------------------------------------------

    def rows(self) -> list[Row]:
        """All of them, under their headings."""
        of = sorted(self.notices.values(), key=lambda job: (job.difficulty, _(job.title).casefold(), job.id))
        of_day = self.offered.job_of_day if self.offered else ""
        drawn = [job for job in of if is_drawn(job.id) and (job.id != of_day or self.open_record(job.id))]
        told = [_heading(_("For you")), *self._for_you()]
        told += [_heading(_("Drawn by number")), *map(self._row, drawn)] if drawn else []
        return [
            *told,
            _heading(_("All jobs, the easiest first")),
            *(self._row(job) for job in of if not is_drawn(job.id)),
        ]

    def _for_you(self) -> list[Row]:
        first, offered = self.notices.get(self.next_job or ""), self.offered
        told = [self._row(first, NEXT, say("Next: {job}", job=_(first.title)))] if first else []
        for one in offered.due if offered else ():
            times = Content.styled(say("{time} of {all}", time=one.passed + 1, all=_times()), "$secondary")
            told.append(Row(DUE + one.word, Content.assemble(("◷ ", "$primary"), words(one.told)), times))
        name = _("Vehicle of the day")
        known = self.notices.get(offered.job_of_day) if offered else None
        if known:
            return [*told, self._row(known, OF_DAY, name)]
        return [*told, Row(OF_DAY, Content.assemble(("○ ", "$primary"), name), Content(_("new")))]

    def _row(self, job: Notice, before: str = "", title: str = "") -> Row:
        best = self._best(job.id)
        if self.open_record(job.id):
            sign, state = "◐", _("begun")
        elif best:
            sign, state = ("●" if best.passed else "◌"), f"{best.total:.0f}"
        else:
            sign, state = "○", _("new")
        hard = "▪" * job.difficulty + "▫" * (5 - job.difficulty)
        return Row(
            OF_DAY if before == OF_DAY else before + job.id,
            Content.assemble((f"{sign} ", "$primary"), words(title or self._title(job))),
            Content.assemble(state, " ", (hard, "$secondary")),
            also=clean(f"{_(job.vehicle)} {_(job.customer)} {_(job.complaint)} {in_short(job.complains_of)}"),
            below=Content.styled(clean(in_short(job.complains_of)), "$secondary"),
        )

    def _title(self, job: Notice) -> str:
        if not is_drawn(job.id):
            return _(job.title)
        from tui.presentation.between_jobs.numbers import titled

        return titled(job.title, job.id)

    # -- cards --------------------------------------------------------------------------------------------------------

    def card(self, row: str | None, units: Units) -> Content:
        """What is known of a row."""
        parts = [part for part in (self._why(row), self._job_card(self.notice_of(row), units)) if part]
        return lines(*(line for k, part in enumerate(parts) for line in ([Content()] if k else []) + part))

    def _why(self, row: str | None) -> list[Content]:
        """Why a row is offered."""
        offered, one = self.offered, self.due_of(row)
        if row is not None and row.startswith(NEXT):
            if offered is None or not any(not kept.open for kept in self.kept):
                return [Content.styled(_(START), "bold")]
            return [words(say("Next for you, {why}.", why=_(offered.why)), style="$accent")]
        if one is not None:
            what = _("Enter takes the key of a drawn vehicle that has one of the two faults.")
            return [Content.styled(one.told, "bold $primary"), Content(), words(one.why), Content(what)]
        if row == OF_DAY and offered is not None:
            same = say(
                "The vehicle of the day is number {number}: the same for everybody with this version of the program.",
                number=offered.of_day,
            )
            waits = [Content(_("Enter draws it, which takes some seconds."))] if self.notice_of(row) is None else []
            return [words(same, style="$accent"), *waits]
        return []

    def _job_card(self, job: Notice | None, units: Units) -> list[Content]:
        if job is None:
            return []
        best, begun = self._best(job.id), self.open_record(job.id)
        told = [
            words(_(job.title), units, "bold $primary"),
            words(
                say(
                    "{customer}, {km:,.0f} km, {temperature} outside",
                    customer=_(job.customer),
                    km=job.mileage_km,
                    temperature=temperature(job.ambient_C, units),
                ),
                units,
            ),
            Content(),
            words(say("“{words}”", words=_(job.complaint)), units, "italic"),
            Content(),
            words(f"{_(job.vehicle)}. {_(job.about)}", units),
        ]
        told += [Content(), words(_(job.history), units)] if job.history else []
        told += [Content(), words(say("Difficulty {difficulty} of 5", difficulty=job.difficulty), units, "$secondary")]
        if is_drawn(job.id):
            from tui.presentation.between_jobs import numbers

            told.append(words(numbers.told(job.id), units, "$secondary"))
        if best:
            from tui.presentation.between_jobs.progress import result

            told.append(words(say("Your best: {result}", result=result(best)), units, "$secondary"))
        if begun:
            told.append(Content.styled(_begun(begun), "bold"))
        return told


def is_drawn(job: str) -> bool:
    """Whether a job, by its id, was drawn by a number."""
    if not job.startswith(DRAWN):
        return False
    from grading.drawing.number import number_of

    return number_of(job) is not None


def _times() -> int:
    from tui.presentation.between_jobs.returns import DAYS

    return len(DAYS)


def _heading(text: str) -> Row:
    return Row(None, Content(text))


def _begun(kept: Kept) -> str:
    mode = kept.mode
    if not mode.exam:
        return say("Begun, {mode}: Enter goes on, N starts afresh, A puts it away", mode=_(mode.name))
    left = max(mode.left(now()), 0.0) / 60.0
    if left:
        return say("Begun as an exam, {left:.0f} min left: Enter goes on", left=left)
    return _("An exam whose time is up: Enter hands it in")
