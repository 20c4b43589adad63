"""Keeping the imagined vehicles few and telling: more of a fault of which too few are left, fewer that hardly count."""

from __future__ import annotations

import math

import numpy as np

from grading.observer.particles import Hypotheses, draw_places
from grading.observer.tempering import tempered
from sim.vehicle.tolerances import uniform

BATCH = 96
"""Vehicles are added to a fault in multiples of this."""
ROUNDS = 2
"""Times after one reading that more are added: what the first adds tells better how many are wanting."""
LITTLE = 250
"""Vehicles so few that none need be left out."""
UNSURE = 0.03
"""Standard error of the belief in a fault above which it is given more vehicles."""
MOST_PER_FAULT = 720
"""Vehicles drawn of a fault at most; beyond, moving those there are helps more than drawing others."""
MOST_ADDED = 1152
"""Vehicles added at one time to all faults together, about: to replay one takes half a millisecond."""
KEPT = 450
"""Vehicles carried on after each reading, about."""
KEPT_PER_FAULT = 8
"""Of these, so many at least of each fault still in question."""
KEPT_OF_DOUBTFUL = 3
"""The same of a fault whose belief is below DOUBTFUL: should it rise again, more are drawn."""
DOUBTFUL = 1e-3
MOST_KEPT = 200
"""Vehicles of one fault carried on at most: with half as many, two seeds differed half as much again."""
PRUNED = 1e-5
"""Belief below which a fault is no longer in question."""
FEW = 4.0
"""Effective number of a fault's vehicles below which their weights no longer tell how sure they are."""
MISSED = 3.0
"""Times that a reading must be likelier by the spread of a fault's vehicles than by the vehicles themselves."""
CONTENDS = 0.02
"""Belief that a fault could have, from which it is worth more vehicles, or moving them."""
MOST_MOVED = 3
"""Starved faults whose vehicles are moved after one reading, the likeliest."""


def settle(hypotheses: Hypotheses) -> Hypotheses:
    """The belief with more vehicles of the faults of which too few are left, and without those that hardly count."""
    whole = hypotheses
    for _ in range(ROUNDS):
        short = wanting(whole)
        if not short.any():
            break
        whole = enlarged(whole, short)
    for fault in starved(whole):
        whole = tempered(whole, fault)
    return thinned(whole)


def wanting(hypotheses: Hypotheses) -> np.ndarray:
    """Which faults should have more vehicles drawn, and can (faults,): their belief is unsure, or they contend and
    few of those drawn explain the last reading, or explain it far less well than vehicles between them would.
    """
    share, gain = _promise(hypotheses)
    contends = (share > CONTENDS) & ((hypotheses.effective() < FEW) | (gain > MISSED))
    can = (hypotheses.drawn < MOST_PER_FAULT * hypotheses.scale) & ~hypotheses.moved
    return ((hypotheses.error_by_cause() > UNSURE) | contends) & can


def enlarged(hypotheses: Hypotheses, short: np.ndarray) -> Hypotheses:
    """The belief with more vehicles of some faults (faults,): of each as many as the one most unsure should have, for
    faults alike are told apart best by vehicles alike in all else.
    """
    drawn, most, batch = hypotheses.drawn.astype(int), MOST_PER_FAULT * hypotheses.scale, BATCH * hypotheses.scale
    lacking = float((drawn * ((hypotheses.error_by_cause() / UNSURE) ** 2 - 1.0))[short].max())
    each = max(MOST_ADDED * hypotheses.scale // int(short.sum()), batch)
    count = batch * math.ceil(min(max(lacking, 1.0), each) / batch)
    fresh = {k: draw_places(hypotheses.seed, min(count, most - k), k) for k in sorted(set(drawn[short].tolist()))}
    places = {int(fault): fresh[drawn[fault]] for fault in np.flatnonzero(short)}
    whole = hypotheses.joined(hypotheses.fresh(places)).without_failed()
    for fault, added in places.items():
        whole.drawn[fault] += len(added)
    return whole


def starved(hypotheses: Hypotheses) -> list[int]:
    """Faults that contend but of which hardly a vehicle explains what was read, though as many were drawn as may be;
    the likeliest few.
    """
    share, _ = _promise(hypotheses)
    vain = (hypotheses.drawn >= MOST_PER_FAULT * hypotheses.scale) | hypotheses.moved
    few = (share > CONTENDS) & (hypotheses.effective() < FEW) & vain
    return [int(k) for k in np.argsort(-share, kind="stable") if few[k]][:MOST_MOVED]


def _promise(hypotheses: Hypotheses) -> tuple[np.ndarray, np.ndarray]:
    """Belief that each fault could have if its vehicles showed the last reading as their spread lets expect, and how
    many times likelier than by the vehicles themselves that would make the reading, both (faults,).
    """
    label, count = hypotheses.label, len(hypotheses.drawn)
    now = hypotheses.weights()
    before = np.bincount(label, now / np.exp(hypotheses.last), minlength=count)
    after = np.bincount(label, now, minlength=count)
    could = np.maximum(before * np.exp(hypotheses.foreseen), after)
    return could / (1.0 + could - after), could / np.maximum(after, 1e-300)


def thinned(hypotheses: Hypotheses) -> Hypotheses:
    """About KEPT of the vehicles, so chosen that expectations change by chance alone, and little.

    Those that hardly count stay with a chance in proportion to their weight and then stand for those left out; each
    fault keeps its belief. Vehicles alike but for their fault stay or go together, so that what is left tells faults
    apart as all did. Faults below PRUNED go altogether, and their mass is noted.
    """
    label, scale, count = hypotheses.label, hypotheses.scale, len(hypotheses.drawn)
    if len(label) <= LITTLE * scale:
        return hypotheses
    belief = hypotheses.by_cause()
    lost = belief < PRUNED
    w = np.where(lost[label], 0.0, hypotheses.weights())
    expected = np.bincount(label, _chances(w, KEPT * scale), minlength=count)
    least = scale * np.where(belief < DOUBTFUL, KEPT_OF_DOUBTFUL, KEPT_PER_FAULT)
    wanted = np.clip(expected, least, MOST_KEPT * scale)
    lots = lots_of(hypotheses.quantiles, uniform(hypotheses.seed, "kept", len(hypotheses.past)))
    chosen, lift = [], []
    for fault in np.flatnonzero(~lost & (expected > 0.0)):
        mine = np.flatnonzero(label == fault)
        chance = _chances(w[mine], wanted[fault])
        drawn = drawn_by_lot(chance, lots[mine])
        share = w[mine[drawn]] / chance[drawn]
        chosen.append(mine[drawn])
        lift.append(np.log(w[mine].sum() / share.sum()) - np.log(chance[drawn]))
    kept = hypotheses.copy(np.concatenate(chosen))
    kept.log_weight = kept.log_weight + np.concatenate(lift)
    kept.dropped = hypotheses.dropped + float(belief[lost].sum())
    return kept


def lots_of(quantiles: np.ndarray, key: float) -> np.ndarray:
    """A lot 0..1 for each vehicle (n,), the same for equal tolerances, so that what two faults have in common is kept
    or left out in both: a hash (splitmix64's finish, Steele, Lea and Flood 2014) of its first quantile and a key 0..1.
    """
    words = np.ascontiguousarray(quantiles[:, 0]).view(np.uint64) + np.uint64(int(key * 2.0**63))
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        words = (words ^ (words >> np.uint64(shift))) * np.uint64(factor)
    return ((words ^ (words >> np.uint64(31))) >> np.uint64(11)).astype(np.float64) / 2.0**53


def drawn_by_lot(chance: np.ndarray, lots: np.ndarray) -> np.ndarray:
    """Indices of vehicles drawn with given chances (n,), as many as the chances' sum, by their lots (n,).

    Pareto sampling (Rosen 1997): those with the smallest odds of lot over odds of chance.
    """
    with np.errstate(over="ignore"):  # a chance of next to nothing: infinite odds, drawn last
        odds = lots * (1.0 - chance) / np.where(chance > 0.0, chance * (1.0 - lots), 1e-300)
    return np.sort(np.argsort(odds, kind="stable")[: round(float(chance.sum()))])


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
