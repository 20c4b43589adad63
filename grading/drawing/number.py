"""Parsing of the numbers of drawn vehicles, and the ids of their jobs."""

from __future__ import annotations

import re

from grading.drawing.narrowing import BANDS, SYSTEM_WORDS, is_word
from scenarios.language import say
from scenarios.wrong_use import WrongUse

_NUMBER = re.compile(r"(?:([a-z-]+)-)?([0-9]{1,9})")
_BEFORE = "draw-"


def job_id(number: str) -> str:
    """Id of the job of a number such as 4711, or of a narrowed one such as blower-4711. Raises WrongUse."""
    found = _NUMBER.fullmatch(number.strip().casefold())
    if found is None or (found[1] is not None and not is_word(found[1])):
        values = {"given": repr(number), "systems": ", ".join(SYSTEM_WORDS), "bands": ", ".join(BANDS)}
        wrong = say(
            "the vehicle's number {given}, expected 4711 or blower-4711; systems are {systems}, and there are {bands}",
            **values,
        )
        raise WrongUse(wrong)
    return _BEFORE + "-".join(part for part in (found[1], str(int(found[2]))) if part)


def number_of(job: str) -> str | None:
    """The number of a job drawn by number, None for other jobs.

    >>> number_of("draw-blower-4711"), number_of("first-frost"), number_of("draw-5-a01")
    ('blower-4711', None, None)
    """
    number = job.removeprefix(_BEFORE)
    found = _NUMBER.fullmatch(number)
    return number if number != job and found and (found[1] is None or is_word(found[1])) else None


def word_of(number: str) -> str:
    """The word before a number, empty if there is none.

    >>> word_of("engine-temperature-12"), word_of("12")
    ('engine-temperature', '')
    """
    return number.rpartition("-")[0]
