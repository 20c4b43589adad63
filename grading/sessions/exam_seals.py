"""Notes in the user's data folder of open exams whose records are elsewhere.

Without them an exam started with ``--record`` would not be found, and the faults of its job would not be hidden. A note
holds the record's path and, on a second line, its job.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import platformdirs


class Noted(NamedTuple):
    """The record of an exam, and its job's id, empty in old notes."""

    record: Path
    job: str


def _folder() -> Path:
    return platformdirs.user_data_path("lukewarm", appauthor=False) / "exams-elsewhere"


def _note(record: Path) -> Path:
    import hashlib  # imported late: the first screen does not need it

    return _folder() / hashlib.blake2b(str(record).encode(), digest_size=12).hexdigest()


def note_exam(record: Path, job: str) -> None:
    """Note the path of an exam's record. Raises OSError."""
    record = record.absolute()
    _folder().mkdir(parents=True, exist_ok=True)
    _note(record).write_text(f"{record}\n{job}\n", encoding="utf-8", newline="\n")


def noted_exams() -> list[Noted]:
    """Noted records; a note whose record no longer exists is removed."""
    found: list[Noted] = []
    for note in sorted(_folder().iterdir()) if _folder().is_dir() else ():
        with suppress(OSError, ValueError):
            lines = note.read_text(encoding="utf-8").split("\n")
            record = Path(lines[0])
            if record.is_file():
                found.append(Noted(record, lines[1] if len(lines) > 1 else ""))
            elif note == _note(record):  # other files are left alone
                note.unlink(missing_ok=True)
    return found


def forget_exam(record: Path) -> None:
    """Remove the note of an exam that was handed in."""
    with suppress(OSError):  # it may never have been noted
        _note(record).unlink()
