"""Long lines broken between words for a terminal; what goes to a file or another program keeps its lines."""

from __future__ import annotations

import re
import shutil
import textwrap
from collections.abc import Iterable
from typing import TextIO

from tui.presentation.clean import clean_line

NARROWEST = 20
"""Fewer columns than these are not kept to."""
HANGING = 2
_ITEM = re.compile(r" +\S|[a-z]|\d+\. ")
"""How an entry of a list begins: indented, with what is typed, or with its number."""


def room(sink: TextIO) -> int | None:
    """Columns of the terminal that is written to, None where it is none."""
    return shutil.get_terminal_size().columns if sink.isatty() else None


def wrapped(line: str, columns: int | None) -> list[str]:
    """The line broken between words, the entries of lists with a hanging indent; one too long word stays whole.

    columns: None for any length.

    >>> wrapped("  check ID: take a reading", 20)
    ['  check ID: take a', '    reading']
    """
    if columns is None or len(line) <= columns:
        return [line]
    start = " " * (len(line) - len(line.lstrip(" ")))
    after = start + " " * HANGING if _ITEM.match(line) else start
    broken = textwrap.wrap(
        line[len(start) :],
        max(columns, NARROWEST),
        initial_indent=start,
        subsequent_indent=after,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return broken or [line]


def write(lines: Iterable[str], sink: TextIO) -> None:
    """Write lines, made safe to show and wrapped where the sink is a terminal."""
    columns = room(sink)
    print("\n".join(part for line in lines for part in wrapped(clean_line(line), columns)), file=sink, flush=True)
