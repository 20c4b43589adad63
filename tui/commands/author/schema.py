"""``lukewarm author schema``: what an editor checks and completes data files by."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from scenarios.files.layout import KINDS
from scenarios.language import N_, _
from scenarios.wrong_use import WrongUse
from tui.presentation.clean import clean
from tui.presentation.process.console import DONE

_EXAMPLE = N_("""\
An editor that knows JSON Schema completes keys, ids and parameters, and marks what is wrong while you type. The first
line of a data file may name its schema:

  # yaml-language-server: $schema=../schema/faults.json

Ids of the folders given by --with are offered too.

example:
  lukewarm author schema --into my-workshop/schema
  lukewarm author schema faults
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "schema",
        help=_("write the JSON Schema of data files, for editors"),
        description=_("Write the JSON Schema (2020-12) of data files, for editors: of one folder's, or of all."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("kind", nargs="?", choices=KINDS, help=_("of which folder's files; of any if not given"))
    parser.add_argument("--into", type=Path, metavar=_("FOLDER"), help=_("write a file for each folder there"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print a schema, or write one for each kind."""
    if arguments.kind and arguments.into:
        raise WrongUse(_("--into writes them all, expected it without a folder's name"))
    from scenarios.files.own_folders import catalogue_in_use
    from scenarios.files.schema import schema_of, whole_schema

    catalogue = catalogue_in_use()
    if arguments.into is None:
        schema = schema_of(arguments.kind, catalogue) if arguments.kind else whole_schema(catalogue)
        print(_as_text(schema), end="")
        return DONE
    arguments.into.mkdir(parents=True, exist_ok=True)
    for kind in KINDS:
        file = arguments.into / f"{kind}.json"
        file.write_text(_as_text(schema_of(kind, catalogue)), encoding="utf-8", newline="\n")
        print(clean(str(file)))
    return DONE


def _as_text(schema: dict[str, Any]) -> str:
    return json.dumps(schema, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
