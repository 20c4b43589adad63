"""Faults that no check tells apart: a diagnosis may name any of such a group."""

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
"""Vehicles of each fault that are compared: the same vehicles, but for the fault."""
TOLD_APART_BITS = 0.03
"""Information of the best check about which of two equally likely faults it is, below which they are one group."""
SUSPECTED = 0.02
"""Belief below which a fault needs no group: it takes nothing away from the declared one."""
HANDED_BACK = 5
"""Of the twins of a fault, those that are followed through the month after it was taken for a sound vehicle."""


def distinguishable(prior_particles: Particles, one: int, other: int) -> bool:
    """Whether any single check says which of two faults (indices) it is, with a fresh vehicle."""
    keep = np.concatenate([np.flatnonzero(prior_particles.label == fault)[:TWINS] for fault in sorted((one, other))])
    pair = prior_particles.copy(keep)
    pair.log_weight, pair.drawn = np.zeros(len(keep)), np.ones(len(prior_particles.faults))
    return any(option.bits >= TOLD_APART_BITS for option, _ in evaluated_options(pair, Readiness(), set()))


def brought_back(prior_particles: Particles, fault: int) -> bool:
    """Whether customers would bring back vehicles with a fault (index) that were handed back untouched: most of those
    followed bring a complaint within the month. One that cannot be calculated to its end does not count.
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
    """Whether either of two faults (indices) may be named for the other: no check tells them apart, and where one of
    them is nothing at all, nobody would bring the vehicle back.
    """
    if distinguishable(prior_particles, one, other):
        return False
    real = [k for k in (one, other) if prior_particles.faults[k].changes]
    return len(real) != 1 or not brought_back(prior_particles, real[0])


def group_of(
    prior_particles: Particles, declared: int, belief: np.ndarray, known: dict[frozenset[int], bool]
) -> frozenset[str]:
    """Ids of the declared fault and of those, among the faults still believed in, that may be named for it.

    known: whether pairs asked about before, by their indices, are told apart; takes in those that are worked out now.
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
