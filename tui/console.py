"""Standard streams and how the program ends: in words, with an exit status, never in a traceback."""

from __future__ import annotations

import argparse
import gettext
import io
import os
import sys
from typing import NoReturn

from scenarios.language import DOMAIN, FOLDER, N_, VARIABLE, choose, say
from tui.clean import clean

DONE, NEGATIVE, WRONG_USE = 0, 1, 2
"""Exit statuses: done; a negative finding; wrong use or bad input."""


class WrongUse(Exception):
    """The command was asked for something it cannot do; the text says what is wrong and what was expected."""


def prepare_streams() -> None:
    """Speak UTF-8 whatever the console's own code page is."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(encoding="utf-8-sig", errors="replace")


def speak(code: str) -> None:
    """Speak a language of LANGUAGES, argparse and what it starts with it."""
    choose(code)
    gettext.bindtextdomain(DOMAIN, str(FOLDER))
    gettext.textdomain(DOMAIN)
    os.environ["LANGUAGE"] = os.environ[VARIABLE] = code


_OF_ARGPARSE = (
    N_("usage: "),
    N_("positional arguments"),
    N_("options"),
    N_("show this help message and exit"),
    N_("the following arguments are required: %s"),
    N_("one of the arguments %s is required"),
    N_("unrecognized arguments: %s"),
    N_("invalid choice: %(value)r (choose from %(choices)s)"),
    N_("invalid %(type)s value: %(value)r"),
    N_("not allowed with argument %s"),
    N_("argument %(argument_name)s: %(message)s"),
    N_("expected one argument"),
    N_("ignored explicit argument %r"),
)
"""What argparse says by itself and looks up in the same way."""


def complain(text: str) -> None:
    """Say something on standard error, each line made safe to print."""
    for line in text.splitlines():
        print(clean(line), file=sys.stderr)


class Parser(argparse.ArgumentParser):
    """Arguments of a command; a wrong one is answered as every error is, in one line."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False, **kwargs)

    def error(self, message: str) -> NoReturn:
        """Refuse the arguments."""
        raise WrongUse(say("{problem}, expected what '{command} --help' shows", problem=message, command=self.prog))
