"""Where the records of open exams lie that are not in the records folder: a note each, in the user's data folder.

Without it an exam begun with ``--record`` would be known to nobody, and its job could be looked up meanwhile. A note
holds the record's path and, on a second line, its job.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import platformdirs


class Noted(NamedTuple):
    """The record of an exam, and its job's id, empty where an old note does not tell."""

    record: Path
    job: str


def _folder() -> Path:
    return platformdirs.user_data_path("lukewarm", appauthor=False) / "exams-elsewhere"


def _note(record: Path) -> Path:
    import hashlib  # late: the board does not wait for it

    return _folder() / hashlib.blake2b(str(record).encode(), digest_size=12).hexdigest()


def note_exam(record: Path, job: str) -> None:
    """Note where an exam's record lies. Raises OSError."""
    record = record.absolute()
    _folder().mkdir(parents=True, exist_ok=True)
    _note(record).write_text(f"{record}\n{job}\n", encoding="utf-8", newline="\n")


def noted_exams() -> list[Noted]:
    """Records that were noted; a note whose record is gone is thrown away."""
    found: list[Noted] = []
    for note in sorted(_folder().iterdir()) if _folder().is_dir() else ():
        with suppress(OSError, ValueError):
            lines = note.read_text(encoding="utf-8").split("\n")
            record = Path(lines[0])
            if record.is_file():
                found.append(Noted(record, lines[1] if len(lines) > 1 else ""))
            elif note == _note(record):  # a file of somebody else's is left alone
                note.unlink(missing_ok=True)
    return found


def forget_exam(record: Path) -> None:
    """Throw a note away: the exam is handed in."""
    with suppress(OSError):  # as where it was never noted
        _note(record).unlink()
