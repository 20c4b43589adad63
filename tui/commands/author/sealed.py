"""What an instructor is not told either: the faults of a job whose exam is not handed in on this machine."""

from __future__ import annotations

from collections.abc import Iterable

from scenarios.language import say
from scenarios.wrong_use import WrongUse


def require_unsealed(jobs: Iterable[str]) -> None:
    """Raises WrongUse where an exam of one of the jobs is not handed in."""
    from grading.sessions.records import kept_records, sealed_jobs

    sealed = sealed_jobs(kept_records())
    for name in jobs:
        if name in sealed:
            raise WrongUse(
                say("an exam of job '{job}' is not handed in on this machine, expected it handed in first", job=name)
            )
