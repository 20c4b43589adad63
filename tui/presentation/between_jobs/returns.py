"""What was confused comes back: two faults that were taken for each other are due again after 1, 3 and 7 days."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from tui.presentation.between_jobs.attempts import Attempt, Pair, pair_of

DAYS = (1, 3, 7)
"""Days after a confusion on which it comes back."""


@dataclass(frozen=True, slots=True)
class Return:
    """A pair that comes back: since: the day of the latest confusion; passed: how often it came back and was passed
    since, fewer than ``DAYS`` are long; day: from when it is due.
    """

    pair: Pair
    since: date
    passed: int
    day: date


def returns(attempts: Iterable[Attempt]) -> list[Return]:
    """The pairs that still come back, the earliest first.

    attempts: oldest first. A confusion begins anew. A pass of a job with either fault counts once the pair is due; a
    late one moves the next return by as much, so that two never come on one day. After the last one it is done with.
    """
    open_: dict[Pair, Return] = {}
    for attempt in attempts:
        day = attempt.day
        if day is None:
            continue
        for declared, real in attempt.mistaken:
            pair = pair_of(declared, real)
            open_[pair] = Return(pair, day, 0, day + timedelta(DAYS[0]))
        if attempt.passed and not attempt.mistaken:
            for pair in [pair for pair in open_ if set(pair) & set(attempt.real) and day >= open_[pair].day]:
                later = _passed(open_.pop(pair), day)
                if later is not None:
                    open_[pair] = later
    return sorted(open_.values(), key=lambda one: (one.day, one.since, one.pair))


def _passed(one: Return, day: date) -> Return | None:
    """What is left of a return that was passed on a day, None where that was the last."""
    passed = one.passed + 1
    if passed == len(DAYS):
        return None
    gap = timedelta(DAYS[passed] - DAYS[passed - 1])
    return replace(one, passed=passed, day=max(one.since + timedelta(DAYS[passed]), day + gap))


def due(attempts: Iterable[Attempt], today: date) -> list[Return]:
    """The pairs that are due on a day, the longest due first."""
    return [one for one in returns(attempts) if one.day <= today]
