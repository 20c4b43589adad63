"""Text from files and people, made safe to show: it can move no cursor and turn no writing round."""

from __future__ import annotations

import unicodedata

_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def clean(text: object) -> str:
    r"""The text on one line, without control, formatting (bidirectional among them) and unassigned characters.

    Line ends and tabs become a space, so that words stay apart.

    >>> clean("warm\x1b[2J\n at\u202e last")
    'warm[2J at last'
    """
    seen = "".join(mark for mark in str(text) if mark.isspace() or unicodedata.category(mark) not in _UNSEEN)
    return " ".join(seen.split())


def clean_line(text: str) -> str:
    r"""A line as ``clean`` makes it, its indentation kept.

    >>> clean_line("    warm\x07")
    '    warm'
    """
    return " " * (len(text) - len(text.lstrip(" "))) + clean(text)
