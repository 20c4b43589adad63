"""What a learner has tried, from the records and marks on this machine alone: packaged jobs and drawn ones."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain

from grading.marks.practice import attempt_of
from grading.sessions.modes import GUIDED
from grading.sessions.records import Kept, sealed_jobs
from scenarios.files.drawn_jobs import drawn_jobs
from scenarios.model import Catalogue, Job

Pair = tuple[str, str]
"""Ids of two faults, sorted; ``none`` stands for a sound vehicle."""


@dataclass(frozen=True, slots=True)
class Attempt:
    """A job whose keys are back.

    kept: its record; job; real: ids of its faults; day: when it was begun, None where the record does not tell; passed:
    by its marks; helped: whether it was done in guided mode; mistaken: the fault declared and the real one, for each
    that was taken for another. Nothing is mistaken in a record that is not marked, or where no check tells the two
    apart.
    """

    kept: Kept
    job: Job
    real: tuple[str, ...]
    day: date | None
    passed: bool
    helped: bool
    mistaken: tuple[tuple[str, str], ...]


def attempts_of(catalogue: Catalogue, records: Sequence[Kept]) -> list[Attempt]:
    """Attempts, oldest first, by records as ``kept_records`` gives them; none of jobs that are sealed."""
    sealed, drawn = sealed_jobs(list(records)), drawn_jobs(catalogue, (kept.job for kept in records))
    found = []
    for kept in reversed(records):
        job = catalogue.jobs.get(kept.job) or drawn.get(kept.job)
        if kept.error is None and not kept.open and not kept.given_up and job is not None and kept.job not in sealed:
            found.append(_attempt(catalogue, kept, job))
    return found


def _attempt(catalogue: Catalogue, kept: Kept, job: Job) -> Attempt:
    alone = Catalogue(catalogue.vehicles, catalogue.faults, {}, {}, {job.id: job}, {})
    made = attempt_of(alone, kept.entries, kept.passed)
    declared = made.declared if made else None
    group = (kept.grade or {}).get("group")
    alike = set(group) if isinstance(group, list) and all(isinstance(name, str) for name in group) else set[str]()
    right = declared is None or declared in job.real_faults or (declared in alike and bool(alike & {*job.real_faults}))
    mistaken = () if right or kept.grade is None else tuple((str(declared), real) for real in job.real_faults)
    try:
        day = date.fromisoformat(kept.day)
    except ValueError:
        day = None
    return Attempt(kept, job, job.real_faults, day, kept.passed, kept.mode.name == GUIDED, mistaken)


def confusions(attempts: Iterable[Attempt]) -> list[tuple[str, str, int]]:
    """The fault declared, the real one, and how often, the commonest first."""
    counted = Counter(chain.from_iterable(one.mistaken for one in attempts))
    return [(*pair, times) for pair, times in sorted(counted.items(), key=lambda item: (-item[1], item[0]))]


def pair_of(one: str, other: str) -> Pair:
    """Two faults in their order, whichever was declared."""
    return (one, other) if one < other else (other, one)
