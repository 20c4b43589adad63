"""``lukewarm debrief RECORD``: a finished job explained step by step."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

from tui.clean import clean, clean_line
from tui.console import DONE
from tui.units import in_units

_EXAMPLE = """\
example:
  lukewarm debrief my-job.jsonl
"""


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "debrief",
        help="explain a finished job",
        description="Explain a finished job: what was wrong, what each step was worth, what the reference did.",
        epilog=_EXAMPLE,
    )
    parser.add_argument("record", type=Path, metavar="RECORD", help="a record whose keys were handed back")
    parser.add_argument("--format", choices=("plain", "json"), default="plain", help="sentences, or one object")
    parser.add_argument("--units", choices=("si", "us"), default="si", help="us shows degrees Fahrenheit and psi")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Grade the record afresh and print the debrief."""
    from grading.record import read_record
    from scenarios.loader import load_catalogue
    from tui.judging import judge

    catalogue = load_catalogue()
    grade, sections = judge(catalogue, read_record(arguments.record), arguments.record)
    if arguments.format == "json":
        print(
            json.dumps(
                {"grade": grade.to_json(), "sections": [asdict(section) for section in sections]}, allow_nan=False
            )
        )
        return DONE
    for section in sections:
        print(clean(section.title))
        for line in section.lines:
            print(clean_line(in_units(line, arguments.units)))
        print()
    return DONE
