"""The command ``lukewarm``: without an argument the terminal program, with one a single task."""

from __future__ import annotations

import importlib.util
import os
import sys
from importlib import import_module
from typing import Any

from scenarios.data_error import DataError
from tui.console import DONE, NEGATIVE, WRONG_USE, Parser, WrongUse, complain, prepare_streams

SUBCOMMANDS = ("text", "show", "trace", "debrief", "author", "exam", "serve")
"""Each is a module ``tui.<name>_command`` with ``add_parser(subparsers)``; what is not there is not offered."""

_ABOUT = """\
Vehicles whose cabin will not get warm: find the fault by taking readings, repair it, prove it.
Without a command the terminal program opens at the job board.
"""
_EXAMPLE = """\
example:
  lukewarm                     open the terminal program
  lukewarm show jobs           list the jobs
  lukewarm text JOB            work on a job in plain text
"""


def build_parser() -> Parser:
    """The parser of the command line with every subcommand that is installed."""
    parser = Parser(prog="lukewarm", description=_ABOUT, epilog=_EXAMPLE)
    subparsers = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=Parser)
    for name in SUBCOMMANDS:
        if importlib.util.find_spec(f"tui.{name}_command"):
            import_module(f"tui.{name}_command").add_parser(subparsers)
    return parser


def _open_program(arguments: Any) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise WrongUse("this is no terminal, expected one; without a terminal use 'lukewarm text JOB'")
    from tui.app import run_program

    return run_program()


def main(argv: list[str] | None = None) -> int:
    """Run the command line. Returns the exit status: 0 done, 1 a negative finding, 2 wrong use or bad input."""
    prepare_streams()
    try:
        arguments = build_parser().parse_args(argv)
        return getattr(arguments, "run", _open_program)(arguments)
    except SystemExit as leaving:  # argparse, after --help
        return int(leaving.code or DONE)
    except WrongUse as error:
        complain(f"lukewarm: {error}")
    except DataError as error:
        complain(str(error))
    except KeyboardInterrupt:
        complain("lukewarm: stopped")
        return NEGATIVE
    except BrokenPipeError:  # the reader has left; Python would complain once more while it closes
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NEGATIVE
    except OSError as error:
        complain(f"lukewarm: {error.filename or 'a file'}: {error.strerror}, expected one that can be read and written")
    return WRONG_USE


if __name__ == "__main__":
    sys.exit(main())
