"""Practice history: which faults a learner confuses, from records on this machine, and the next job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass

from grading.sessions.record import RecordEntry
from scenarios.language import Message, Text
from scenarios.model import Catalogue, Job

CONFUSED, FAILED, NEW = 3.0, 2.0, 1.0
"""Weights in the choice of the next job: each confusion with its fault, a failed last attempt, a job never done."""


@dataclass(frozen=True)
class Attempt:
    """One finished job: job id; real: fault ids, ``none`` for a sound vehicle; declared: fault id or None; passed: None
    where it was not marked.
    """

    job: str
    real: tuple[str, ...]
    declared: str | None
    passed: bool | None


@dataclass(frozen=True)
class Practice:
    """attempts, oldest first; confusions: (declared, real) to how often; next_job: id; why: in a sentence."""

    attempts: tuple[Attempt, ...]
    confusions: dict[tuple[str, str], int]
    next_job: str | None
    why: Text


def attempt_of(catalogue: Catalogue, entries: list[RecordEntry], passed: bool | None) -> Attempt | None:
    """The attempt in a record; None if it is unfinished or the job is unknown. passed: by its marks."""
    actions = [entry.action for entry in entries if entry.kind == "action"]
    job = catalogue.jobs.get(str(entries[0].data.get("job"))) if entries else None
    if job is None or not any(action.verb == "handback" for action in actions):
        return None
    declared = [
        action.text(0) for action in actions if action.verb == "diagnose" and action.text(0) in catalogue.faults
    ]
    return Attempt(job.id, job.real_faults, declared[-1] if declared else None, passed)


def remember(
    catalogue: Catalogue,
    records: list[tuple[list[RecordEntry], bool | None]],
    offered: Collection[str] | None = None,
) -> Practice:
    """Practice history of records (oldest first), each with whether it was passed (None: not marked).

    offered: ids of the jobs that the next one is chosen from, None for all of the catalogue.
    """
    attempts = tuple(found for entries, passed in records if (found := attempt_of(catalogue, entries, passed)))
    confusions = Counter(
        (attempt.declared, real)
        for attempt in attempts
        for real in attempt.real
        if attempt.declared is not None and attempt.declared not in attempt.real
    )
    jobs = [job for job in catalogue.jobs.values() if offered is None or job.id in offered]
    next_job, why = _next(catalogue, jobs, attempts, dict(confusions))
    return Practice(attempts, dict(confusions), next_job, why)


def _next(
    catalogue: Catalogue, jobs: list[Job], attempts: tuple[Attempt, ...], confusions: dict[tuple[str, str], int]
) -> tuple[str | None, Text]:
    last = {attempt.job: attempt for attempt in attempts}
    newest = attempts[-1].job if attempts else None
    scored = []
    for job in jobs:
        if job.id == newest and len(jobs) > 1:
            continue
        mixed = sum(n for pair, n in confusions.items() if set(pair) & set(job.real_faults))
        failed = job.id in last and (last[job.id].passed is False or last[job.id].declared not in last[job.id].real)
        score = CONFUSED * mixed + FAILED * failed + NEW * (job.id not in last)
        scored.append((-score, job.difficulty, job.id, mixed, failed))
    if not scored:
        return None, ""
    _, _, chosen, mixed, failed = min(scored)
    if mixed:
        real = catalogue.jobs[chosen].real_faults
        pair = max((pair for pair in confusions if set(pair) & set(real)), key=lambda pair: (confusions[pair], pair))
        names = [catalogue.faults[name].name for name in pair]
        return chosen, Message(
            "{one} and {other} were taken for each other: learn what tells them apart",
            one=names[0],
            other=names[1],
        )
    if failed:
        return chosen, Message("this job did not go well the last time")
    return chosen, Message("to keep in practice") if chosen in last else Message("a job not done before")
