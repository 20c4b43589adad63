"""Numbers of drawn vehicles: how they are told, taken by chance, narrowed, and which stand for a day."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from datetime import date

from grading.drawing.number import number_of, word_of
from scenarios.language import _, say
from scenarios.model import Job

NUMBERS = 1_000_000
"""Numbers that are taken at random: short enough to tell a mate, and below those of days."""


def random_number(word: str = "") -> str:
    """A number by chance; word: what it is narrowed to."""
    return with_word(str(secrets.randbelow(NUMBERS)), word)


def with_word(number: str, word: str) -> str:
    """A number as typed, with another word before it, or none.

    >>> with_word("blower-12", "easy"), with_word("blower-12", "")
    ('easy-12', '12')
    """
    bare = number.strip().rpartition("-")[2]
    return f"{word}-{bare}" if word else bare


def number_of_day(day: date) -> str:
    """The number of the vehicle of a day: its date.

    >>> number_of_day(date(2026, 12, 1))
    '20261201'
    """
    return f"{day:%Y%m%d}"


def today() -> date:
    """The day it is here."""
    return date.today()


def is_by_chance(number: str) -> bool:
    """Whether a number was taken at random, not from a date."""
    return int(number.rpartition("-")[2]) < NUMBERS


def kind_of(job: str) -> str | None:
    """The word before the number of a drawn job, None of any other job and of the vehicle of a day."""
    number = number_of(job)
    return word_of(number) if number is not None and is_by_chance(number) else None


def told(job: str) -> str:
    """What to say of a drawn job's number; empty for any other job."""
    number = number_of(job)
    if number is None:
        return ""
    return say("Number {number}. Give this number to a mate for the same vehicle.", number=number)


def titled(title: str, job: str) -> str:
    """The title of a job, with the number of a drawn one; title: as in the catalogue; job: id."""
    number = number_of(job)
    return _(title) if number is None else say("{title}, number {number}", title=_(title), number=number)


def named(jobs: Mapping[str, Job], job: str) -> str:
    """A job as ``titled`` by its id; the id alone where the job is not known."""
    return titled(jobs[job].title, job) if job in jobs else job
