"""Opening a job: afresh with a record of its own, or where a record left off."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from grading.record import Entry, Recorder, read_record
from grading.session import Session
from scenarios.data_error import DataError
from scenarios.model import Catalogue, Job
from tui.console import WrongUse, complain
from tui.records import handed_back, mend, new_record_path, newest_open, records_folder


def begin(catalogue: Catalogue, job: Job, seed: int, path: Path | None = None) -> Session:
    """The job afresh; path: where its record goes, in the records folder if not given."""
    if path is not None and path.exists():
        raise WrongUse(f"'{path}' exists already, expected a new file, or --resume to go on with it")
    try:
        return Session(catalogue, job, seed, Recorder(path or new_record_path(job.id)))
    except OSError as error:
        raise WrongUse(f"the record cannot be written ({error}), expected a folder that can be written to") from error


def resume(catalogue: Catalogue, job: Job, path: Path | None = None, warn: Callable[[str], None] = complain) -> Session:
    """The job as a record left it; path: the record, the newest unfinished one of this job if not given."""
    if path is None:
        kept = newest_open(job.id)
        if kept is None:
            raise WrongUse(f"no unfinished record of job '{job.id}' in {records_folder()}, expected one to resume")
        path = kept.path
    entries = read_record(path)
    if entries[0].data["job"] != job.id:
        raise DataError(str(path), 1, 1, f"this is a record of job '{entries[0].data['job']}'", f"one of '{job.id}'")
    if handed_back(entries):
        raise DataError(str(path), len(entries), 1, "the keys were handed back", "a record of an unfinished job")
    mend(path)
    return replayed(catalogue, job, entries, path, warn)


def replayed(
    catalogue: Catalogue, job: Job, entries: list[Entry], path: Path, warn: Callable[[str], None] = complain
) -> Session:
    """The session of a record, its actions done again. Says so where its readings no longer come out the same."""
    session = Session(catalogue, job, int(entries[0].data["seed"]))
    same = True
    for line, entry in enumerate(entries, 1):
        if entry.kind == "action":
            try:
                outcome = session.do(entry.action)
            except (LookupError, ValueError, TypeError) as error:
                raise DataError(
                    str(path), line, 1, f"this action is wrong ({error})", "one as lukewarm writes it"
                ) from error
            if outcome.refused is not None:
                raise DataError(
                    str(path), line, 1, f"this cannot be done again: {outcome.refused}", "what could be done"
                )
            same = same and [reading.step for reading in outcome.readings] == entry.steps
    session.recorder = Recorder(path)
    session.recorder.entries = list(entries)
    if not same:
        warn("lukewarm: this record was made by another version of the vehicles; its readings may not fit together")
    return session
