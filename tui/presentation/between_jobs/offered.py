"""What a learner is offered between jobs: the job to do next, what is due again, the vehicle of the day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from grading.drawing.narrowing import pair_word
from grading.drawing.number import number_of
from grading.sessions.records import Kept
from scenarios.files.drawn_jobs import DRAWN, drawn_jobs
from scenarios.language import N_, Text, _, plural, say
from scenarios.model import Catalogue, Job
from tui.presentation.between_jobs.numbers import kind_of, number_of_day
from tui.presentation.between_jobs.progress import Progress
from tui.presentation.between_jobs.returns import DAYS, due

FIRST = N_("the easiest one to begin with")


@dataclass(frozen=True, slots=True)
class DueAgain:
    """Two faults that were taken for each other and are due: word: before the numbers of such vehicles; systems: of
    the two, in English; days: since the confusion; passed: how often it came back already; begun: id of the drawn job
    that is open for it, None where there is none.
    """

    word: str
    systems: tuple[str, ...]
    days: int
    passed: int
    begun: str | None

    @property
    def told(self) -> str:
        """What is due, without which two faults it is."""
        return say("Due again: {systems}", systems=", ".join(map(_, self.systems)))

    @property
    def why(self) -> str:
        """Why it is due."""
        mixed = plural(
            self.days,
            "{n} day ago you took one fault for another there.",
            "{n} days ago you took one fault for another there.",
        )
        if self.passed:
            mixed += " " + say("Passed again {passed} of {all} times.", passed=self.passed, all=len(DAYS))
        return mixed


@dataclass(frozen=True, slots=True)
class Offered:
    """next_job: id, None where there is none, and why; due: the longest due first; of_day: number of the vehicle of the
    day; drawn: drawn jobs that are open or stand for one of these, by id.
    """

    next_job: str | None
    why: Text
    due: tuple[DueAgain, ...]
    of_day: str
    drawn: dict[str, Job] = field(default_factory=dict)

    @property
    def job_of_day(self) -> str:
        """Id of the job of the vehicle of the day, drawn or not."""
        return DRAWN + self.of_day


def offered(catalogue: Catalogue, progress: Progress, records: Sequence[Kept], day: date) -> Offered:
    """What to offer on a day by records, newest first as ``kept_records`` gives them."""
    open_ = [kept.job for kept in records if kept.open]
    found = []
    for one in due(progress.attempts, day):
        word = pair_word(one.pair)
        systems = tuple(dict.fromkeys(catalogue.faults[name].system for name in one.pair))
        begun = next((job for job in open_ if kind_of(job) == word), None)
        found.append(DueAgain(word, systems, (day - one.since).days, one.passed, begun))
    of_day = number_of_day(day)
    drawn = drawn_jobs(catalogue, [*(job for job in open_ if number_of(job) is not None), DRAWN + of_day])
    why = progress.why if progress.handed_back else FIRST
    return Offered(progress.next_job, why, tuple(found), of_day, drawn)


def told(catalogue: Catalogue, given: Offered) -> list[str]:
    """The same as lines of plain text, each with the command that takes it."""
    out = []
    if given.next_job is not None:
        job = _(catalogue.jobs[given.next_job].title)
        out.append(say("Next for you: {job}, {why}.", job=job, why=_(given.why)) + " lukewarm text --pick next")
    for number, one in enumerate(given.due):
        out.append(f"{one.told}. {one.why}" + (" lukewarm text --pick due" if number == 0 else ""))
    out.append(say("Vehicle of the day: number {number}.", number=given.of_day) + " lukewarm text --pick today")
    return out
