"""The record of a job: one JSON object a line, written as things happen, read back without trust."""

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
"""Version of the record's layout."""
MOST_BYTES = 64 * 2**20
"""Size of a record's file."""
MOST_LINES = 50_000


@dataclass(frozen=True, slots=True)
class Entry:
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


def open_drafts(entries: list[Entry]) -> dict[str, str]:
    """What was typed and not written down since: what each text is to become, to the text as far as it was typed."""
    found: dict[str, str] = {}
    for entry in entries:
        if entry.kind == "draft":
            found[str(entry.data["what"])] = str(entry.data["text"])
        elif entry.kind == "action" and entry.data["verb"] == "note" and len(entry.action.arguments) == 2:
            found.pop(entry.action.text(0), None)
    return {what: text for what, text in found.items() if text.strip()}


def line_of(entry: Entry) -> str:
    """An entry as its line, with the newline."""
    data = {"n": entry.data["n"], "kind": entry.kind, **entry.data}
    return json.dumps(data, ensure_ascii=False, allow_nan=False) + "\n"


def as_bytes(entries: list[Entry]) -> bytes:
    """Entries as the file that a recorder would write."""
    return "".join(map(line_of, entries)).encode()


class Recorder:
    """Appends entries to a file that is locked meanwhile. Only what the file has taken is among ``entries``."""

    def __init__(self, path: Path | None, new: bool = True, ask: bool = False) -> None:
        """path: the file, its folder made if need be; None keeps entries in memory only.

        new: whether the file must not exist yet; ask: whether another process that has it open is asked to let go.
        Raises OSError, FileExistsError among them, HeldElsewhere, and WrongUse where files cannot be locked.
        """
        self.path = path
        self.entries: list[Entry] = []
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
        """Append one entry. Raises OSError where the file does not take it.

        synced: whether it must be on the disk before this returns; else it goes there with the next one that must.
        """
        entry = Entry(kind, {"n": len(self.entries), **data})
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
        """Let go of the file and its lock. Raises OSError where what was written last does not reach the disk."""
        stream, self._stream = self._stream, None
        try:
            if stream is not None:
                stream.close()
        finally:
            if self.lock is not None:
                self.lock.release()


def read_record(path: Path) -> list[Entry]:
    """Entries of a record file, whatever its format. Raises DataError with file, line and column."""
    return parse_record(read_bytes(path), path)


def read_bytes(path: Path) -> bytes:
    """A record's file as it is. Raises DataError."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise DataError(str(path), 1, 1, _("the file is too large"), _("a record written by lukewarm"))
        return path.read_bytes()
    except OSError as error:
        wrong = say("the file cannot be read ({reason})", reason=error.strerror)
        raise DataError(str(path), 1, 1, wrong, _("a record's path")) from error


def parse_record(whole: bytes, path: Path) -> list[Entry]:
    """Entries of a record's bytes; path: for errors. Raises DataError.

    A last line that was never finished, because the program was killed while it wrote, is left out.
    """
    lines = whole.split(b"\n")
    if len(lines) > MOST_LINES:
        raise DataError(str(path), MOST_LINES, 1, _("the record has too many lines"), _("a record by lukewarm"))
    if not _is_json(lines[-1]):
        lines.pop()
    entries: list[Entry] = []
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


def _entry(line: bytes, place: Place, n: int, old: bool) -> tuple[Entry | None, bool]:
    """The n-th entry from its line, and whether the record is of format 1; old: what was known of that before.

    None for a line of format 1 that holds nothing of the session.
    """
    from grading.sessions import format1, line_format  # late: the board does not wait for what checks a line

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
        return Entry(kind, entry), old
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


def make_whole(path: Path, entries: list[Entry]) -> None:
    """Bring a file that breaks off within a line, or is of an old format, to whole lines of this format.

    It is written beside and put in place at once, so that nothing that can be read is lost. Raises OSError.
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


def cautions_given(entries: list[Entry]) -> set[str]:
    """Ids of the cautions that were asked so far, heeded or skipped."""
    notes = (entry.action for entry in entries if entry.kind == "action" and entry.data["verb"] == "note")
    return {note.text(1) for note in notes if note.arguments[:1] == ("caution",)}
