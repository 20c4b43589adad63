"""``lukewarm author table [FOLDER...]``: every check against every fault, by simulation."""

from __future__ import annotations

import argparse
import csv
import io
import json
import sys
import textwrap
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scenarios.language import N_, _, say
from scenarios.wrong_use import WrongUse
from tui.presentation.clean import clean_line
from tui.presentation.process.console import DONE, complain

if TYPE_CHECKING:
    from grading.fairness.check_table import CheckTable

COLDEST, WARMEST = -30.0, 40.0
"""Ambient temperatures that can be asked for [degC]."""
WIDTH = 100
"""Characters in a line of text."""
FIGURES = ((N_("checks"), 10), (N_("detected"), 12), (N_("told from all"), 16), (N_("all but two"), 16))
CHECKS = ((N_("bits"), 6), (N_("minutes"), 9), (N_("faults"), 8))
"""Headings of the columns of figures, and their widths."""
BEST = 3
"""Checks that are named with each fault."""

_EXAMPLE = N_("""\
Vehicles with each fault and sound ones go through every check. A check shows a fault where it reads otherwise than on
nine in ten sound vehicles. It tells two faults apart where it would be wrong at most once in ten times. A check is
worth one bit if it halves what could be wrong. It takes up to half a minute a vehicle.

example:
  lukewarm author table my-workshop
  lukewarm author table --vehicle hatch --format csv --output hatch.csv
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "table",
        help=_("show what each check is worth against each fault"),
        description=_("Show by simulation which faults each check shows, what it is worth, and which checks could be "
                      "left out."),
        epilog=_(_EXAMPLE),
    )  # fmt: skip
    parser.add_argument(
        "folders",
        nargs="*",
        type=Path,
        metavar=_("FOLDER"),
        help=_("folders or zip files with the vehicles of their jobs; every vehicle if none is given"),
    )
    parser.add_argument(
        "--vehicle", action="append", metavar=_("ID"), help=_("only this vehicle; may be given several times")
    )
    parser.add_argument(
        "--ambient", type=float, default=5.0, metavar=_("DEGC"), help=_("temperature outside, in °C (5)")
    )
    parser.add_argument(
        "--format", choices=("plain", "csv", "json"), default="plain", help=_("sentences, one table, or one object")
    )
    parser.add_argument("--output", type=Path, metavar=_("FILE"), help=_("write there instead of on standard output"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Simulate and tell."""
    if not COLDEST <= arguments.ambient <= WARMEST:
        told = {"given": arguments.ambient, "least": COLDEST, "most": WARMEST}
        raise WrongUse(say("--ambient {given:g} is out of range, expected {least:g} to {most:g}", **told))

    from grading.fairness.check_table import check_table
    from scenarios.authoring.own_jobs import own_jobs
    from scenarios.files.own_folders import own_folders

    catalogue, places = own_jobs(arguments.folders, own_folders())
    used = {catalogue.jobs[name].vehicle for name in places} if arguments.folders else set(catalogue.vehicles)
    for name in arguments.vehicle or ():
        if name not in catalogue.vehicles:
            told = {"name": name, "known": ", ".join(sorted(catalogue.vehicles))}
            raise WrongUse(say("there is no vehicle '{name}', expected one of: {known}", **told))
    used = set(arguments.vehicle or used)
    if not used:
        raise WrongUse(_("there is no job in this folder, expected one at least"))
    tables = []
    for vehicle in catalogue.vehicles.values():
        if vehicle.id in used:
            complain(say("{vehicle}: simulating every fault ...", vehicle=_(vehicle.name)))
            tables.append(check_table(catalogue, vehicle, arguments.ambient))
    text = {"plain": _plain, "csv": _csv, "json": _json}[arguments.format](tables)
    if arguments.output is None:
        sys.stdout.write(text)
    else:
        arguments.output.write_text(text, encoding="utf-8", newline="\n")
    return DONE


def _plain(tables: Iterable[CheckTable]) -> str:
    return "".join(f"{line}\n" for table in tables for line in [*_lines(table), ""])


def _name(text: str) -> str:
    """A name of the data, fit for a terminal."""
    return clean_line(_(text))


def _wrapped(text: str, indent: int = 4) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 4))


def _lines(table: CheckTable) -> list[str]:
    """A table in words."""
    faults = table.faults
    title = {"vehicle": _name(table.vehicle.name), "faults": len(faults) - 1, "checks": len(table.rows)}
    lines = [say("{vehicle}: {faults} faults, {checks} checks", **title), "", _head(FIGURES, 16)]
    groups = ((_("engine off"), table.cold), (_("engine run"), table.warm), (_("all"), table.rows))
    for name, rows in groups:
        found = table.testability(rows)
        lines.append(
            f"    {name:<12}{len(rows):>10}{found.detected:>12.0%}{found.to_one:>16.0%}{found.to_three:>16.0%}"
        )
    lines += ["", _("Checks, what they are worth and what they show"), _head(CHECKS, 4)]
    for row in sorted(table.rows, key=lambda row: -row.bits):
        shown = sum(share > 0.5 for share in row.shows[1:])
        lines.append(f"    {row.bits:>6.2f}{row.minutes:>9.1f}{shown:>8}  {_name(row.check.name)}")
    spare = [_name(row.check.name) for row in table.dispensable()]
    lines += ["", _("Checks that could all be left out, with no two faults told apart less")]
    lines += _wrapped("; ".join(spare) or _("none"))
    lines += ["", _("Faults, and the share of vehicles on which the best checks show them")]
    for k, fault in enumerate(faults):
        if not fault.changes:
            continue
        best = sorted(table.rows, key=lambda row: (-round(float(row.shows[k]), 2), row.minutes))[:BEST]
        checks = "; ".join(f"{_name(row.check.name)} {row.shows[k]:.0%}" for row in best)
        lines += _wrapped(f"{_name(fault.name)}: {checks}")
        alike = [_name(one.name) for one in table.alike(k)]
        if alike:
            lines += _wrapped(say("no check alone tells it from: {faults}", faults=", ".join(alike)), 8)
    return lines


def _head(columns: Iterable[tuple[str, int]], indent: int) -> str:
    """Headings of columns: name and width of each."""
    return " " * indent + "".join(f"{_(name):>{width}}" for name, width in columns)


def _csv(tables: Iterable[CheckTable]) -> str:
    """One line a check: share of vehicles with each fault that it shows, empty where the vehicle cannot have it."""
    tables = list(tables)
    faults = sorted({fault.id for table in tables for fault in table.faults})
    sheet = io.StringIO()
    writer = csv.writer(sheet, lineterminator="\n")
    writer.writerow(["vehicle", "check", "engine", "minutes", "bits", *faults])
    for table in tables:
        index = {fault.id: k for k, fault in enumerate(table.faults)}
        for row in table.rows:
            shares = [f"{row.shows[index[name]]:.3f}" if name in index else "" for name in faults]
            engine = "off" if row.cold else "run"
            writer.writerow([table.vehicle.id, row.check.id, engine, f"{row.minutes:g}", f"{row.bits:.4f}", *shares])
    return sheet.getvalue()


def _json(tables: Iterable[CheckTable]) -> str:
    return json.dumps([_data(table) for table in tables], allow_nan=False) + "\n"


def _data(table: CheckTable) -> dict[str, Any]:
    figures = {"engine off": table.cold, "engine run": table.warm, "all": table.rows}
    return {
        "vehicle": table.vehicle.id,
        "faults": [fault.id for fault in table.faults],
        "testability": {name: asdict(table.testability(rows)) for name, rows in figures.items()},
        "checks": [
            {
                "check": row.check.id,
                "engine": "off" if row.cold else "run",
                "minutes": round(row.minutes, 2),
                "bits": round(row.bits, 4),
                "shows": [round(float(share), 3) for share in row.shows],
            }
            for row in table.rows
        ],
        "dispensable": [row.check.id for row in table.dispensable()],
        "alike": {fault.id: [one.id for one in table.alike(k)] for k, fault in enumerate(table.faults)},
    }
