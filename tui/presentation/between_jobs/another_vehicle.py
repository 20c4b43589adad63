"""What another vehicle can be drawn for, those that wait drawn ahead, and drawing one now."""

from __future__ import annotations

import secrets
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from grading.drawing.by_number import drawn_by_number
from grading.drawing.narrowing import BANDS, COMPLAINT_WORDS, PAIR, SYSTEM_WORDS, can_come_with, pair_word
from grading.drawing.number import number_of
from grading.marks.rubric import Rubric
from grading.sessions.records import Kept
from scenarios.files.drawn_jobs import DRAWN, drawn_job_file, drawn_jobs
from scenarios.files.own_folders import drawn_folder
from scenarios.language import _, chosen, plural
from scenarios.model import Catalogue, Job
from scenarios.wrong_use import WrongUse
from tui.presentation.between_jobs.attempts import attempts_of, confusions
from tui.presentation.between_jobs.numbers import kind_of, number_of_day, random_number
from tui.presentation.between_jobs.returns import due

USED_LATELY = 2
"""Kinds of vehicles, those drawn for latest, that are drawn ahead beside the usual ones."""
TRIES = 8
"""Vehicles drawn for a complaint until one has another fault."""


@dataclass(frozen=True, slots=True)
class Choice:
    """What a vehicle can be drawn for: words: one of which stands before its number, an empty one for any vehicle;
    told: in the language chosen; ready: whether one waits drawn ahead.
    """

    words: tuple[str, ...]
    told: str
    ready: bool


def choices(catalogue: Catalogue, records: Sequence[Kept]) -> list[Choice]:
    """All that there is to choose from, each but what is confused always there."""
    there = waiting(catalogue, {kept.job for kept in records})
    mixed = confused_words(catalogue, records)
    told: list[tuple[tuple[str, ...], str]] = [(("",), _("surprise me: any fault, as often as it occurs"))]
    if mixed:
        pairs = plural(len(mixed), "what I confuse: {n} pair of faults", "what I confuse: {n} pairs of faults")
        told.append((tuple(mixed), pairs))
    told += [((word,), _(word)) for word in BANDS]
    told += [((word,), _(system)) for word, system in SYSTEM_WORDS.items()]
    return [Choice(words, text, any(word in there for word in words)) for words, text in told]


def waiting(catalogue: Catalogue, opened: Collection[str]) -> dict[str, list[Job]]:
    """Drawn vehicles that were never opened, by the word before their numbers; opened: ids of jobs with records."""
    names = sorted(path.stem for path in drawn_folder("").glob(f"{DRAWN}*/jobs/{DRAWN}*.yaml"))
    found: dict[str, list[Job]] = {}
    for job in drawn_jobs(catalogue, (name for name in names if name not in opened)).values():
        word = kind_of(job.id)
        if word is not None:
            found.setdefault(word, []).append(job)
    return found


def next_number(catalogue: Catalogue, word: str, opened: Collection[str]) -> str:
    """Number of a vehicle that waits, else one by chance; word: what it is narrowed to."""
    ready = waiting(catalogue, opened).get(word)
    return (number_of(ready[0].id) if ready else None) or random_number(word)


def number_for(catalogue: Catalogue, choice: Choice, opened: Collection[str]) -> str:
    """Number of a vehicle for a choice: one that waits, else one by chance."""
    there = waiting(catalogue, opened)
    words = [word for word in choice.words if word in there] or list(choice.words)
    return next_number(catalogue, secrets.choice(words), opened)


def is_drawn(number: str) -> bool:
    """Whether the vehicle of a number is there already."""
    return drawn_job_file(DRAWN + number).exists()


def confused_words(catalogue: Catalogue, records: Sequence[Kept]) -> list[str]:
    """The words of pairs that the learner has taken for each other, the commonest first."""
    found = confusions(attempts_of(catalogue, records))
    return list(dict.fromkeys(pair_word((declared, real)) for declared, real, _times in found))


def due_words(catalogue: Catalogue, records: Sequence[Kept], day: date) -> list[str]:
    """The words of pairs that are due on a day."""
    return [pair_word(one.pair) for one in due(attempts_of(catalogue, records), day)]


# -- the same complaint with another fault -----------------------------------------------------------------------------


def complaint_word(catalogue: Catalogue, job: Job) -> str | None:
    """The word for a job's complaint, None where hardly another fault brings it."""
    others = can_come_with(catalogue, job.complains_of[0]) - {*job.real_faults}
    return next(word for word, kind in COMPLAINT_WORDS.items() if kind == job.complains_of[0]) if others else None


def like(catalogue: Catalogue, job: Job, rubric: Rubric, opened: Collection[str]) -> str:
    """Id of a drawn job with the same complaint and none of the same faults, drawn now where none waits.

    Raises WrongUse and OSError.
    """
    word = complaint_word(catalogue, job)
    if word is None:
        raise WrongUse(_("no other fault brings this complaint"))
    for one in waiting(catalogue, opened).get(word, ()):
        if not {*one.real_faults} & {*job.real_faults}:
            return one.id
    for _try in range(TRIES):
        name, _folder = drawn_by_number(catalogue, random_number(word), rubric, chosen())
        found = drawn_jobs(catalogue, [name]).get(name)
        if found is not None and not {*found.real_faults} & {*job.real_faults}:
            return name
    raise WrongUse(_("no vehicle with the same complaint and another fault was found; try again"))


# -- drawn ahead -------------------------------------------------------------------------------------------------------


def lacking(catalogue: Catalogue, records: Sequence[Kept], day: date) -> list[str]:
    """Numbers of the vehicles to draw ahead, one for each kind that a learner may want next: what is due, the vehicle
    of the day, any, what is confused most, and the kinds drawn for lately.
    """
    opened = {kept.job for kept in records}
    there = waiting(catalogue, opened)
    lately = [word for kept in records if (word := kind_of(kept.job)) and not word.startswith(PAIR)]
    kinds = [*due_words(catalogue, records, day), "", *confused_words(catalogue, records)[:1]]
    kinds += list(dict.fromkeys(lately))[:USED_LATELY]
    wanted = [random_number(word) for word in dict.fromkeys(kinds) if word not in there]
    of_day = number_of_day(day)
    return [of_day, *wanted] if not is_drawn(of_day) else wanted
