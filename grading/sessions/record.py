"""The record of a session: one JSON object a line, written after each action, and validated when read."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO

from grading.sessions.message_data import from_data
from grading.sessions.record_lock import RecordLock
from scenarios.actions import Action
from scenarios.files.data_error import DataError, Place
from scenarios.language import _, say

FORMAT = 2
"""Version of the record format."""
MOST_BYTES = 64 * 2**20
"""Largest size of a record."""
MOST_LINES = 50_000


@dataclass(frozen=True, slots=True)
class RecordEntry:
    """One line of a record. kind: ``job`` (the first), ``action``, ``draft``, ``prediction``,
    ``put-away``, ``end``; data: the rest.
    """

    kind: str
    data: dict[str, Any]

    @property
    def action(self) -> Action:
        """The action of an ``action`` entry."""
        message = self.data.get("message")
        arguments = tuple(self.data.get("arguments", ()))
        return Action(str(self.data["verb"]), arguments, None if message is None else from_data(message))

    @property
    def steps(self) -> list[int]:
        """Display steps of the readings, in order."""
        return [int(reading["step"]) for reading in self.data.get("readings", ())]

    @property
    def noticed(self) -> list[tuple[str, int]]:
        """Label and step of what was noticed without a reading."""
        return [(str(seen["label"]), int(seen["step"])) for seen in self.data.get("noticed", ())]


def open_drafts(entries: list[RecordEntry]) -> dict[str, str]:
    """Drafts that were not completed since: note to unfinished text."""
    found: dict[str, str] = {}
    for entry in entries:
        if entry.kind == "draft":
            found[str(entry.data["what"])] = str(entry.data["text"])
        elif entry.kind == "action" and entry.data["verb"] == "note" and len(entry.action.arguments) == 2:
            found.pop(entry.action.text(0), None)
    return {what: text for what, text in found.items() if text.strip()}


def line_of(entry: RecordEntry) -> str:
    """An entry as its line, with the newline."""
    data = {"n": entry.data["n"], "kind": entry.kind, **entry.data}
    return json.dumps(data, ensure_ascii=False, allow_nan=False) + "\n"


def as_bytes(entries: list[RecordEntry]) -> bytes:
    """Entries as the file that a recorder would write."""
    return "".join(map(line_of, entries)).encode()


class Recorder:
    """Appends entries to a locked file. ``entries`` holds only what was written successfully."""

    def __init__(self, path: Path | None, new: bool = True, ask: bool = False) -> None:
        """path: the file, in a folder that is created if missing; None keeps entries in memory only.

        new: whether the file must not exist yet; ask: whether another process that has it open is asked to release it.
        Raises OSError (FileExistsError among others), HeldElsewhere, and WrongUse if files cannot be locked.
        """
        self.path = path
        self.entries: list[RecordEntry] = []
        self.lock: RecordLock | None = None
        self._stream: TextIO | None = None
        if path is None:
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        self.lock = RecordLock(path)
        self.lock.take(ask)
        if new:
            try:
                self._stream = path.open("x", encoding="utf-8", newline="\n")
            except OSError:
                self.lock.release()
                raise

    def write(self, kind: str, synced: bool = True, **data: Any) -> None:
        """Append one entry. Raises OSError if it cannot be written.

        synced: whether it must be on disk before this returns; otherwise it is synced with the next such entry.
        """
        entry = RecordEntry(kind, {"n": len(self.entries), **data})
        if self.path is not None:
            if self.lock is None or not self.lock.held:
                raise OSError(_("the record is closed"))
            if self._stream is None:
                self._stream = self.path.open("a", encoding="utf-8", newline="\n")
            self._stream.write(line_of(entry))
            self._stream.flush()
            if synced:
                os.fsync(self._stream.fileno())
        self.entries.append(entry)

    def close(self) -> None:
        """Close the file and release its lock. Raises OSError if the last entries do not reach the disk."""
        stream, self._stream = self._stream, None
        try:
            if stream is not None:
                stream.close()
        finally:
            if self.lock is not None:
                self.lock.release()


def read_record(path: Path) -> list[RecordEntry]:
    """Entries of a record file of any format. Raises DataError with file, line and column."""
    return parse_record(read_bytes(path), path)


def read_bytes(path: Path) -> bytes:
    """Content of a record file. Raises DataError."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise DataError(str(path), 1, 1, _("the file is too large"), _("a record written by lukewarm"))
        return path.read_bytes()
    except OSError as error:
        wrong = say("the file cannot be read ({reason})", reason=error.strerror)
        raise DataError(str(path), 1, 1, wrong, _("a record's path")) from error


def parse_record(whole: bytes, path: Path) -> list[RecordEntry]:
    """Entries of a record's bytes; path: for errors. Raises DataError.

    An incomplete last line, left by a program that was killed while writing, is ignored.
    """
    lines = whole.split(b"\n")
    if len(lines) > MOST_LINES:
        raise DataError(str(path), MOST_LINES, 1, _("the record has too many lines"), _("a record by lukewarm"))
    if not _is_json(lines[-1]):
        lines.pop()
    entries: list[RecordEntry] = []
    old = False
    for number, line in enumerate(lines, 1):
        if line.strip():
            found, old = _entry(line, Place(str(path), number, 1), len(entries), old)
            entries += [] if found is None else [found]
    if not entries:
        raise DataError(str(path), 1, 1, _("this is not a job's record"), _("a first line of kind 'job'"))
    return entries


def _is_json(line: bytes) -> bool:
    try:
        json.loads(line)
    except (ValueError, RecursionError):
        return False
    return True


def _entry(line: bytes, place: Place, n: int, old: bool) -> tuple[RecordEntry | None, bool]:
    """The n-th entry from its line, and whether the record has format 1; old: the same for the lines before.

    None for a line of format 1 that is not part of the session.
    """
    from grading.sessions import format1, line_format  # imported late: the first screen does not need it

    try:
        data: dict[str, Any] | None = line_format.parse(line.decode("utf-8"))
        old = old or (n == 0 and format1.is_first(data))
        data = format1.converted(data, n) if old else data
        if data is None:
            return None, old
        entry = line_format.checked(data, n)
        kind = str(entry.pop("kind"))
        if (kind == "job") != (n == 0):
            raise ValueError(_("a line of kind 'job' stands first and nowhere else"))
        return RecordEntry(kind, entry), old
    except json.JSONDecodeError as error:
        raise place._replace(column=error.colno).error(
            _("this line is no JSON"), _("one JSON object a line")
        ) from error
    except UnicodeDecodeError as error:
        column = error.start + 1
        raise place._replace(column=column).error(_("the file is not UTF-8"), _("a record by lukewarm")) from error
    except ValueError as error:
        wrong = say("this entry is wrong ({reason})", reason=error)
        raise place.error(wrong, _("a line as lukewarm writes it")) from error


def make_whole(path: Path, entries: list[RecordEntry]) -> None:
    """Rewrite a file with an incomplete last line or an old format in the present format.

    The file is replaced atomically, so that nothing readable is lost. Raises OSError.
    """
    whole = as_bytes(entries)
    if path.read_bytes() == whole:
        return
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    with beside.open("wb") as file:
        file.write(whole)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)


def cautions_given(entries: list[RecordEntry]) -> set[str]:
    """Ids of the cautions that were asked so far, heeded or skipped."""
    notes = (entry.action for entry in entries if entry.kind == "action" and entry.data["verb"] == "note")
    return {note.text(1) for note in notes if note.arguments[:1] == ("caution",)}
