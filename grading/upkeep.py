"""Keeping the imagined vehicles few and telling: more of a fault of which too few are left, fewer that hardly count."""

from __future__ import annotations

import numpy as np

from grading.belief import Hypotheses, draw_places
from grading.tempering import tempered
from sim.variation import uniform

BATCH = 96
"""Vehicles added to a fault that is still believed in but of which few are left."""
LITTLE = 250
"""Vehicles so few that none need be left out."""
UNSURE = 0.02
"""Standard error of the belief in a fault above which it is given more vehicles."""
MOST_PER_FAULT = 480
KEPT = 600
"""Vehicles carried on after each reading, about."""
KEPT_PER_FAULT = 12
"""Of these, so many at least of each fault still in question."""
KEPT_OF_DOUBTFUL = 5
"""The same of a fault whose belief is below DOUBTFUL: should it rise again, more are drawn."""
DOUBTFUL = 1e-3
MOST_KEPT = 100
"""Vehicles of one fault carried on at most: they tell its belief to a hundredth."""
PRUNED = 1e-5
"""Belief below which a fault is no longer in question."""
FEW = 10.0
"""Effective number of a fault's vehicles below which it is starved."""
MISSED = 3.0
"""Times that a reading must be likelier by the spread of a fault's vehicles than by the vehicles themselves."""
DRAWN_IN_VAIN = 240
"""Vehicles drawn of a fault beyond which moving those there are helps more than drawing others."""
CONTENDS = 0.02
"""Belief that a starved fault could have, from which its vehicles are moved."""
MOST_MOVED = 3
"""Starved faults whose vehicles are moved after one reading, the likeliest."""


def settle(hypotheses: Hypotheses) -> Hypotheses:
    """The belief with more vehicles of the faults of which too few are left, and without those that hardly count."""
    moved = hypotheses
    for fault in starved(hypotheses):
        moved = tempered(moved, fault)
    short = (moved.error() > UNSURE) & (moved.drawn < MOST_PER_FAULT * moved.scale) & ~moved.moved
    if not short.any():
        return thinned(moved)
    batch = BATCH * moved.scale
    drawn = {int(moved.drawn[k]) for k in np.flatnonzero(short)}
    fresh = {first: draw_places(moved.seed, batch, first) for first in drawn}
    places = {int(k): fresh[int(moved.drawn[k])] for k in np.flatnonzero(short)}
    whole = moved.joined(moved.fresh(places))
    whole.drawn = moved.drawn + np.where(short, batch, 0)
    return thinned(whole)


def starved(hypotheses: Hypotheses) -> list[int]:
    """Faults that may explain the last reading but of which hardly a vehicle does; the likeliest few."""
    label, count = hypotheses.label, len(hypotheses.faults)
    now = hypotheses.weights()
    before = np.bincount(label, now / np.exp(hypotheses.last), minlength=count)
    after = np.bincount(label, now, minlength=count)
    could = np.maximum(before * np.exp(hypotheses.foreseen), after)
    share = could / (1.0 + could - after)
    vain = hypotheses.drawn >= DRAWN_IN_VAIN * hypotheses.scale
    few = (share > CONTENDS) & (hypotheses.effective() < FEW) & (vain | (could > MISSED * after))
    return [int(k) for k in np.argsort(-share, kind="stable") if few[k]][:MOST_MOVED]


def thinned(hypotheses: Hypotheses) -> Hypotheses:
    """About KEPT of the vehicles, so chosen that no expectation changes.

    Those that hardly count stay with a chance in proportion to their weight and then stand for those left out; the
    choice goes evenly through each fault's vehicles. Faults below PRUNED go altogether, and their mass is noted.
    """
    label, scale, count = hypotheses.label, hypotheses.scale, len(hypotheses.faults)
    if len(label) <= LITTLE * scale:
        return hypotheses
    belief = hypotheses.belief()
    lost = belief < PRUNED
    w = np.where(lost[label], 0.0, hypotheses.weights())
    expected = np.bincount(label, _chances(w, KEPT * scale), minlength=count)
    least = scale * np.where(belief < DOUBTFUL, KEPT_OF_DOUBTFUL, KEPT_PER_FAULT)
    wanted = np.clip(expected, least, MOST_KEPT * scale)
    chance = np.zeros(len(label))
    for fault in np.flatnonzero(~lost & (expected > 0.0)):
        mine = label == fault
        chance[mine] = _chances(w[mine], wanted[fault])
    start = uniform(hypotheses.seed, "kept", len(hypotheses.past))
    keep = np.flatnonzero(np.diff(np.floor(start + np.cumsum(chance)), prepend=0.0) > 0.0)
    kept = hypotheses.copy(keep)
    kept.log_weight = kept.log_weight - np.log(chance[keep])
    kept.dropped = hypotheses.dropped + float(belief[lost].sum())
    return kept


def _chances(w: np.ndarray, count: float) -> np.ndarray:
    """Chances min(1, w / c) of being kept, with the c that keeps count of them on average."""
    falling = np.sort(w)[::-1]
    rest = np.cumsum(falling[::-1])[::-1]  # weight of this vehicle and all lighter ones
    certain = np.arange(len(w))
    fits = np.flatnonzero(falling * np.maximum(count - certain, 0) < rest)
    if not len(fits) or fits[0] >= count:
        return np.minimum(1.0, np.where(w > 0.0, 1.0, 0.0))
    first = fits[0]
    return np.minimum(1.0, w * (count - first) / rest[first])
