"""``lukewarm author print [DIR]``: job cards, or the key to them, as one page to print."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from scenarios.language import N_, _
from scenarios.wrong_use import WrongUse
from tui.commands.author.sealed import require_unsealed
from tui.commands.rubric_file import add_rubric, read_rubric
from tui.presentation.process.console import DONE

_EXAMPLE = N_("""\
One page of HTML, a sheet for each job; any browser prints it. The key is a page of its own, so that it cannot be handed
out by mistake.

example:
  lukewarm author print my-workshop --output cards.html
  lukewarm author print my-workshop --key --output key.html
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "print",
        help=_("make job cards, or the key to them, to print"),
        description=_("Make job cards, or the key to them, as one page to print."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument(
        "folder", nargs="?", type=Path, metavar=_("FOLDER"), help=_("whose jobs; every job if not given")
    )
    parser.add_argument("--key", action="store_true", help=_("what is wrong and what cures it, instead of the cards"))
    parser.add_argument("--output", type=Path, metavar=_("FILE"), help=_("write there instead of on standard output"))
    add_rubric(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Make the page."""
    rubric = read_rubric(arguments)

    from grading.report.job_cards import cards, key
    from scenarios.files.loader import load_catalogue
    from scenarios.files.own_folders import own_folders

    others = own_folders()
    catalogue, known = load_catalogue(*others), set[str]()
    if arguments.folder is not None:
        folder = arguments.folder.absolute()
        others = tuple(other for other in others if other != folder)
        catalogue, known = load_catalogue(*others, folder), set(load_catalogue(*others).jobs)
    jobs = [job for job in catalogue.jobs.values() if job.id not in known]
    if not jobs:
        raise WrongUse(_("there is no job in this folder, expected one at least"))
    if arguments.key:
        require_unsealed(job.id for job in jobs)
    page = key(catalogue, jobs) if arguments.key else cards(catalogue, jobs, rubric)
    if arguments.output is None:
        sys.stdout.write(page)
    else:
        arguments.output.write_text(page, encoding="utf-8", newline="\n")
    return DONE
