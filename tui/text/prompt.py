"""Lines typed at a prompt, with history and completion where readline exists; a word when work takes long."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TextIO

from scenarios.language import _

PROMPT = "> "
SLOW = 0.7
"""Time after which a person is told that work goes on [s]."""


def typed_lines(complete: Callable[[str], Sequence[str]]) -> Iterator[str]:
    """Lines as they are typed, until the end of input; complete: from a line so far to the lines it may become."""
    try:
        import readline
    except ImportError:  # Windows: its console keeps a history itself
        pass
    else:
        readline.set_completer(_completer(complete))
        readline.set_completer_delims("")
        readline.parse_and_bind("tab: complete")
    while True:
        try:
            yield input(PROMPT) + "\n"
        except EOFError:
            return


def _completer(complete: Callable[[str], Sequence[str]]) -> Callable[[str, int], str | None]:
    def one(line: str, number: int) -> str | None:
        found = complete(line)
        return found[number] if number < len(found) else None

    return one


@contextmanager
def told_when_slow(sink: TextIO | None) -> Iterator[None]:
    """Say that work goes on where what is done within takes long; sink: None for nobody to tell."""
    if sink is None:
        yield
        return
    timer = threading.Timer(SLOW, lambda: print(_("Working …"), file=sink, flush=True))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def at_a_terminal() -> bool:
    """Whether a person types and reads."""
    return sys.stdin.isatty() and sys.stdout.isatty()
