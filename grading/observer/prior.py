"""The complaint as the first evidence: how likely a customer with each fault would come with just these words."""

from __future__ import annotations

import numpy as np

from scenarios.model import Fault, Job

KIN = (
    frozenset(
        {"cold", "lukewarm", "cold at idle", "cold on the road", "cold standing", "cold in the rear", "slow", "fogging"}
    ),
    frozenset({"no air", "weak air", "weak full speed", "wrong outlet"}),
    frozenset({"overheating", "gauge", "losing coolant", "fan noise", "poor coolant"}),
    frozenset({"fogging", "wet carpet", "losing coolant"}),
)
"""Complaints that a customer takes for one another."""
SAID = 1.0
NEARLY_SAID = 0.2
"""Chance, beside that of a complaint which the fault shows, of one akin to it (common practice, no source)."""
UNSAID = 0.01
"""The same of any other: two things wrong at once, or a customer who is mistaken (common practice, no source)."""
MISTOLD = 0.15
"""Chance of saying that what is steady comes and goes, or of leaving out that it does (common practice, no source)."""

TWO_AT_ONCE = 0.05
"""Share of arrivals with two faults (common practice, no source)."""


def told(job: Job, fault: Fault) -> float:
    """Chance, up to a factor that all faults share, of the job's complaint from a customer with this fault.

    Example: a fault that shows "no air" is told as "cold" with UNSAID.
    """
    chance = 1.0
    for kind in job.complains_of:
        akin = any(kind in kin and kin & set(fault.shows) for kin in KIN)
        chance *= SAID if kind in fault.shows else NEARLY_SAID if akin else UNSAID
    return chance * (1.0 - MISTOLD if fault.comes_and_goes == job.comes_and_goes else MISTOLD)


def may_come_together(one: Fault, other: Fault) -> bool:
    """Whether a vehicle can have both faults: each changes something, and they are of different parts."""
    return bool(one.changes) and bool(other.changes) and one.part != other.part


def prior_of_pairs(job: Job, faults: list[Fault], pairs: list[tuple[int, int]]) -> np.ndarray:
    """Probability (pairs,) of two faults at once, over that of all single faults together.

    Shared by the product of the rates times the likelier complaint (an assumption): a customer with two complaints
    tells the one that the better goes with.
    """
    if not pairs:
        return np.zeros(0)
    rates, chances = np.array([fault.rate for fault in faults]), np.array([told(job, fault) for fault in faults])
    weight = np.outer(rates, rates) * np.maximum.outer(chances, chances)
    can = np.array([[may_come_together(one, other) for other in faults] for one in faults])
    whole = float(np.triu(weight * can, 1).sum())
    return TWO_AT_ONCE / (1.0 - TWO_AT_ONCE) * np.array([weight[pair] for pair in pairs]) / whole


def prior(job: Job, faults: list[Fault]) -> np.ndarray:
    """Probability of each fault (faults,) by its rate and the complaint, before anything is looked at. Bayes' rule."""
    chances = np.array([fault.rate * told(job, fault) for fault in faults])
    return chances / chances.sum()
