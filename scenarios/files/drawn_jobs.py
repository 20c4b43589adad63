"""Jobs that were drawn by a number, read one by one: their faults and words, without a catalogue of their own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from scenarios.files.data_error import DataError
from scenarios.files.entry import Entry, LoadContext
from scenarios.files.own_folders import drawn_folder
from scenarios.files.read_model import job as read_job
from scenarios.files.strict_yaml import load
from scenarios.model import Catalogue, Job

DRAWN = "draw-"
"""What the ids of such jobs begin with."""


def drawn_job_file(job: str) -> Path:
    """The file of a drawn job, whether it is there or not."""
    return drawn_folder(job) / "jobs" / f"{job}.yaml"


def drawn_jobs(catalogue: Catalogue, names: Iterable[str]) -> dict[str, Job]:
    """Drawn jobs by id. Left out: those that are not there, cannot be read, or have a vehicle or fault that the
    catalogue does not know.
    """
    found = {}
    for name in dict.fromkeys(names):
        job = _job(name) if name.startswith(DRAWN) and name not in catalogue.jobs else None
        if job is not None and job.vehicle in catalogue.vehicles and catalogue.faults.keys() >= set(job.real_faults):
            found[name] = job
    return found


def with_drawn_jobs(catalogue: Catalogue, names: Iterable[str]) -> Catalogue:
    """The catalogue with those of some drawn jobs that can be read.

    Not for replays: a record holds the hash of a catalogue with its own drawn job alone (``made_with.with_drawn``).
    """
    jobs = drawn_jobs(catalogue, names)
    return replace(catalogue, jobs={**catalogue.jobs, **jobs}) if jobs else catalogue


def _job(name: str) -> Job | None:
    file = drawn_job_file(name)
    try:
        return _read(file, file.stat().st_mtime_ns)
    except OSError:
        return None


@lru_cache(maxsize=2048)
def _read(file: Path, _changed: int) -> Job | None:
    """The job in a file as it was at a time of change, None where it is no job of that name."""
    context = LoadContext()
    try:
        entry = Entry(load(file), context)
        job = read_job(entry)
        entry.done()
        context.problems.finish()
    except (DataError, OSError):
        return None
    return job if job.id == file.stem else None
