"""What a person means by a short name: an id, a number of the last list, its beginning, or words of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from scenarios.actions import NotPossible
from scenarios.files.data_error import quoted
from scenarios.language import say

MOST_LISTED = 12
"""Matches that are listed."""


def meant(typed: str, names: Mapping[str, str], listed: Sequence[str] = ()) -> str:
    """The id that is meant; what fits none comes back as it was typed.

    typed: id, number, beginning or words; names: id to name in the language chosen; listed: ids as the last list had
    them, which numbers refer to, from 1. Raises NotPossible with the matches where there are several.

    >>> meant("cool scan", {"coolant-scan": "Coolant, scan tool", "gauge": "Gauge"})
    'coolant-scan'
    >>> meant("2", {"coolant-scan": "Coolant, scan tool", "gauge": "Gauge"}, ["coolant-scan", "gauge"])
    'gauge'
    """
    if typed in names:
        return typed
    if typed.isdecimal() and 1 <= int(typed) <= len(listed) and listed[int(typed) - 1] in names:
        return listed[int(typed) - 1]
    words = typed.casefold().replace("-", " ").split()
    begin = [name for name in names if name.startswith(typed.casefold().replace(" ", "-"))]
    found = begin or [
        name
        for name, told in names.items()
        if words and all(word in f"{told} {name}".casefold().replace("-", " ") for word in words)
    ]
    if len(found) > 1:
        shown = ", ".join(found[:MOST_LISTED]) + (" …" if len(found) > MOST_LISTED else "")
        raise NotPossible(say("{typed} may be several, expected one of {names}", typed=quoted(typed), names=shown))
    return found[0] if found else typed


def whole_verb(typed: str, verbs: Sequence[str]) -> str:
    """The verb that a word is the beginning of; the word itself where it is none. Raises NotPossible as ``meant``.

    >>> whole_verb("diag", ["diagnose", "drive"])
    'diagnose'
    """
    if typed in verbs or not typed:
        return typed
    found = [verb for verb in verbs if verb.startswith(typed)]
    if len(found) > 1:
        told = {"typed": quoted(typed), "names": ", ".join(found)}
        raise NotPossible(say("{typed} may be several, expected one of {names}", **told))
    return found[0] if found else typed


def ending(words: Sequence[str], last: int, usage: str) -> list[str]:
    """Words of a line with those of a name joined: the name, then the last ones. Raises NotPossible where too few."""
    if len(words) <= last:
        told = {"line": quoted(" ".join(words)), "usage": usage}
        raise NotPossible(say("{line} is not complete or too long, expected '{usage}'", **told))
    first = list(words[: len(words) - last])
    return [" ".join(first), *words[len(words) - last :]]
