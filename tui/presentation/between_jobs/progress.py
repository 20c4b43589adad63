"""How a learner gets on, from the records on this machine: marks over time, where they are lost, what is confused."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from grading.marks.practice import Practice, remember
from grading.sessions.records import Kept, sealed_jobs
from scenarios.files.drawn_jobs import with_drawn_jobs
from scenarios.language import Text, _, plural, say
from scenarios.model import CRITERIA, Catalogue
from tui.presentation.between_jobs.attempts import Attempt, attempts_of, confusions
from tui.presentation.between_jobs.system_map import SystemDone, system_map

PREDICTIONS = "predictions"
"""Key of kept marks: whether each prediction came right, as the replay tells."""
LATEST_PREDICTIONS = 10
"""Predictions that are told of apart as the latest."""
LATEST = 5
"""Marked jobs whose mean is called the latest."""


@dataclass(frozen=True, slots=True)
class Mean:
    """Mean marks 0..100 of the latest jobs, and of those before them; None where there were none."""

    latest: float
    before: float | None

    @property
    def sign(self) -> str:
        """Up, down, or nothing where it is much as it was."""
        change = 0.0 if self.before is None else self.latest - self.before
        return "↑" if change > 2.5 else "↓" if change < -2.5 else " "


@dataclass(frozen=True, slots=True)
class Progress:
    """handed_back: records whose keys are back, newest first; marked: those of them with a grade, oldest first; totals:
    their marks 0..100; criteria: of CRITERIA; competences: by an instructor's own codes; systems: the map of systems;
    confusions: ids of the fault declared and the real one, and how often, the commonest first; next_job: id; why: in a
    sentence, English; predictions: whether each one came right, oldest first, by the marks; attempts: jobs handed back
    that are known and not sealed, oldest first.
    """

    handed_back: tuple[Kept, ...]
    marked: tuple[Kept, ...]
    totals: tuple[float, ...]
    criteria: dict[str, Mean]
    competences: dict[str, Mean]
    systems: tuple[SystemDone, ...]
    confusions: tuple[tuple[str, str, int], ...]
    next_job: str | None
    why: Text
    predictions: tuple[bool, ...] = ()
    attempts: tuple[Attempt, ...] = ()

    @property
    def passed(self) -> int:
        """Jobs passed."""
        return sum(1 for kept in self.marked if kept.passed)


def practice_of(catalogue: Catalogue, kept: list[Kept]) -> Practice:
    """What records say of a learner, and the job to do next; nothing of jobs that are sealed."""
    sealed, whole = sealed_jobs(kept), with_drawn_jobs(catalogue, (one.job for one in kept))
    told = replace(whole, jobs={name: job for name, job in whole.jobs.items() if name not in sealed})
    records = [(one.entries, None if one.grade is None else one.passed) for one in reversed(kept) if one.error is None]
    return remember(told, records, offered=catalogue.jobs.keys())


def progress_of(catalogue: Catalogue, records: list[Kept]) -> Progress:
    """Progress by records, newest first as ``kept_records`` gives them."""
    back = tuple(kept for kept in records if not kept.open and not kept.given_up)
    marked = tuple(kept for kept in reversed(back) if kept.grade is not None)
    grades = [kept.grade or {} for kept in marked]
    practice = practice_of(catalogue, records)
    told = {name: (_figures(grades, "criteria", name)) for name in CRITERIA}
    codes = dict.fromkeys(code for grade in grades for code in _table(grade, "competences"))
    coded = {code: _figures(grades, "competences", code) for code in codes}
    attempts = tuple(attempts_of(catalogue, records))
    return Progress(
        back,
        marked,
        tuple(kept.total for kept in marked),
        {name: _mean(figures) for name, figures in told.items() if figures},
        {code: _mean(figures) for code, figures in coded.items() if figures},
        tuple(system_map(catalogue, attempts)),
        tuple(confusions(attempts)),
        practice.next_job,
        practice.why,
        tuple(right for grade in grades for right in _predictions(grade)),
        attempts,
    )


def _predictions(grade: dict[str, Any]) -> list[bool]:
    made = grade.get(PREDICTIONS)
    return [right for right in made if isinstance(right, bool)] if isinstance(made, list) else []


def _table(grade: dict[str, Any], name: str) -> dict[str, Any]:
    table = grade.get(name)
    return table if isinstance(table, dict) else {}


def _figures(grades: Iterable[dict[str, Any]], table: str, name: str) -> list[float]:
    """Figures of grades under a name, oldest first; what is no figure 0..100 is passed over."""
    found = [_table(grade, table).get(name) for grade in grades]
    figures = [float(x) for x in found if isinstance(x, int | float) and not isinstance(x, bool)]
    return [x for x in figures if math.isfinite(x) and 0.0 <= x <= 100.0]


def _mean(figures: list[float]) -> Mean:
    latest, before = figures[-LATEST:], figures[:-LATEST]
    return Mean(sum(latest) / len(latest), sum(before) / len(before) if before else None)


# -- in words ----------------------------------------------------------------------------------------------------------


def how_many(progress: Progress) -> str:
    """Jobs handed back and passed."""
    if not progress.handed_back:
        return _("No job is handed back yet.")
    told = {"number": len(progress.handed_back), "passed": progress.passed}
    return say("{number} handed back, {passed} passed", **told)


def result(kept: Kept) -> str:
    """What a record was marked."""
    if kept.error is not None:
        return say("cannot be read: {error}", error=kept.error)
    if kept.given_up:
        return _("given up")
    if kept.grade is None:
        return _("not marked yet")
    verdict = _(str(kept.grade.get("verdict", "passed" if kept.passed else "failed")))
    return say("{total:.0f} of 100, {verdict}", total=kept.total, verdict=verdict)


def over_time(progress: Progress) -> str:
    """Marks over time: first, last, least, most."""
    totals = progress.totals
    told = {"first": totals[0], "last": totals[-1], "least": min(totals), "most": max(totals)}
    return say("first {first:.0f}, last {last:.0f}, least {least:.0f}, most {most:.0f}", **told)


def criteria_heading(progress: Progress) -> str:
    """What the means are of."""
    count = min(LATEST, len(progress.marked))
    return plural(count, "Marks by criterion", "Marks by criterion (mean of the last {n})")


def mean_in_words(mean: Mean) -> str:
    """A mean, and the one before it."""
    if mean.before is None:
        return f"{mean.latest:.0f}"
    return say("{latest:.0f}, before {before:.0f}", latest=mean.latest, before=mean.before)


def confusion(catalogue: Catalogue, declared: str, real: str, times: int) -> str:
    """What was taken for what, and how often."""
    told = {"declared": _(catalogue.faults[declared].name), "real": _(catalogue.faults[real].name)}
    return plural(times, "{declared}, but it was: {real}", "{declared}, but it was: {real} ({n} times)", **told)


def predictions_in_words(progress: Progress) -> str:
    """How many predictions came right, of all and of the latest; empty where there are none."""
    made = progress.predictions
    if not made:
        return ""
    told = say("{right} of {all} right", right=sum(made), all=len(made))
    if len(made) <= LATEST_PREDICTIONS:
        return told
    latest = made[-LATEST_PREDICTIONS:]
    return told + say("; of the last {count}: {right}", count=len(latest), right=sum(latest))


def next_in_words(catalogue: Catalogue, progress: Progress) -> str:
    """The job to do next, and why; empty where there is none."""
    if progress.next_job is None:
        return ""
    job = _(catalogue.jobs[progress.next_job].title)
    return say("Next for you: {job}, {why}.", job=job, why=_(progress.why))
