"""``lukewarm author check DIR...``: all that is wrong with data files, at once."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from scenarios.language import N_, _
from tui.presentation.clean import clean
from tui.presentation.process.console import DONE, WRONG_USE, complain

_EXAMPLE = N_("""\
The files alone are looked at, so it takes a moment and no vehicle is simulated. A fault that no check can tell from
another is not found this way.

Exit status: 0 nothing is wrong, 2 something is.

example:
  lukewarm author check my-workshop
  lukewarm author check my-workshop our-vehicles.zip
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "check",
        help=_("report everything that is wrong with your files"),
        description=_("Report everything that is wrong with data files: file, line, column, what was expected."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument(
        "folders",
        nargs="*",
        type=Path,
        metavar=_("FOLDER"),
        help=_("folders or zip files, which add to each other; what is packaged if none is given"),
    )
    parser.add_argument("--alone", action="store_true", help=_("take them alone, without what is packaged"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Check the folders and tell what was found."""
    from scenarios.authoring.check import check_folders
    from scenarios.files.own_folders import own_folders

    folders = {folder.resolve(): folder for folder in (*own_folders(), *arguments.folders)}
    findings = check_folders(list(folders.values()), arguments.alone)
    if not findings.errors:
        print(clean(findings.lines()[0]))
        return DONE
    complain("\n".join(findings.lines()))
    return WRONG_USE
