"""Opening a job: afresh with a record of its own, or where a record left off."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from grading.sessions.clock import now
from grading.sessions.exam_seals import note_exam
from grading.sessions.modes import EXAM, EXAM_MINUTES, OUT_OF_TIME, Mode
from grading.sessions.record import Entry, Recorder, read_record
from grading.sessions.records import (
    handed_back,
    kept_records,
    mend,
    new_record_path,
    newest_open,
    records_folder,
    sealed_jobs,
)
from grading.sessions.session import Outcome, Session
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.language import _, say
from scenarios.model import Catalogue, Job
from scenarios.wrong_use import WrongUse


def mode_of(name: str, minutes: float | None = None) -> Mode:
    """A mode that begins at this moment; minutes: of an exam."""
    return Mode(name, minutes or EXAM_MINUTES, round(now(), 1)) if name == EXAM else Mode(name)


def time_is_up(session: Session) -> bool:
    """Whether an exam's time has run out."""
    return not session.finished and session.mode.left(now()) <= 0.0


def hand_in(session: Session) -> None:
    """Hand an exam in as it stands."""
    session.do(Action("handback", (OUT_OF_TIME,)))


def begin(catalogue: Catalogue, job: Job, seed: int, path: Path | None = None, mode: Mode | None = None) -> Session:
    """The job afresh; path: where its record goes, in the records folder if not given; mode: free if not given."""
    if path is not None and path.exists():
        raise WrongUse(say("'{path}' exists already, expected a new file, or --resume to go on with it", path=path))
    if job.id in sealed_jobs(kept_records()):
        raise WrongUse(
            say("an exam of job '{job}' is not handed in, expected to go on with it first (--resume)", job=job.id)
        )
    try:
        session = Session(catalogue, job, seed, Recorder(path or new_record_path(job.id)), mode)
        if session.mode.exam and path is not None and path.absolute().parent != records_folder():
            note_exam(path)
        return session
    except OSError as error:
        wrong = say("the record cannot be written ({reason}), expected a folder that can be written to", reason=error)
        raise WrongUse(wrong) from error


def resume(catalogue: Catalogue, job: Job, path: Path | None, warn: Callable[[str], None]) -> Session:
    """The job as a record left it; path: the record, the newest unfinished one of this job if None.

    warn: called with a text where its readings no longer come out the same.
    """
    if path is None:
        kept = newest_open(job.id)
        if kept is None:
            told = {"job": job.id, "folder": records_folder()}
            raise WrongUse(say("no unfinished record of job '{job}' in {folder}, expected one to resume", **told))
        path = kept.path
    entries = read_record(path)
    if entries[0].data["job"] != job.id:
        wrong = say("this is a record of job '{job}'", job=entries[0].data["job"])
        raise DataError(str(path), 1, 1, wrong, say("one of '{job}'", job=job.id))
    if handed_back(entries):
        raise DataError(str(path), len(entries), 1, _("the keys were handed back"), _("a record of an unfinished job"))
    mend(path)
    line, same = 2, True

    def seen(number: int, entry: Entry, outcome: Outcome) -> None:
        nonlocal line, same
        if outcome.refused is not None:
            wrong = say("this cannot be done again: {why}", why=outcome.refused)
            raise DataError(str(path), number, 1, wrong, _("what could be done"))
        line, same = number + 1, same and [reading.step for reading in outcome.readings] == entry.steps

    try:
        session = Session.resumed(catalogue, job, entries, Recorder(path), seen)
    except (LookupError, ValueError, TypeError) as error:
        wrong = say("this action is wrong ({reason})", reason=error)
        raise DataError(str(path), line, 1, wrong, _("one as lukewarm writes it")) from error
    if not same:
        warn(_("lukewarm: this record was made by another version of the vehicles; its readings may not fit together"))
    return session
