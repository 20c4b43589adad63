"""Where records live, what they are called, and which jobs were begun or handed back."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import platformdirs

from grading.sessions.exam_seals import forget_exam, noted_exams
from grading.sessions.modes import Mode
from grading.sessions.record import Entry, read_record
from scenarios.files.data_error import DataError


def records_folder() -> Path:
    """The folder of records, in the user's data folder as the operating system has it."""
    return platformdirs.user_data_path("lukewarm", appauthor=False) / "records"


def new_record_path(job: str) -> Path:
    """A path that is not taken, named by job, date and time of day."""
    folder = records_folder()
    name = f"{job}-{datetime.now():%Y-%m-%d-%H%M%S}"
    path, number = folder / f"{name}.jsonl", 1
    while path.exists():
        number += 1
        path = folder / f"{name}-{number}.jsonl"
    return path


def handed_back(entries: list[Entry]) -> bool:
    """Whether the keys were handed back."""
    return any(entry.kind == "action" and entry.data["verb"] == "handback" for entry in entries)


def mend(path: Path) -> None:
    """Cut off a last line that was never finished, so that the record can go on."""
    whole = path.read_bytes()
    if whole and not whole.endswith(b"\n"):
        path.write_bytes(whole[: whole.rfind(b"\n") + 1])


@dataclass(frozen=True, slots=True)
class Kept:
    """A record in the folder: path; entries."""

    path: Path
    entries: list[Entry]

    @property
    def job(self) -> str:
        """Id of its job."""
        return str(self.entries[0].data["job"])

    @property
    def open(self) -> bool:
        """Whether the job still waits for its keys to be handed back."""
        return not handed_back(self.entries)

    @property
    def mode(self) -> Mode:
        """How it is sat."""
        return Mode.of_record(self.entries[0].data)

    @property
    def grade(self) -> dict | None:
        """The grade entry, None where there is none."""
        return next((entry.data for entry in reversed(self.entries) if entry.kind == "grade"), None)

    @property
    def passed(self) -> bool:
        """Whether it was marked and passed."""
        return bool((self.grade or {}).get("passed"))

    @property
    def total(self) -> float:
        """Marks of its grade, 0..100; 0 where the record does not tell."""
        total = (self.grade or {}).get("total")
        return min(max(float(total), 0.0), 100.0) if isinstance(total, int | float) and total == total else 0.0

    @property
    def day(self) -> str:
        """The day it was begun, as its name has it, or else the day it was last written."""
        named = re.search(r"(\d{4}-\d\d-\d\d)-\d{6}(-\d+)?$", self.path.stem)
        try:
            return named[1] if named else f"{datetime.fromtimestamp(self.path.stat().st_mtime):%Y-%m-%d}"
        except OSError:  # it is gone meanwhile
            return ""


def kept_records() -> list[Kept]:
    """Every readable record of the folder, and exams that are open elsewhere, newest first."""
    folder, found = records_folder(), []
    inside = list(folder.glob("*.jsonl")) if folder.is_dir() else []
    for path in (*inside, *noted_exams()):
        try:
            kept = Kept(path, read_record(path))
            if path.parent == folder or kept.open:
                found.append((path.stat().st_mtime_ns, path.name, kept))
            else:
                forget_exam(path)
        except (DataError, OSError):
            continue
    return [kept for _, _, kept in sorted(found, key=lambda item: item[:2], reverse=True)]


def sealed_jobs(kept: list[Kept]) -> frozenset[str]:
    """Jobs of which nothing may be told: an exam of theirs is not handed in."""
    return frozenset(record.job for record in kept if record.open and record.mode.exam)


def newest_open(job: str) -> Kept | None:
    """The newest record of a job whose keys were not handed back."""
    return next((kept for kept in kept_records() if kept.job == job and kept.open), None)
