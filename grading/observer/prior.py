"""The prior of the observer: fault rates and the likelihood of the complaint."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from scenarios.model import Fault, Job

ABOUT_WARMTH = frozenset(
    {"cold", "lukewarm", "cold at idle", "cold on the road", "cold standing", "cold in the rear", "slow"}
)
NO_AIR = "no air"
RELATED_COMPLAINTS = (
    ABOUT_WARMTH | {"fogging"},
    frozenset({"no air", "weak air", "weak full speed", "wrong outlet"}),
    frozenset({"overheating", "gauge", "losing coolant", "fan noise", "poor coolant"}),
    frozenset({"fogging", "wet carpet", "losing coolant"}),
)
"""Groups of complaints that customers confuse."""
SHOWN_WEIGHT = 1.0
RELATED_WEIGHT = 0.2
"""Likelihoods of a complaint that the fault shows and, relative to it, of a related one (common practice, no source).
"""
UNRELATED_WEIGHT = 0.01
"""The same of any other complaint: a second problem, or a mistaken customer (common practice, no source)."""
MISREPORTED = 0.15
"""Probability of calling a steady fault intermittent or the reverse (common practice, no source)."""

TWO_AT_ONCE = 0.05
"""Share of arrivals with two faults (common practice, no source)."""


@lru_cache(maxsize=2048)
def related_complaints(shows: tuple[str, ...]) -> frozenset[str]:
    """Complaints that customers may make instead of those that a fault shows.

    Who gets no air says so, and says nothing of how warm it is: "no air" never becomes "lukewarm".
    """
    shown = frozenset(shows)
    related = frozenset().union(*(group for group in RELATED_COMPLAINTS if group & shown)) - shown
    return related - ABOUT_WARMTH if NO_AIR in shown else related


def complaint_likelihood(job: Job, fault: Fault) -> float:
    """Chance, up to a factor that all faults share, of the job's complaint from a customer with this fault.

    Example: a fault that shows "no air" gives the complaint "cold" with UNRELATED_WEIGHT.
    """
    chance = 1.0
    for kind in job.complains_of:
        akin = kind in related_complaints(fault.shows)
        chance *= SHOWN_WEIGHT if kind in fault.shows else RELATED_WEIGHT if akin else UNRELATED_WEIGHT
    return chance * (1.0 - MISREPORTED if fault.comes_and_goes == job.comes_and_goes else MISREPORTED)


def may_come_together(one: Fault, other: Fault) -> bool:
    """Whether a vehicle can have both faults: each changes something, and in different parts."""
    return bool(one.changes) and bool(other.changes) and one.part != other.part


def prior_of_pairs(job: Job, faults: list[Fault], pairs: list[tuple[int, int]]) -> np.ndarray:
    """Prior probability (pairs,) of two faults at once, relative to all single faults together.

    In proportion to the product of the rates and the higher complaint likelihood (an assumption): a customer with two
    faults reports the complaint that fits one of them better.
    """
    if not pairs:
        return np.zeros(0)
    rates, chances = (
        np.array([fault.rate for fault in faults]),
        np.array([complaint_likelihood(job, fault) for fault in faults]),
    )
    weight = np.outer(rates, rates) * np.maximum.outer(chances, chances)
    can = np.array([[may_come_together(one, other) for other in faults] for one in faults])
    whole = float(np.triu(weight * can, 1).sum())
    return TWO_AT_ONCE / (1.0 - TWO_AT_ONCE) * np.array([weight[pair] for pair in pairs]) / whole


def prior(job: Job, faults: list[Fault]) -> np.ndarray:
    """Prior probability of each fault (faults,) from its rate and the complaint likelihood, by Bayes' rule."""
    chances = np.array([fault.rate * complaint_likelihood(job, fault) for fault in faults])
    return chances / chances.sum()
