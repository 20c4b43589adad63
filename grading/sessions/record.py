"""The record of a job: one JSON object a line, written as things happen, read back without trust."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from grading.sessions.modes import Mode
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.language import _, say

FORMAT = 1
"""Version of the record's layout."""
LONGEST_LINE = 100_000


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a record: kind is ``job`` (the first), ``action`` or ``grade``; data: the object itself."""

    kind: str
    data: dict[str, Any]

    @property
    def action(self) -> Action:
        """The action of an ``action`` entry."""
        return Action(str(self.data["verb"]), tuple(self.data.get("arguments", ())))

    @property
    def steps(self) -> list[int]:
        """Display steps of the readings, in order."""
        return [int(reading["step"]) for reading in self.data.get("readings", ())]

    @property
    def noticed(self) -> list[tuple[str, int]]:
        """Label and step of what was noticed without a reading."""
        return [(str(seen["label"]), int(seen["step"])) for seen in self.data.get("noticed", ())]


class Recorder:
    """Appends entries to a file, each flushed at once, so that nothing is lost when the program is."""

    def __init__(self, path: Path | None) -> None:
        """path: the file, its folder made if need be; None keeps entries in memory only."""
        self.path = path
        self.entries: list[Entry] = []
        self._stream = None
        if path is not None:
            path.parent.mkdir(parents=True, exist_ok=True)

    def write(self, kind: str, **data: Any) -> None:
        """Append one entry."""
        self.entries.append(Entry(kind, data))
        if self.path is not None:
            if self._stream is None:
                self._stream = self.path.open("a", encoding="utf-8", newline="\n")
            line = json.dumps({"kind": kind, **data}, ensure_ascii=False, sort_keys=True, allow_nan=False)
            self._stream.write(line + "\n")
            self._stream.flush()

    def close(self) -> None:
        """Let go of the file."""
        if self._stream is not None:
            self._stream.close()
            self._stream = None


def read_record(path: Path) -> list[Entry]:
    """Entries of a record file. Raises DataError with file, line and column."""
    entries = list(_parse(path))
    if not entries or entries[0].kind != "job":
        raise DataError(str(path), 1, 1, _("this is not a job's record"), _("a first line of kind 'job'"))
    return entries


def _parse(path: Path) -> Iterator[Entry]:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except UnicodeDecodeError as error:
        raise DataError(str(path), 1, 1, _("the file is not UTF-8"), _("a record written by lukewarm")) from error
    except OSError as error:
        wrong = say("the file cannot be read ({reason})", reason=error.strerror)
        raise DataError(str(path), 1, 1, wrong, _("a record's path")) from error
    for number, line in enumerate(lines, 1):
        if not line.strip():
            continue
        try:
            if len(line) > LONGEST_LINE:
                raise ValueError(_("line too long"))
            data = json.loads(line)
            kind = data.pop("kind")
            entry = Entry(kind, data)
            if kind == "action":
                _check_action(data)
            elif kind == "job":
                _check_job(data)
            elif kind not in ("grade", "end"):
                raise ValueError(say("unknown kind {name}", name=repr(kind)))
        except json.JSONDecodeError as error:
            if number == len(lines):  # the program was killed while it wrote: what came before stands
                return
            raise DataError(
                str(path), number, error.colno, _("this line is no JSON"), _("one JSON object a line")
            ) from error
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
            raise DataError(
                str(path),
                number,
                1,
                say("this entry is wrong ({reason})", reason=error),
                _("a line as lukewarm writes it"),
            ) from error
        yield entry


def _check_action(data: dict[str, Any]) -> None:
    if not isinstance(data["verb"], str) or not isinstance(data["arguments"], list):
        raise ValueError(_("verb must be text and arguments a list"))
    if not all(isinstance(a, str | int | float) and not isinstance(a, bool) for a in data["arguments"]):
        raise ValueError(_("arguments must be texts and numbers"))
    for reading in (*data.get("readings", ()), *data.get("noticed", ())):
        if not isinstance(reading["step"], int) or isinstance(reading["step"], bool):
            raise ValueError(_("a reading's step must be a whole number"))


def _check_job(data: dict[str, Any]) -> None:
    if data["format"] != FORMAT:
        raise ValueError(say("format {given}, this version reads {known}", given=repr(data["format"]), known=FORMAT))
    if not isinstance(data["job"], str) or not isinstance(data["seed"], int):
        raise ValueError(_("job must be text and seed a whole number"))
    Mode.of_record(data)
