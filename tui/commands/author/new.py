"""``lukewarm author new DIR``: a small folder to begin with."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from scenarios.language import N_, _, chosen, say
from tui.presentation.clean import clean
from tui.presentation.process.console import DONE

_EXAMPLE = N_("""\
example:
  lukewarm author new my-workshop
  lukewarm author check my-workshop
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "new",
        help=_("write a small folder to begin with"),
        description=_("Write a small folder to begin with: one job, one fault and one check of it, with comments."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("folder", type=Path, metavar=_("FOLDER"), help=_("a new or an empty folder"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Write the folder and say what can be done with it."""
    from scenarios.authoring.new_folder import JOB, new_folder

    for file in new_folder(arguments.folder, chosen()):
        print(clean(str(file)))
    told = {"folder": arguments.folder, "job": JOB}
    print(clean(say("Play its job with: lukewarm --with {folder} text {job}", **told)))
    return DONE
