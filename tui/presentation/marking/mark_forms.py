"""Marked records as a table, as CSV and as JSON."""

from __future__ import annotations

import csv
import json
from collections.abc import Sequence
from io import StringIO
from typing import Any

from grading.report.marked import Marked
from scenarios.language import _, plural, say
from scenarios.model import CRITERIA
from tui.presentation.clean import clean, clean_line

WIDE = 10_000
"""Characters a line where nothing needs to be wrapped."""
NARROW = 76
"""Characters a line below which a terminal has to break the lines itself."""
_FORMULA = ("=", "+", "-", "@")
"""What a spreadsheet takes for the beginning of a formula."""


def as_json(rows: Sequence[Marked], explains: bool) -> str:
    """A list of objects, whose keys are always the same."""
    return json.dumps([_data(row, explains) for row in rows], indent=1, allow_nan=False) + "\n"


def _data(row: Marked, explains: bool) -> dict[str, Any]:
    data = {
        "candidate": row.candidate,
        "file": row.file,
        "job": row.job,
        "seed": row.seed,
        "mode": row.mode,
        "verdict": row.verdict,
        "total": row.total,
        "criteria": {name: row.criteria.get(name) for name in CRITERIA},
        "critical": list(row.critical),
        "reasons": list(row.reasons),
        "hints": row.hints,
        "hint_marks": row.hint_marks,
        "record": row.state,
        "problem": row.why,
        "rubric": row.rubric,
    }
    return data | {"explanation": list(row.explanation)} if explains else data


def as_csv(rows: Sequence[Marked], explains: bool) -> str:
    """Comma-separated values after RFC 4180, a line a record after the names of the columns."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    heads = ("candidate", "file", "job", "seed", "mode", "verdict", "total", *CRITERIA)
    heads += ("critical", "hints", "hint_marks", "record", "problem", "rubric")
    writer.writerow([*heads, "explanation"] if explains else heads)
    for row in rows:
        cells: list[Any] = [row.candidate, row.file, row.job, row.seed, row.mode, row.verdict, row.total]
        cells += [row.criteria.get(name) for name in CRITERIA]
        cells += ["; ".join(row.critical), row.hints, row.hint_marks, row.state, row.why, row.rubric[:8]]
        if explains:
            cells.append("\n".join(map(clean_line, row.explanation)))
        writer.writerow(_harmless(cell) for cell in cells)
    return out.getvalue()


def _harmless(cell: Any) -> Any:
    """A text that no spreadsheet takes for a formula; anything else as it is.

    >>> _harmless("=1+1"), _harmless("anna"), _harmless(-3)
    ("'=1+1", 'anna', -3)
    """
    if not isinstance(cell, str):
        return cell
    text = "\n".join(clean_line(line) for line in cell.split("\n"))
    return f"'{text}" if text.lstrip().startswith(_FORMULA) else text


def as_table(rows: Sequence[Marked], width: int | None) -> str:
    """A table with notes under it; width: of the terminal [characters], None where lines may be of any length.

    What does not fit is wrapped; nothing is cut.
    """
    from rich import box
    from rich.console import Console
    from rich.table import Table

    table = Table(
        box=box.SIMPLE_HEAD if width else None, show_edge=False, pad_edge=False, padding=(0, 1 if width else 2, 0, 0)
    )
    short = [_(name)[:3].capitalize() for name in CRITERIA]
    cells = [_cells(row) for row in rows]
    for k, head in enumerate((_("Candidate"), _("Job"), _("Verdict"), _("Total"), *short, _("Record"))):
        figures = 3 <= k < 4 + len(CRITERIA)
        whole = [head, *(word for row in cells for word in row[k].split())] if k > 1 else []  # names may be broken
        table.add_column(
            head, overflow="fold", justify="right" if figures else "left", min_width=max(map(len, whole), default=0)
        )
    for row in cells:
        table.add_row(*map(_cell, row))
    out = StringIO()
    console = Console(
        file=out,
        width=max(width, NARROW) if width else WIDE,
        color_system=None,
        markup=False,
        emoji=False,
        highlight=False,
    )
    console.print(table)
    legend = "; ".join(f"{head}: {_(name)}" for head, name in zip(short, CRITERIA, strict=True))
    notes = [f"{legend}.", say("Rubric: {hash}.", hash=rows[0].rubric[:8])] if rows else []
    notes += [clean(f"{row.file}: {told}") for row in rows if (told := _note(row))]
    console.print()
    for note in notes:
        console.print(_cell(note), overflow="fold", soft_wrap=width is None)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


def _cells(row: Marked) -> list[str]:
    total = "-" if row.total is None else f"{row.total:.0f}"
    marks = [f"{row.criteria[name]:.0f}" if name in row.criteria else "-" for name in CRITERIA]
    job = ", ".join([row.job, str(row.seed), _(row.mode)]) if row.job else "-"
    return [row.candidate, job, _(row.verdict), total, *marks, _(row.state)]


def _cell(text: str) -> Any:
    from rich.text import Text

    return Text(clean(text))


def _note(row: Marked) -> str:
    """What does not fit into a table's row."""
    told = [_(row.state) + ": " + row.why] if row.why else []
    if row.critical:
        told.append(say("critical error: {what}", what="; ".join(row.critical)))
    if row.hints:
        told.append(plural(row.hints, "one hint", "{n} hints") + f" (-{row.hint_marks:g})")
    return "; ".join(told)


def explained(row: Marked) -> list[str]:
    """A line with a record and its verdict, followed by lines that explain it."""
    values = {"file": row.file, "candidate": row.candidate, "job": row.job, "seed": row.seed, "verdict": _(row.verdict)}
    if row.seed is None:
        head = say("{file}: {verdict}", **values)
    elif row.total is None:
        head = say("{file} ({candidate}), job {job}, seed {seed}: {verdict}", **values)
    else:
        head = say(
            "{file} ({candidate}), job {job}, seed {seed}: {verdict}, {total:.0f} of 100", total=row.total, **values
        )
    why = [f"    {_(row.state)}: {row.why}"] if row.why else []
    return [clean(head), *map(clean_line, why), *(clean_line(f"    {line}") for line in row.explanation)]
