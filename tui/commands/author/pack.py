"""``lukewarm author pack DIR``: a folder as one zip file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from scenarios.language import N_, _, plural
from tui.presentation.clean import clean
from tui.presentation.process.console import DONE, complain

_EXAMPLE = N_("""\
Only the YAML files that are read are packed. A zip file is convenient to hand on; it keeps nothing secret, for whoever
has it can read what is planted.

example:
  lukewarm author pack my-workshop
  lukewarm --with my-workshop.zip show jobs
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "pack",
        help=_("pack a folder into one zip file that --with takes"),
        description=_("Pack a folder into one zip file that --with takes."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("folder", type=Path, metavar=_("FOLDER"), help=_("the folder to pack; it must load"))
    parser.add_argument(
        "--output",
        type=Path,
        metavar=_("FILE"),
        help=_("a new file; beside the folder and named after it if not given"),
    )
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Pack a folder that loads."""
    from scenarios.authoring.packing import pack_folder
    from scenarios.files.loader import load_catalogue
    from scenarios.files.own_folders import own_folders

    load_catalogue(*dict.fromkeys([*own_folders(), arguments.folder.absolute()]))
    target, count = pack_folder(arguments.folder, arguments.output)
    print(clean(plural(count, "{file}: one file packed.", "{file}: {n} files packed.", file=target)))
    complain(_("lukewarm: whoever has the zip file can read what is planted; it keeps nothing secret"))
    return DONE
