"""What could be done next: every check with the preparations that it wants, tried on some of the possible vehicles."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

import numpy as np

from grading.observer.foresight import as_it_stands, carried_out
from grading.observer.information import Moment, entropy
from grading.observer.particles import Hypotheses
from grading.reference.preparation import Readiness, preparation, stood, too_warm
from scenarios.actions import Action, NotPossible
from scenarios.model import Check
from scenarios.workshop import WALK_MINUTES

FOLLOWED = 128
"""Vehicles that the look ahead tries a check on."""
PILOT = 4
"""A check that must be carried out is first tried on one vehicle in so many."""
DOUBT_FACTOR, DOUBT_BITS = 1.5, 0.02
"""Allowance for what those few vehicles may underestimate. In eight grades 1,196 checks were carried out; none whose
rate came within reach of the best was estimated lower than this allows, and two thirds could be left out."""
VERIFIES, CONFIRMS = "verifies", "confirms"


@dataclass(frozen=True)
class Option:
    """A check that could be next: its preparations, minutes of all, expected information [bit] and expected belief in
    the likeliest fault afterwards. Minutes that the vehicle only stands count for less (``preparation.at_work``).

    purpose: why it is advised where not for its information: VERIFIES the complaint, or CONFIRMS what will be declared.
    """

    check: Check
    before: tuple[Action, ...]
    minutes: float
    bits: float
    surest: float
    purpose: str = ""

    @property
    def rate(self) -> float:
        """Information per minute [bit/min]."""
        return self.bits / max(self.minutes, 0.25)


def _sample(hypotheses: Hypotheses, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Indices of at most count vehicles, drawn evenly through the cumulative weights, and what each then counts."""
    w = hypotheses.weights()
    if len(w) <= count:
        return np.arange(len(w)), w
    places = (np.arange(count) + 0.5) / count
    return np.unique(np.minimum(np.searchsorted(np.cumsum(w), places), len(w) - 1), return_counts=True)


def _after(before: tuple[Action, ...], moments: dict[tuple[Action, ...], Hypotheses | None]) -> Hypotheses | None:
    """The moment after some preparations, None where they cannot be done; what checks share of them is done once."""
    if before not in moments:
        earlier = _after(before[:-1], moments)
        made = None if earlier is None else earlier.copy()
        try:
            if made is not None:
                made.act(before[-1])
        except NotPossible:
            made = None
        moments[before] = made
    return moments[before]


@dataclass(frozen=True)
class Prospect:
    """What could be done next: near, the few vehicles it was tried on; found, every check that could be next, best
    information per minute first; shown, the chances of its tried outcomes in each vehicle (TRIALS, n), likewise.
    """

    near: Hypotheses
    found: list[Option]
    shown: list[np.ndarray]


def tries(
    near: Hypotheses,
    readiness: Readiness,
    done: set[str],
    let_cool: bool = False,
    longest: float = np.inf,
    reach: float = 0.0,
) -> Iterator[tuple[Option, np.ndarray]]:
    """Every check that could be next and the chances of its tried outcomes in each vehicle (TRIALS, n): first those
    read as things stand after their preparations, fewest preparations first, then those that must be carried out
    (``Check.changes_meanwhile``), likewise; each is tried when asked for. Arguments as in ``prospect``. Vehicles that
    cannot be calculated to the end of some preparations or of a check lose their weight in near.
    """
    best, most_bits = 0.0, float(entropy(near.by_cause()))  # no check tells more than is left to be known
    groups: dict[tuple[Action, ...], list[Check]] = {}
    for check in near.workshop.catalogue.checks_of(near.workshop.vehicle):
        if check.id in done or not check.readings or too_warm(check, readiness) != let_cool:
            continue
        before = preparation(near.workshop, check, readiness, let_cool)
        if before is not None:
            groups.setdefault(tuple(before), []).append(check)
    moments: dict[tuple[Action, ...], Hypotheses | None] = {(): near}
    order = sorted(groups, key=len)
    for acted in (False, True):
        for before in order:
            tried = _after(before, moments)
            if tried is None or not _leave_out(near, tried.workshop.fleet.failed):
                continue
            minutes, place = tried.workshop.minute - near.workshop.minute - stood(before), tried.workshop.place
            takes = {c.id: minutes + c.minutes + WALK_MINUTES * (c.place != place) for c in groups[before]}
            changing = [c for c in groups[before] if c.changes_meanwhile and takes[c.id] <= longest]
            later = [c for c in changing if most_bits >= reach * best * takes[c.id]]
            moment = Moment(tried)
            if acted:
                later = _promising(moment, later, takes, reach * best)
                shows = chain(carried_out(tried, later), as_it_stands(moment, [c for c in changing if c not in later]))
            else:
                shows = as_it_stands(moment, [c for c in groups[before] if c not in changing])
            for shown in shows:
                if _leave_out(near, shown.failed):
                    of = moment.without(shown.failed)
                    outcomes = of.outcomes(shown.looks)
                    bits, surest = of.told(outcomes)
                    option = Option(shown.check, before, takes[shown.check.id], max(bits, 0.0), surest)
                    best = max(best, option.rate)
                    yield option, outcomes


def _promising(moment: Moment, checks: list[Check], takes: dict[str, float], least: float) -> list[Check]:
    """Checks whose rate of information could reach least [bit/min], judged by carrying them out on a few vehicles.

    takes: minutes of each. What is left out falls short of that as things stand, too.
    """
    few = np.arange(PILOT // 2, len(moment.weights), PILOT)
    if least <= 0.0 or len(few) < PILOT * PILOT // 2:
        return checks
    pilot = moment.hypotheses.copy(few)
    low = set()
    for shown in carried_out(pilot, checks):
        few_moment = Moment(pilot).without(shown.failed)
        bits = few_moment.told(few_moment.outcomes(shown.looks))[0]
        wanted = least * max(takes[shown.check.id], 0.25)
        falls_short = DOUBT_FACTOR * bits + DOUBT_BITS < wanted
        if falls_short and moment.told(moment.outcomes(moment.looks(shown.check)))[0] < wanted:
            low.add(shown.check.id)
    return [check for check in checks if check.id not in low]


def _leave_out(near: Hypotheses, failed: np.ndarray) -> bool:
    """Take their weight from vehicles that have failed (n,), which tell nothing of any check; whether some are left."""
    lost = failed | (near.log_weight == -np.inf)
    if failed.any() and not lost.all():
        near.log_weight = np.where(lost, -np.inf, near.log_weight)
    return not bool(lost.all())


def prospect(
    hypotheses: Hypotheses,
    readiness: Readiness,
    done: set[str],
    let_cool: bool = False,
    longest: float = np.inf,
    reach: float = 0.0,
) -> Prospect:
    """Every check that could be next, tried on some vehicles.

    done: checks not to be tried again; let_cool: those alone for which the engine must cool first, which the others
    leave out. Two kinds of check are always read as things stand, for they would not be taken: those that with their
    preparations last longer than longest [min], and those whose rate of information could not come to the share reach
    of the best found.
    """
    chosen, shares = _sample(hypotheses, FOLLOWED)
    near = hypotheses.copy(chosen)
    near.drawn = np.ones(len(near.drawn))
    near.log_weight = np.log(np.maximum(shares, 1e-300))
    tried = tries(near, readiness, done, let_cool, longest, reach)
    found = sorted(tried, key=lambda one: (-one[0].rate, one[0].check.id))
    return Prospect(near, [option for option, _ in found], [outcomes for _, outcomes in found])


def options(hypotheses: Hypotheses, readiness: Readiness, done: set[str], let_cool: bool = False) -> list[Option]:
    """Checks that could be next, best information per minute first; done, let_cool: as in ``prospect``."""
    return prospect(hypotheses, readiness, done, let_cool).found
