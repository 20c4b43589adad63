"""A language that nobody speaks: every letter is Cyrillic, so that whatever is still Latin was never translated."""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterator
from contextlib import contextmanager
from string import Formatter

from scenarios import language

_PERCENT = re.compile(r"(%(?:\(\w+\))?[a-z%])")
_LETTERS = str.maketrans(
    {chr(ord("a") + k): chr(0x430 + k) for k in range(26)} | {chr(ord("A") + k): chr(0x410 + k) for k in range(26)}
)
LATIN = re.compile(r"[A-Za-z]{2,}")


def disguised(text: str) -> str:
    """The text in that language, its places for values as they are.

    >>> disguised("{n} of %s") == "{n} " + disguised("of") + " %s"
    True
    """
    if "{" not in text:
        return _letters(text)
    out = []
    for literal, name, form, conversion in Formatter().parse(text):
        out.append(_letters(literal).replace("{", "{{").replace("}", "}}"))
        if name is not None:
            out.append("{" + name + (f"!{conversion}" if conversion else "") + (f":{form}" if form else "") + "}")
    return "".join(out)


def _letters(text: str) -> str:
    return "".join(part if k % 2 else part.translate(_LETTERS) for k, part in enumerate(_PERCENT.split(text)))


class Disguise(gettext.NullTranslations):
    """Gives back every text disguised."""

    def gettext(self, message: str) -> str:
        """One text."""
        return disguised(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """One of two."""
        return disguised(msgid1 if n == 1 else msgid2)


@contextmanager
def nobodys_language() -> Iterator[None]:
    """Speak it."""
    before = language._Chosen.code, language._Chosen.words
    language._Chosen.code, language._Chosen.words = language.ENGLISH, Disguise()
    try:
        yield
    finally:
        language._Chosen.code, language._Chosen.words = before


def left_over(text: str, allowed: frozenset[str] | set[str]) -> list[str]:
    """Words of a text that no translator was asked for."""
    return [word for word in LATIN.findall(text) if word not in allowed]
