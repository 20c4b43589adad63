"""Faults that no check tells apart: a diagnosis may name any of such a group."""

from __future__ import annotations

import numpy as np

from grading.belief import Hypotheses
from grading.planning import Readiness
from grading.reference import options

TWINS = 48
"""Vehicles of each fault that are compared: the same vehicles, but for the fault."""
TOLD_APART_BITS = 0.03
"""Information of the best check about which of two equally likely faults it is, below which they are one group."""
SUSPECTED = 0.02
"""Belief below which a fault needs no group: it takes nothing away from the declared one."""


def parting_bits(imagined: Hypotheses, one: int, other: int) -> float:
    """Information [bit] of the best single check about which of two faults (indices) it is, with a fresh vehicle."""
    keep = np.concatenate([np.flatnonzero(imagined.label == fault)[:TWINS] for fault in sorted((one, other))])
    pair = imagined.copy(keep)
    pair.log_weight, pair.drawn = np.zeros(len(keep)), np.ones(len(imagined.faults))
    found = options(pair, Readiness(), set())
    return max((option.bits for option in found), default=0.0)


def group_of(
    imagined: Hypotheses, declared: int, belief: np.ndarray, known: dict[frozenset[int], float]
) -> frozenset[str]:
    """Ids of the declared fault and of those, among the faults still believed in, that no check parts from it.

    known: bits of pairs asked for before, by their indices; takes in those that are worked out now.
    """
    faults, same = imagined.faults, [declared]
    for rival in np.flatnonzero(belief >= SUSPECTED).tolist():
        pair = frozenset((declared, rival))
        if rival != declared:
            if pair not in known:
                known[pair] = parting_bits(imagined, declared, rival)
            if known[pair] < TOLD_APART_BITS:
                same.append(rival)
    return frozenset(faults[k].id for k in same)
