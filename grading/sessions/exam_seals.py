"""Where the records of open exams lie that are not in the records folder: a note each, in the user's data folder.

Without it an exam begun with ``--record`` would be known to nobody, and its job could be looked up meanwhile.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import platformdirs


def _folder() -> Path:
    return platformdirs.user_data_path("lukewarm", appauthor=False) / "exams-elsewhere"


def _note(record: Path) -> Path:
    import hashlib  # late: the board does not wait for it

    return _folder() / hashlib.blake2b(str(record).encode(), digest_size=12).hexdigest()


def note_exam(record: Path) -> None:
    """Note where an exam's record lies. Raises OSError."""
    record = record.absolute()
    _folder().mkdir(parents=True, exist_ok=True)
    _note(record).write_text(str(record), encoding="utf-8", newline="\n")


def noted_exams() -> list[Path]:
    """Records that were noted; a note whose record is gone is thrown away."""
    found: list[Path] = []
    for note in sorted(_folder().iterdir()) if _folder().is_dir() else ():
        with suppress(OSError, ValueError):
            record = Path(note.read_text(encoding="utf-8"))
            if record.is_file():
                found.append(record)
            elif note == _note(record):  # a file of somebody else's is left alone
                note.unlink(missing_ok=True)
    return found


def forget_exam(record: Path) -> None:
    """Throw a note away: the exam is handed in."""
    with suppress(OSError):
        _note(record).unlink(missing_ok=True)
