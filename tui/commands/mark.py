"""``lukewarm mark``: records verified and marked, one row each."""

from __future__ import annotations

import argparse
import io
import os
import shutil
import sys
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scenarios.files.data_error import quoted
from scenarios.language import N_, _, plural, say
from scenarios.wrong_use import WrongUse
from tui.commands.processes.cluster import add_cluster
from tui.commands.rubric_file import add_rubric, read_rubric
from tui.presentation.process.console import DONE, NEGATIVE, complain

if TYPE_CHECKING:
    from grading.report.marked import Marked, Marker, Opened

MOST_PROCESSES = 64

_EXAMPLE = N_("""\
Each record is done again by the same physics, and the marks rest on what that gives. A record that this version of the
program made and that differs from its replay is not sound: it gets no marks, and the line is named. One made by another
version cannot be held against a replay; it is marked, and named as such. A job that is not handed back is verified
and gets no marks. While an exam of a job is open on this machine, no record of that job is looked into.

Exit status: 0 all records are sound or of another version, 1 at least one is not or could not be verified, 2 wrong use.

example:
  lukewarm mark exam/
  lukewarm mark exam/ --rubric ours.yaml --format csv --output marks.csv
  lukewarm mark exam/anna.jsonl --explain
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "mark",
        help=_("verify and mark records, one row each"),
        description=_(
            "Verify and mark records, one row each: candidate, job, verdict, marks, and whether it is sound."
        ),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument(
        "records", nargs="+", metavar=_("FILE|FOLDER"), help=_("records, or folders of records (*.jsonl)")
    )
    add_rubric(parser)
    parser.add_argument(
        "--format",
        choices=("table", "csv", "json"),
        default="table",
        help=_("a table to read, comma-separated values (UTF-8) for a spreadsheet, or a list of objects"),
    )
    parser.add_argument(
        "--explain", action="store_true", help=_("explain each grade in ten lines at most: what it rests on")
    )
    parser.add_argument("--output", type=Path, metavar=_("FILE"), help=_("write there instead of on standard output"))
    parser.add_argument(
        "--processes",
        type=int,
        metavar="N",
        help=_("how many records are marked at a time; as many as the machine has processors unless given"),
    )
    add_cluster(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Mark the records and print the rows in the order in which they were named."""
    processes = min(os.cpu_count() or 1, MOST_PROCESSES) if arguments.processes is None else arguments.processes
    if not 1 <= processes <= MOST_PROCESSES:
        raise WrongUse(say("{number} processes, expected 1 to {most}", number=processes, most=MOST_PROCESSES))
    output: Path | None = arguments.output
    if output is not None and (output.is_dir() or not output.parent.is_dir()):  # known before hours of work
        raise WrongUse(
            say("{file} cannot be written, expected a file in a folder that exists", file=quoted(str(output)))
        )
    rubric = read_rubric(arguments)

    from tui.commands.record_files import record_files

    files = record_files(arguments.records)
    complain(plural(len(files), "lukewarm: one record", "lukewarm: {n} records"))

    from grading.report.marked import Marker
    from grading.sessions.records import kept_records, sealed_jobs
    from scenarios.files.own_folders import catalogue_in_use

    marker = Marker(catalogue_in_use(), rubric, arguments.explain)
    sealed = sealed_jobs(kept_records())
    rows = _marked(marker, [marker.open(path, sealed) for path in files], processes, arguments.cluster)
    _put(_told(rows, arguments), output, "" if arguments.format == "csv" else None)
    return DONE if all(row.in_order for row in rows) else NEGATIVE


def _marked(marker: Marker, records: Sequence[Opened | Marked], processes: int, cluster: str | None) -> list[Marked]:
    """Every record marked, in order; those that could not be opened as they are."""
    from grading.report.marked import Marked, Opened
    from tui.commands.processes.marking import mark_all
    from tui.presentation.progress_bar import with_bar

    rows = {k: record for k, record in enumerate(records) if isinstance(record, Marked)}
    opened = {k: record for k, record in enumerate(records) if isinstance(record, Opened)}
    places = list(opened)
    with closing(mark_all(marker, list(opened.values()), processes, cluster)) as results:
        for index, row in with_bar(results, len(opened), _("Marking")):
            rows[places[index]] = row
    return [rows[k] for k in range(len(records))]


def _told(rows: Sequence[Marked], arguments: argparse.Namespace) -> str:
    from tui.presentation.marking.mark_forms import as_csv, as_json, as_table, explained

    if arguments.format == "json":
        return as_json(rows, arguments.explain)
    if arguments.format == "csv":
        return as_csv(rows, arguments.explain)
    seen = arguments.output is None and sys.stdout.isatty()
    told = as_table(rows, shutil.get_terminal_size().columns if seen else None)
    if arguments.explain:
        told += "".join("\n" + "".join(f"{line}\n" for line in explained(row)) for row in rows)
    return told


def _put(text: str, output: Path | None, newline: str | None) -> None:
    """Write a text to a file, or to standard output; newline: as of ``open``, CSV has line ends of its own."""
    if output is not None:
        output.write_text(text, encoding="utf-8", newline="\n" if newline is None else newline)
        return
    if newline is not None and isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(newline=newline)
    sys.stdout.write(text)
    sys.stdout.flush()
