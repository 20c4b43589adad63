"""The options for the next step: every check with its preparations, evaluated on a sample of the particles."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

import numpy as np

from grading.observer.foresight import read_now, simulated
from grading.observer.information import OutcomeSampler, entropy
from grading.observer.particles import Particles
from grading.reference.preparation import Readiness, discounted_minutes, preparation, too_warm
from scenarios.actions import Action, NotPossible
from scenarios.model import Check
from scenarios.workshop import WALK_MINUTES

SAMPLE_SIZE = 128
"""Particles on which options are evaluated."""
AHEAD_TOLERANCE = 4.0
"""Factor on the solver's tolerance there: temperatures are accurate to a few tenths of a kelvin, enough to compare
checks; beliefs are never taken from these runs."""
PILOT = 4
"""A check that must be simulated is first tried on every PILOT-th particle of the sample."""
DOUBT_FACTOR, DOUBT_BITS = 1.5, 0.02
"""Allowance for underestimates of the pilot. In eight grades 1,196 checks were simulated; none whose rate came within
reach of the best was underestimated by more, and two thirds could be left out."""
VERIFIES, CONFIRMS = "verifies", "confirms"


@dataclass(frozen=True)
class Option:
    """A possible next check.

    before: its preparations; minutes: of all, with idle time at a discount (``preparation.working_minutes``); bits:
    expected information [bit]; confidence: expected belief in the likeliest fault afterwards; purpose: VERIFIES the
    complaint or CONFIRMS the diagnosis, empty if it is advised for its information.
    """

    check: Check
    before: tuple[Action, ...]
    minutes: float
    bits: float
    confidence: float
    purpose: str = ""

    @property
    def rate(self) -> float:
        """Information per minute [bit/min]."""
        return self.bits / max(self.minutes, 0.25)


def _sample(particles: Particles, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Indices of at most count particles by systematic sampling of the weights, and the weight of each."""
    w = particles.weights()
    if len(w) <= count:
        return np.arange(len(w)), w
    places = (np.arange(count) + 0.5) / count
    return np.unique(np.minimum(np.searchsorted(np.cumsum(w), places), len(w) - 1), return_counts=True)


def _after(before: tuple[Action, ...], moments: dict[tuple[Action, ...], Particles | None]) -> Particles | None:
    """Particles after some preparations, None if these are not possible; common preparations are done once."""
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
    """Evaluated options. sample: particles they were evaluated on; found: options, best rate of information first;
    shown: likelihoods of sampled outcomes of each option (TRIALS, n), in the same order.
    """

    sample: Particles
    found: list[Option]
    shown: list[np.ndarray]


def evaluated_options(
    sample: Particles,
    readiness: Readiness,
    done: set[str],
    let_cool: bool = False,
    longest: float = np.inf,
    reach: float = 0.0,
) -> Iterator[tuple[Option, np.ndarray]]:
    """Options with the likelihoods of their sampled outcomes (TRIALS, n), evaluated lazily.

    Checks that can be read at once after their preparations come first, fewest preparations first, then those that must
    be simulated (``Check.changes_meanwhile``). Arguments as in ``prospect``. Particles that fail during preparations or
    a check lose their weight in sample.
    """
    best, most_bits = 0.0, float(entropy(sample.by_cause()))  # a check cannot give more than the remaining entropy
    groups: dict[tuple[Action, ...], list[Check]] = {}
    for check in sample.workshop.catalogue.checks_of(sample.workshop.vehicle):
        if check.id in done or not check.readings or too_warm(check, readiness) != let_cool:
            continue
        before = preparation(sample.workshop, check, readiness, let_cool)
        if before is not None:
            groups.setdefault(tuple(before), []).append(check)
    moments: dict[tuple[Action, ...], Particles | None] = {(): sample}
    order = sorted(groups, key=len)
    for acted in (False, True):
        for before in order:
            tried = _after(before, moments)
            if tried is None or not _zero_failed(sample, tried.workshop.fleet.failed):
                continue
            minutes, place = (
                tried.workshop.minute - sample.workshop.minute - discounted_minutes(before),
                tried.workshop.place,
            )
            check_minutes = {c.id: minutes + c.minutes + WALK_MINUTES * (c.place != place) for c in groups[before]}
            changing = [c for c in groups[before] if c.changes_meanwhile and check_minutes[c.id] <= longest]
            later = [c for c in changing if most_bits >= reach * best * check_minutes[c.id]]
            sampler = OutcomeSampler(tried)
            if acted:
                later = _promising(sampler, later, check_minutes, reach * best)
                shows = chain(simulated(tried, later), read_now(sampler, [c for c in changing if c not in later]))
            else:
                shows = read_now(sampler, [c for c in groups[before] if c not in changing])
            for shown in shows:
                if _zero_failed(sample, shown.failed):
                    of = sampler.without(shown.failed)
                    outcomes = of.outcomes(shown.looks)
                    bits, confidence = of.expected_information(outcomes)
                    option = Option(shown.check, before, check_minutes[shown.check.id], max(bits, 0.0), confidence)
                    best = max(best, option.rate)
                    yield option, outcomes


def _promising(
    sampler: OutcomeSampler, checks: list[Check], check_minutes: dict[str, float], least: float
) -> list[Check]:
    """Checks whose rate of information may reach least [bit/min], estimated by simulating them on a few particles.

    check_minutes: of each. Checks that are left out do not reach it when read at once, either.
    """
    few = np.arange(PILOT // 2, len(sampler.weights), PILOT)
    if least <= 0.0 or len(few) < PILOT * PILOT // 2:
        return checks
    pilot = sampler.particles.copy(few)
    low = set()
    for shown in simulated(pilot, checks):
        few_moment = OutcomeSampler(pilot).without(shown.failed)
        bits = few_moment.expected_information(few_moment.outcomes(shown.looks))[0]
        wanted = least * max(check_minutes[shown.check.id], 0.25)
        falls_short = DOUBT_FACTOR * bits + DOUBT_BITS < wanted
        if falls_short and sampler.expected_information(sampler.outcomes(sampler.looks(shown.check)))[0] < wanted:
            low.add(shown.check.id)
    return [check for check in checks if check.id not in low]


def _zero_failed(sample: Particles, failed: np.ndarray) -> bool:
    """Set the weight of failed particles (mask (n,)) to zero; return whether any weight is left."""
    lost = failed | (sample.log_weight == -np.inf)
    if failed.any() and not lost.all():
        sample.log_weight = np.where(lost, -np.inf, sample.log_weight)
    return not bool(lost.all())


def prospect(
    particles: Particles,
    readiness: Readiness,
    done: set[str],
    let_cool: bool = False,
    longest: float = np.inf,
    reach: float = 0.0,
) -> Prospect:
    """Evaluate all possible next checks on a sample of the particles.

    done: checks that are left out; let_cool: only checks for which the engine must cool first, otherwise only the
    others. Checks that would not be taken anyway are read at once instead of simulated: those that last longer than
    longest [min] with their preparations, and those whose rate cannot reach the share reach of the best.
    """
    chosen, shares = _sample(particles, SAMPLE_SIZE)
    sample = particles.copy(chosen)
    sample.workshop.fleet.tolerance_factor *= AHEAD_TOLERANCE
    sample.drawn = np.ones(len(sample.drawn))
    sample.log_weight = np.log(np.maximum(shares, 1e-300))
    tried = evaluated_options(sample, readiness, done, let_cool, longest, reach)
    found = sorted(tried, key=lambda one: (-one[0].rate, one[0].check.id))
    return Prospect(sample, [option for option, _ in found], [outcomes for _, outcomes in found])


def options(particles: Particles, readiness: Readiness, done: set[str], let_cool: bool = False) -> list[Option]:
    """Possible next checks, best rate of information first; done, let_cool: as in ``prospect``."""
    return prospect(particles, readiness, done, let_cool).found
