"""``lukewarm author``: what an instructor does with a folder of jobs and faults of their own."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from scenarios.language import N_, _

SUBCOMMANDS = ("new", "check", "schema", "look", "table", "prove", "draw", "print", "pack")
"""Each is a module ``tui.commands.author.<name>`` with ``add_parser(subparsers)``."""

_EXAMPLE = N_("""\
A folder of your own adds to what is packaged. Give it by --with to any command, or name it in LUKEWARM_WITH.

example:
  lukewarm author new my-workshop
  lukewarm --with my-workshop text orchard-lane
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand and its own."""
    parser = subparsers.add_parser(
        "author",
        help=_("begin, check and pack a folder of your own jobs"),
        description=_("Begin, check and pack a folder of your own vehicles, faults, checks, repairs and jobs."),
        epilog=_(_EXAMPLE),
    )
    own = parser.add_subparsers(
        title=_("commands"), metavar=_("COMMAND"), required=True, dest="author_command", parser_class=type(parser)
    )
    for name in SUBCOMMANDS:
        import_module(f"{__name__}.{name}").add_parser(own)
