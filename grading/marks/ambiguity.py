"""Groups of faults that no check can distinguish: a diagnosis may name any fault of a group."""

from __future__ import annotations

import numpy as np

from grading.marks.comeback import DAYS, follow
from grading.observer.particles import Particles
from grading.reference.options import evaluated_options
from grading.reference.preparation import Readiness
from scenarios.physics_failure import PhysicsFailed
from sim.fleet import Fleet
from sim.world import World

TWINS = 48
"""Particles of each fault that are compared, with common random numbers."""
TOLD_APART_BITS = 0.03
"""Information [bit] of the best check between two equally likely faults, below which they form a group."""
SUSPECTED = 0.02
"""Belief below which a fault is not considered for the group of the declared one."""
HANDED_BACK = 5
"""Particles of a fault that are simulated through the month after hand-back without repair."""


def distinguishable(prior_particles: Particles, one: int, other: int) -> bool:
    """Whether any single check on a vehicle as it arrives distinguishes two faults (indices)."""
    keep = np.concatenate([np.flatnonzero(prior_particles.label == fault)[:TWINS] for fault in sorted((one, other))])
    pair = prior_particles.copy(keep)
    pair.log_weight, pair.drawn = np.zeros(len(keep)), np.ones(len(prior_particles.faults))
    return any(option.bits >= TOLD_APART_BITS for option, _ in evaluated_options(pair, Readiness(), set()))


def brought_back(prior_particles: Particles, fault: int) -> bool:
    """Whether most vehicles with a fault (index) that are handed back without repair bring a complaint within a month.
    Vehicles whose equations cannot be solved to its end do not count.
    """
    twins = np.flatnonzero(prior_particles.label == fault)[:TWINS]
    job, workshop = prior_particles.job, prior_particles.workshop
    atmosphere = float(workshop.fleet.controls["atmosphere_kPa"][0])
    complaints = []
    for k in twins[:: max(len(twins) // HANDED_BACK, 1)][:HANDED_BACK]:
        one = np.array([k])
        sound = Fleet.cold(workshop.good[one], job.ambient_C, atmosphere)
        world = World(Fleet.joined(workshop.fleet.select(one), sound), workshop.world.weather, workshop.world.now)
        try:
            complaints.append(follow(world, [job.ambient_C] * DAYS, job.warm_enough_C).day is not None)
        except PhysicsFailed:
            continue
    return sum(complaints) * 2 > len(complaints)


def same(prior_particles: Particles, one: int, other: int) -> bool:
    """Whether either of two faults (indices) may be named for the other: no check distinguishes them and, if one of
    them is no fault, customers would not bring the vehicle back.
    """
    if distinguishable(prior_particles, one, other):
        return False
    real = [k for k in (one, other) if prior_particles.faults[k].changes]
    return len(real) != 1 or not brought_back(prior_particles, real[0])


def group_of(
    prior_particles: Particles, declared: int, belief: np.ndarray, known: dict[frozenset[int], bool]
) -> frozenset[str]:
    """Ids of the declared fault and of those with a relevant belief that may be named for it.

    known: cache, updated here: pair of indices to whether the two may not be named for each other.
    """
    faults, group = prior_particles.faults, [declared]
    for rival in np.flatnonzero(belief >= SUSPECTED).tolist():
        pair = frozenset((declared, rival))
        if rival != declared:
            if pair not in known:
                known[pair] = not same(prior_particles, declared, rival)
            if not known[pair]:
                group.append(rival)
    return frozenset(faults[k].id for k in group)
