"""The folder of records: names, and the state of each job."""

from __future__ import annotations

import json
import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import platformdirs

from grading.sessions.exam_seals import forget_exam, noted_exams
from grading.sessions.marks_store import marks_of
from grading.sessions.modes import EXAM, FREE, Mode
from grading.sessions.record import RecordEntry, parse_record, read_bytes
from scenarios.files.data_error import DataError

_NAMED = re.compile(r"(.+)-(\d{4}-\d\d-\d\d)-\d{6}(-\d+)?$")


def records_folder() -> Path:
    """The folder of records, in the user's data folder as the operating system has it."""
    return platformdirs.user_data_path("lukewarm", appauthor=False) / "records"


def new_record_path(job: str) -> Path:
    """An unused path, named by job, date and time."""
    folder = records_folder()
    name = f"{job}-{datetime.now():%Y-%m-%d-%H%M%S}"
    path, number = folder / f"{name}.jsonl", 1
    while path.exists():
        number += 1
        path = folder / f"{name}-{number}.jsonl"
    return path


def handed_back(entries: list[RecordEntry]) -> bool:
    """Whether the keys were handed back."""
    return any(entry.kind == "action" and entry.data["verb"] == "handback" for entry in entries)


def put_away(entries: list[RecordEntry]) -> bool:
    """Whether the job was given up."""
    return any(entry.kind == "put-away" for entry in entries)


@dataclass(frozen=True, slots=True)
class Kept:
    """A record in the folder. path; entries, of an unreadable record only what is known of its first line; grade: its
    marks from this machine, None if it was not marked; error: why it cannot be read, else None.
    """

    path: Path
    entries: list[RecordEntry]
    grade: dict[str, Any] | None = None
    error: DataError | None = None

    @property
    def job(self) -> str:
        """Id of its job."""
        return str(self.entries[0].data["job"])

    @property
    def given_up(self) -> bool:
        """Whether it was given up and does not count."""
        return put_away(self.entries)

    @property
    def open(self) -> bool:
        """Whether the job is unfinished."""
        return not handed_back(self.entries) and not self.given_up

    @property
    def mode(self) -> Mode:
        """Its mode."""
        first = self.entries[0].data
        return Mode.of_record(first) if self.error is None else Mode(str(first["mode"]))

    @property
    def sealed(self) -> bool:
        """Whether it may be an exam that is not handed in; an unreadable record counts as one."""
        return self.open and self.mode.exam

    @property
    def passed(self) -> bool:
        """Whether it was marked and passed."""
        return (self.grade or {}).get("passed") is True

    @property
    def total(self) -> float:
        """Total of its grade, 0..100; 0 if there is none."""
        total = (self.grade or {}).get("total")
        return min(max(float(total), 0.0), 100.0) if isinstance(total, int | float) and total == total else 0.0

    @property
    def day(self) -> str:
        """The day in its name, otherwise the day it was last written."""
        named = _NAMED.fullmatch(self.path.stem)
        try:
            return named[2] if named else f"{datetime.fromtimestamp(self.path.stat().st_mtime):%Y-%m-%d}"
        except OSError:  # it was removed meanwhile
            return ""


def kept_records() -> list[Kept]:
    """All records of the folder and open exams elsewhere, newest first. Other files are ignored."""
    folder, found = records_folder(), []
    inside = [(path, "") for path in folder.glob("*.jsonl")] if folder.is_dir() else []
    for path, job in (*inside, *noted_exams()):
        with suppress(OSError):
            kept = _kept(path, job)
            if kept is None:
                continue
            if path.parent == folder or kept.open:
                found.append((path.stat().st_mtime_ns, path.name, kept))
            else:
                forget_exam(path)
    return [kept for _, _, kept in sorted(found, key=lambda item: item[:2], reverse=True)]


def _kept(path: Path, job: str) -> Kept | None:
    """The record in a file, None if its job is unknown; job: id of its job if known from elsewhere."""
    whole = b""
    try:
        whole = read_bytes(path)
        return Kept(path, parse_record(whole, path), marks_of(whole))
    except DataError as error:
        first = _first_line(whole)
        named = _NAMED.fullmatch(path.stem)
        name = first.get("job") or job or (named[1] if named else "")
        if not isinstance(name, str) or not name:
            return None
        free = first.get("kind") == "job" and first.get("mode") != EXAM
        return Kept(path, [RecordEntry("job", {"n": 0, "job": name, "mode": FREE if free else EXAM})], None, error)


def _first_line(whole: bytes) -> dict[str, Any]:
    """Data of the first line of an unreadable record, empty if that is unreadable too."""
    try:
        data = json.loads(whole.split(b"\n", 1)[0])
    except (ValueError, RecursionError):
        return {}
    return data if isinstance(data, dict) else {}


def sealed_jobs(kept: list[Kept]) -> frozenset[str]:
    """Ids of jobs whose faults must stay hidden, as an exam of them is, or may be, not handed in."""
    return frozenset(record.job for record in kept if record.sealed)


def newest_open(job: str) -> Kept | None:
    """The newest record of a job that is still open."""
    return next((kept for kept in kept_records() if kept.job == job and kept.open), None)
