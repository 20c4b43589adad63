"""Text in lines of a given room, for names that must be read whole."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content


def wrapped(text: Content, first: int, rest: int) -> list[Content]:
    """The text in lines, broken between words, and within one that alone is too long; nothing of it is left out.

    first, rest: room of the first line and of those after it [cells].

    >>> [line.plain for line in wrapped(Content("Coolant level at the neck"), 14, 8)]
    ['Coolant level', 'at the', 'neck']
    """
    if text.cell_length <= first:
        return [text]
    plain, lines, start, room = text.plain, [], 0, first
    while start < len(plain):
        end = _fits(plain, start, room)
        if end < len(plain):
            space = plain.rfind(" ", start + 1, end + 1)
            end = space if space > start and plain[start:space].strip() else end
        lines.append(text[start:end].rstrip())
        start, room = end, rest
        while start < len(plain) and plain[start] == " ":
            start += 1
    return lines


def _fits(plain: str, start: int, room: int) -> int:
    """Where the text that fits ends; one character at least."""
    end, taken = start, 0
    while end < len(plain) and (taken := taken + cell_len(plain[end])) <= room:
        end += 1
    return max(end, start + 1)
