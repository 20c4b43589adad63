"""Faults that no check tells apart: a diagnosis may name any of such a group."""

from __future__ import annotations

import numpy as np

from grading.observer.particles import Hypotheses
from grading.reference.policy import tries
from grading.reference.preparation import Readiness

TWINS = 48
"""Vehicles of each fault that are compared: the same vehicles, but for the fault."""
TOLD_APART_BITS = 0.03
"""Information of the best check about which of two equally likely faults it is, below which they are one group."""
SUSPECTED = 0.02
"""Belief below which a fault needs no group: it takes nothing away from the declared one."""


def told_apart(imagined: Hypotheses, one: int, other: int) -> bool:
    """Whether any single check says which of two faults (indices) it is, with a fresh vehicle."""
    keep = np.concatenate([np.flatnonzero(imagined.label == fault)[:TWINS] for fault in sorted((one, other))])
    pair = imagined.copy(keep)
    pair.log_weight, pair.drawn = np.zeros(len(keep)), np.ones(len(imagined.faults))
    return any(option.bits >= TOLD_APART_BITS for option, _ in tries(pair, Readiness(), set()))


def group_of(
    imagined: Hypotheses, declared: int, belief: np.ndarray, known: dict[frozenset[int], bool]
) -> frozenset[str]:
    """Ids of the declared fault and of those, among the faults still believed in, that no check parts from it.

    known: pairs asked about before, by their indices; takes in those that are worked out now.
    """
    faults, same = imagined.faults, [declared]
    for rival in np.flatnonzero(belief >= SUSPECTED).tolist():
        pair = frozenset((declared, rival))
        if rival != declared:
            if pair not in known:
                known[pair] = told_apart(imagined, declared, rival)
            if not known[pair]:
                same.append(rival)
    return frozenset(faults[k].id for k in same)
