"""Starting, resuming and giving up jobs."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from grading.sessions.exam_seals import note_exam
from grading.sessions.made_with import catalogue_of
from grading.sessions.modes import EXAM, EXAM_MINUTES, OUT_OF_TIME, Mode, now
from grading.sessions.outcome import Outcome
from grading.sessions.record import RecordEntry, Recorder, make_whole, open_drafts, read_record
from grading.sessions.record_lock import watch_for_requests
from grading.sessions.records import (
    handed_back,
    kept_records,
    new_record_path,
    newest_open,
    put_away,
    records_folder,
    sealed_jobs,
)
from grading.sessions.session import Session
from grading.sessions.verification import CannotReplay, replay_session
from scenarios.actions import Action
from scenarios.files.data_error import DataError, quoted
from scenarios.language import _, say
from scenarios.model import Catalogue, Job
from scenarios.wrong_use import WrongUse

LONGEST_NAME = 200
"""Characters of a candidate's name."""


def mode_of(name: str, minutes: float | None = None) -> Mode:
    """A mode that begins now; minutes: of an exam."""
    return Mode(name, minutes or EXAM_MINUTES, round(now(), 1)) if name == EXAM else Mode(name)


def require_name(candidate: str) -> None:
    """Raise WrongUse for a candidate's name that is too long or not readable."""
    if not any(mark.isalnum() for mark in candidate) or not candidate.isprintable():
        raise WrongUse(say("the candidate's name {name}, expected letters or digits", name=quoted(candidate)))
    if len(candidate) > LONGEST_NAME:
        values = {"length": len(candidate), "most": LONGEST_NAME}
        raise WrongUse(say("the candidate's name has {length} characters, expected at most {most}", **values))


def time_is_up(session: Session) -> bool:
    """Whether an exam's time has run out."""
    return not session.finished and not session.closed_because and session.mode.left(now()) <= 0.0


def hand_in(session: Session) -> None:
    """Hand in an exam after the running action. Drafts of notes that were never written are written first."""
    entries = session.recorder.entries
    noted = {entry.action.text(0) for entry in entries if entry.kind == "action" and entry.data["verb"] == "note"}
    for what, text in open_drafts(entries).items():
        if what not in noted:
            session.do(Action("note", (what, text)), wait=True)
    session.do(Action("handback", (OUT_OF_TIME,)), wait=True)


def begin(
    catalogue: Catalogue,
    job: Job,
    seed: int,
    path: Path | None = None,
    mode: Mode | None = None,
    *,
    candidate: str | None = None,
    rubric: str = "",
) -> Session:
    """Start a job.

    path: of its record, in the records folder if not given; mode: free if not given; candidate, rubric: as in
    ``Session``. Raises WrongUse.
    """
    if candidate is not None:
        require_name(candidate)
    kept = kept_records()
    if job.id in sealed_jobs(kept):
        raise WrongUse(_still_sealed(job, [one.error for one in kept if one.job == job.id and one.sealed]))
    recorder = None
    try:
        recorder = _new_recorder(path, job)
        session = Session(catalogue, job, seed, recorder, mode, candidate=candidate, rubric=rubric)
        if session.mode.exam and path is not None and path.absolute().parent != records_folder():
            note_exam(path, job.id)
        return _watched(session)
    except FileExistsError as error:
        wrong = say("'{path}' exists already, expected a new file, or --resume to go on with it", path=path)
        raise WrongUse(wrong) from error
    except OSError as error:
        _discard(recorder)
        wrong = say("the record cannot be written ({reason}), expected a folder that can be written to", reason=error)
        raise WrongUse(wrong) from error
    except WrongUse:  # the equations of the vehicle cannot be solved
        _discard(recorder)
        raise


def _discard(recorder: Recorder | None) -> None:
    """Close the record of a job that could not be started, and remove its file if empty."""
    if recorder is None:
        return
    with suppress(OSError):
        recorder.close()
    with suppress(OSError):
        if recorder.path is not None and recorder.path.stat().st_size == 0:
            recorder.path.unlink()


def _new_recorder(path: Path | None, job: Job) -> Recorder:
    while path is None:
        try:
            return Recorder(new_record_path(job.id))
        except FileExistsError:  # another process took the name meanwhile
            continue
    return Recorder(path)


def _still_sealed(job: Job, errors: list[DataError | None]) -> str:
    error = next((error for error in errors if error is not None), None)
    if error is None:
        return say("an exam of job '{job}' is not handed in, expected to go on with it first (--resume)", job=job.id)
    values = {"job": job.id, "error": error}
    return say("a record of job '{job}' may be an exam that is not handed in, and cannot be read: {error}", **values)


def resume(
    catalogue: Catalogue, job: Job, path: Path | None, warn: Callable[[str], None], take_over: bool = False
) -> Session:
    """Resume a job from a record; path: the newest unfinished record of this job if None.

    warn: called with a text if its readings differ in the replay; take_over: whether another process that has it open
    is asked to release it. Raises WrongUse (HeldElsewhere among others) and DataError.
    """
    if path is None:
        kept = newest_open(job.id)
        if kept is None:
            values = {"job": job.id, "folder": records_folder()}
            raise WrongUse(say("no unfinished record of job '{job}' in {folder}, expected one to resume", **values))
        path = kept.path
    read_record(path)  # before the lock file is created
    recorder = Recorder(path, new=False, ask=take_over)
    try:
        session = _replayed(catalogue, job, path, warn)
        session.recorder, recorder.entries = recorder, session.recorder.entries
        session.go_on()
        return _watched(session)
    except BaseException:
        recorder.close()
        raise


def _replayed(catalogue: Catalogue, job: Job, path: Path, warn: Callable[[str], None]) -> Session:
    """The session of a locked record, which is rewritten if incomplete."""
    entries = read_record(path)
    if entries[0].data["job"] != job.id:
        wrong = say("this is a record of job '{job}'", job=entries[0].data["job"])
        raise DataError(str(path), 1, 1, wrong, say("one of '{job}'", job=job.id))
    if handed_back(entries) or put_away(entries):
        wrong = _("the keys were handed back") if handed_back(entries) else _("the job was given up")
        raise DataError(str(path), len(entries), 1, wrong, _("a record of an unfinished job"))
    catalogue, same = catalogue_of(catalogue, entries), True
    job = catalogue.jobs[job.id]

    def seen(line: int, entry: RecordEntry, outcome: Outcome, given: RecordEntry) -> None:
        nonlocal same
        same = same and given.steps == entry.steps

    try:
        session = replay_session(catalogue, job, entries, seen)
    except CannotReplay as error:
        wrong = say("this cannot be done again: {why}", why=error.why)
        raise DataError(str(path), error.line, 1, wrong, _("what could be done")) from error
    try:
        make_whole(path, entries)
    except OSError as error:
        wrong = say("the record cannot be written ({reason}), expected a folder that can be written to", reason=error)
        raise WrongUse(wrong) from error
    if not same:
        warn(_("lukewarm: this record was made by another version of the vehicles; its readings may not fit together"))
    session.recorder.entries = list(entries)
    return session


def _watched(session: Session) -> Session:
    """The session, set up to release its record when another process asks for it."""
    if session.recorder.lock is not None:
        watch_for_requests(session.recorder.lock, session.let_go)
    return session


def give_up(path: Path) -> None:
    """Give up the job of a record. Raises WrongUse and DataError. An exam cannot be given up, only handed in."""
    entries = read_record(path)
    if handed_back(entries) or put_away(entries):
        raise DataError(str(path), len(entries), 1, _("the job is over"), _("a record of an unfinished job"))
    if Mode.of_record(entries[0].data).exam:
        raise DataError(str(path), 1, 1, _("this is an exam"), _("it handed in as it stands (--resume)"))
    recorder = Recorder(path, new=False)
    try:
        make_whole(path, entries)
        recorder.entries = entries
        recorder.write("put-away")
    except OSError as error:
        raise WrongUse(say("the record cannot be written ({reason})", reason=error)) from error
    finally:
        recorder.close()
