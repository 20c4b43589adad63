"""Standard streams and how the program ends: in words, with an exit status, never in a traceback."""

from __future__ import annotations

import gettext
import io
import os
import sys

from scenarios.language import DOMAIN, FOLDER, VARIABLE, choose
from tui.presentation.clean import clean

DONE, NEGATIVE, WRONG_USE = 0, 1, 2
"""Exit statuses: done; a negative finding; wrong use or bad input."""


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


def complain(text: str) -> None:
    """Say something on standard error, each line made safe to print."""
    for line in text.splitlines():
        print(clean(line), file=sys.stderr)
