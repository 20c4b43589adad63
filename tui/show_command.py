"""``lukewarm show``: lists of vehicles, faults, checks, repairs and jobs."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from typing import Any

from tui.clean import clean
from tui.console import DONE
from tui.units import in_units

KINDS = ("vehicles", "faults", "checks", "repairs", "jobs")

_EXAMPLE = """\
example:
  lukewarm show checks
  lukewarm show faults --format json
"""


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "show", help="list what there is", description="List what there is, sorted as in the program.", epilog=_EXAMPLE
    )
    parser.add_argument("kind", choices=KINDS, help="what to list")
    parser.add_argument("--format", choices=("plain", "json"), default="plain", help="sentences, or a list of objects")
    parser.add_argument("--units", choices=("si", "us"), default="si", help="us shows degrees Fahrenheit and psi")
    parser.set_defaults(run=run)


def _plain(value: Any) -> Any:
    if isinstance(value, frozenset | set):
        return sorted(value)
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return value


def run(arguments: argparse.Namespace) -> int:
    """Print the list."""
    from scenarios.loader import load_catalogue

    things = getattr(load_catalogue(), arguments.kind).values()
    if arguments.format == "json":
        print(json.dumps([_plain(asdict(thing)) for thing in things], indent=1, allow_nan=False))
        return DONE
    for thing in things:
        print(clean(in_units(_line(arguments.kind, thing), arguments.units)))
    return DONE


def _line(kind: str, thing: Any) -> str:
    match kind:
        case "vehicles":
            return f"{thing.id}: {thing.name}. {thing.about}"
        case "faults":
            return f"{thing.id}: {thing.name}. {thing.system}; {thing.part}, {thing.mode}."
        case "checks":
            return f"{thing.id}: {thing.name}. {thing.place}, {thing.minutes:g} min, {thing.tool}."
        case "repairs":
            return f"{thing.id}: {thing.name}. {thing.minutes:g} min, part: {thing.part}, cost: {thing.cost}."
        case _:
            return (
                f'{thing.id}: {thing.title}. {thing.vehicle}, difficulty {thing.difficulty} of 5. "{thing.complaint}"'
            )
