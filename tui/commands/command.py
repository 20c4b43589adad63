"""The command ``lukewarm``: without an argument the terminal program, with one a single task."""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

from scenarios.files.data_error import DataError, quoted
from scenarios.files.own_folders import use_folders
from scenarios.language import LANGUAGES, N_, _, code_of, preferred, say
from scenarios.wrong_use import WrongUse
from tui.presentation.process.console import DONE, NEGATIVE, WRONG_USE, complain, prepare_streams, speak
from tui.presentation.settings import load_settings

if TYPE_CHECKING:  # else only once there is something to parse: a program is waited for
    from tui.commands.parser import Parser

SUBCOMMANDS = ("text", "show", "trace", "debrief", "mark", "serve", "author")
"""Each is a module ``tui.commands.<name>`` with ``add_parser(subparsers)``."""

PICTURES = "240"
"""Pictures a second at most: what a key changes waits for the next one."""
_ABOUT = N_("""\
Vehicles whose cabin will not get warm: find the fault by taking readings, repair it, prove it.
Without a command the terminal program opens at the job board.
""")
_EXAMPLE = N_("""\
example:
  lukewarm                     open the terminal program
  lukewarm show jobs           list the jobs
  lukewarm text JOB            work on a job in plain text
""")


def build_parser() -> Parser:
    """The parser of the command line with every subcommand that is installed."""
    from tui.commands.parser import Parser

    parser = Parser(prog="lukewarm", description=_(_ABOUT), epilog=_(_EXAMPLE))
    parser.add_argument("--language", choices=tuple(LANGUAGES), help=_("language of the program; may stand anywhere"))
    parser.add_argument(
        "--with",
        metavar=_("PATH"),
        help=_("a folder of your own jobs, or a zip file of one; may stand anywhere and be given again"),
    )
    parser.add_argument(
        "--candidate",
        metavar=_("NAME"),
        help=_("who works in the terminal program, for an assessor; stands in records"),
    )
    subparsers = parser.add_subparsers(title=_("commands"), metavar=_("COMMAND"), dest="command", parser_class=Parser)
    for name in SUBCOMMANDS:
        import_module(f"tui.commands.{name}").add_parser(subparsers)
    return parser


def _open_program(arguments: Any) -> int:
    candidate = None if arguments is None else arguments.candidate
    if candidate is not None:
        from grading.sessions.openings import require_name

        require_name(candidate)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise WrongUse(_("this is no terminal, expected one; without a terminal use 'lukewarm text JOB'"))
    gc.disable()  # what is imported stays; the program turns it on again once it is seen
    os.environ.setdefault("TEXTUAL_FPS", PICTURES)  # read while Textual is imported
    from tui.app.app import run_program

    run_program(candidate)
    return DONE


def _asked_anywhere(argv: list[str]) -> tuple[list[str], str | None, list[str]]:
    """The other arguments, the language asked for, and own folders named: known before any help is written."""
    if not argv:
        return argv, None, []
    from tui.commands.parser import Parser

    finder = Parser(prog="lukewarm", add_help=False)
    finder.add_argument("--language")
    finder.add_argument("--with", action="append", default=[], dest="folders")
    known, rest = finder.parse_known_args(argv)
    if known.language is not None and code_of(known.language) is None:
        raise WrongUse(
            say(
                "there is no language {name}, expected {names}", name=quoted(known.language), names=", ".join(LANGUAGES)
            )
        )
    return rest, known.language, known.folders


def _run(argv: list[str]) -> int:
    """Do what the arguments say, those aside that may stand anywhere."""
    if not argv:  # nothing to parse, and the first picture is waited for
        return _open_program(None)
    arguments = build_parser().parse_args(argv)
    run = getattr(arguments, "run", _open_program)
    if arguments.candidate is not None and getattr(arguments, "command", None) not in (None, "text"):
        raise WrongUse(_("--candidate goes with a job, expected it with the terminal program or with 'text'"))
    return run(arguments)


def main(argv: list[str] | None = None) -> int:
    """Run the command line. Returns the exit status: 0 done, 1 a negative finding, 2 wrong use or bad input."""
    prepare_streams()
    try:
        argv, asked, folders = _asked_anywhere(sys.argv[1:] if argv is None else argv)
        speak(preferred(asked, load_settings().language))
        with use_folders(folders):
            return _run(argv)
    except SystemExit as leaving:  # argparse, after --help
        return int(leaving.code or DONE)
    except WrongUse as error:
        complain(f"lukewarm: {error}")
    except DataError as error:
        complain(str(error))
    except KeyboardInterrupt:
        complain(_("lukewarm: stopped"))
        return NEGATIVE
    except BrokenPipeError:  # the reader has left; Python would complain once more while it closes
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NEGATIVE
    except OSError as error:
        file = error.filename or _("a file")
        told = {"file": file, "reason": error.strerror}
        complain(say("lukewarm: {file}: {reason}, expected one that can be read and written", **told))
    return WRONG_USE


if __name__ == "__main__":
    sys.exit(main())
