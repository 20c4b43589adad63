"""Reads the log of a real drive strictly from a file of comma-separated values."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np

from scenarios.files.data_error import DataError, Problems, quoted
from scenarios.language import _, say
from sim.drive import FASTEST_KMH, FASTEST_RPM, LONGEST_S, DriveLog

RANGES: dict[str, tuple[float, float]] = {
    "time_s": (0.0, LONGEST_S),
    "rpm": (0.0, FASTEST_RPM),
    "speed_kmh": (0.0, FASTEST_KMH),
    "ambient_C": (-60.0, 60.0),
    "coolant_C": (-60.0, 150.0),
}
"""Columns that are read, with their limits; others are ignored."""
OPTIONAL = frozenset({"coolant_C"})
MOST_ROWS = 200_000
MOST_BYTES = 50_000_000


def load_drive_log(path: Path) -> DriveLog:
    """The log in a file: a header with at least time_s, rpm, speed_kmh, ambient_C, in any order, and two rows or more.

    Time must increase from row to row and is counted from the first. Columns not in ``RANGES`` are ignored. Raises
    DataError, or DataErrors.
    """
    file = str(path)
    try:
        if path.stat().st_size > MOST_BYTES:
            raise DataError(
                file, 1, 1, _("a file that is too large"), say("at most {size} MB", size=MOST_BYTES // 1_000_000)
            )
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise DataError(
            file, 1, 1, error.strerror or _("the file cannot be read"), _("a file that can be read")
        ) from None
    except UnicodeDecodeError:
        raise DataError(file, 1, 1, _("bytes that are no UTF-8"), _("text in UTF-8")) from None
    return _Reader(file, text).read()


class _Reader:
    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.lines = text.splitlines()
        self.problems = Problems()

    def error(self, line: int, column: int, problem: str, expected: str) -> DataError:
        return DataError(self.file, line, column, problem, expected)

    def read(self) -> DriveLog:
        header = self._fields(0) if self.lines else []
        where = self._columns(header)
        values: dict[str, list[float]] = {name: [] for name in where}
        number = 0
        for number in range(1, len(self.lines)):
            if not self.lines[number].strip():
                continue
            with self.problems:
                self._row(number, len(header), where, values)
            if len(values["time_s"]) > MOST_ROWS:
                raise self.error(
                    number + 1, 1, say("more than {number} rows", number=MOST_ROWS), _("fewer; thin the log")
                )
        self.problems.finish()
        if len(values["time_s"]) < 2:
            raise self.error(number + 1, 1, _("the file ends"), _("two rows or more below the header"))
        arrays = {name: np.array(column) for name, column in values.items()}
        arrays["time_s"] -= arrays["time_s"][0]
        return DriveLog(**arrays)

    def _fields(self, number: int) -> list[tuple[int, str]]:
        """Fields of a line, each with its column, counted from 1."""
        line = self.lines[number]
        if '"' in line:
            raise self.error(
                number + 1, line.index('"') + 1, _("a quotation mark"), _("plain numbers with commas between")
            )
        column, fields = 1, []
        for field in next(csv.reader([line]), []):
            lead = len(field) - len(field.lstrip())
            fields.append((column + lead, field.strip()))
            column += len(field) + 1
        return fields

    def _columns(self, header: list[tuple[int, str]]) -> dict[str, int]:
        names = [name for _column, name in header]
        where: dict[str, int] = {}
        for index, (column, name) in enumerate(header):
            if name in where:
                raise self.error(1, column, say("the column {name} again", name=quoted(name)), _("each column once"))
            if name in RANGES:
                where[name] = index
        missing = [name for name in RANGES if name not in names and name not in OPTIONAL]
        if missing:
            needed = ",".join(name for name in RANGES if name not in OPTIONAL)
            raise self.error(
                1, 1, say("no column {name}", name=quoted(missing[0])), say("a header with {names}", names=needed)
            )
        return where

    def _row(self, number: int, width: int, where: dict[str, int], values: dict[str, list[float]]) -> None:
        fields = self._fields(number)
        if len(fields) != width:
            at = fields[-1][0] if fields else 1
            raise self.error(
                number + 1,
                at,
                say("{number} fields", number=len(fields)),
                say("{number}, as the header has", number=width),
            )
        row = {}
        for name, index in where.items():
            column, text = fields[index]
            low, high = RANGES[name]
            try:
                value = float(text) if "_" not in text else math.nan
            except ValueError:
                value = math.nan
            if not low <= value <= high:
                what = quoted(text) if math.isnan(value) else f"{name} {text}"
                raise self.error(number + 1, column, what, say("a number from {low:g} to {high:g}", low=low, high=high))
            row[name] = value
        if values["time_s"] and row["time_s"] <= values["time_s"][-1]:
            column = fields[where["time_s"]][0]
            wrong = say("time_s {now} after {before}", now=f"{row['time_s']:g}", before=f"{values['time_s'][-1]:g}")
            raise self.error(number + 1, column, wrong, _("a time that rises from row to row"))
        for name, value in row.items():
            values[name].append(value)
