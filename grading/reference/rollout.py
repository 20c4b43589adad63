"""What to do next when every check takes minutes and a wrong repair takes more: the rule of the reference.

Possible vehicles n with weights w, each with a fault; checks with outcomes o, each with its chance in each vehicle. A
base rule takes the check with most information about the fault per minute and goes on while that is expected to save
minutes. The rule itself looks one step further than its base: it takes the check after which the base rule would be
cheapest, and stops when stopping is cheaper than that (a rollout). Where the base rule is not followed to its end, what
follows is guessed from the bits still open.

EC2, which is greedy too and has a bound, is kept for comparison alone: where beliefs are unequal it takes noise for
gain, and among some seventy checks there is always a quick noisy one.

Sources: EC2 after Golovin, Krause and Ray (2010); rollout after Bertsekas and Castanon (1999), its cut horizon after
Bertsekas; order of repairs after Heckerman, Breese and Rommelse (1995); formulas from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sim.compile import jit, jit_making_arrays

LEAST_GAIN = 1e-3
"""Information [bit] below which a check counts as telling nothing."""
PER_BIT = 8.0
"""Minutes that a bit still open costs where the rollout looks no further: about what the reference's own courses take
(20 minutes for the three bits of a complaint)."""
LEAST_SHARE = 1e-4
"""Share of the weight below which a vehicle is passed over in looking for the best check."""


@dataclass(frozen=True)
class Table:
    """Checks that could be done, as chances.

    label: fault of each vehicle (n,), rising; faults: how many there are; chance: of each outcome in each vehicle [-],
    (checks, outcomes, n), sums to 1 over the outcomes; takes: minutes of each check, with what must be done before it,
    in each state of things (states, checks), infinite where it cannot be had any more; leads: the state after it,
    (states, checks); wrong: what a wrong repair costs [min]. Each check is thought of as done once at most, for looking
    again would err alike.
    """

    label: np.ndarray
    faults: int
    chance: np.ndarray
    takes: np.ndarray
    leads: np.ndarray
    wrong: float

    @classmethod
    def of_outcomes(cls, outcomes: np.ndarray, minutes: np.ndarray, wrong: float) -> Table:
        """Noiseless checks without preparations: outcomes (checks, faults), whole numbers; minutes (checks,)."""
        kinds = np.arange(int(outcomes.max()) + 1)
        chance = (outcomes[:, None, :] == kinds[None, :, None]).astype(np.float64)
        checks, faults = outcomes.shape
        nowhere = np.zeros((1, checks), dtype=np.int64)
        return cls(np.arange(faults), faults, chance, minutes.astype(np.float64)[None], nowhere, wrong)


def edges_cut(joint: np.ndarray) -> float:
    """EC2's expected gain of a check [-]: weight of pairs of different faults that its outcome parts.

    joint: probability of outcome k and fault i together, J_ik, as (outcomes, faults); any scale. With q_k = sum_i J_ik
    and P_i = sum_k J_ik: W - sum_k q_k W_k, W = (1 - sum P_i^2)/2, W_k = (q_k^2 - sum_i J_ik^2)/2.

    >>> float(edges_cut(np.array([[0.5, 0.0], [0.0, 0.5]])))
    0.25
    """
    outcomes, faults = joint.shape
    total = joint.sum()
    if total <= 0.0:
        return 0.0
    squares, left = 0.0, 0.0
    for i in range(faults):
        p = joint[:, i].sum() / total
        squares += p * p
    for k in range(outcomes):
        q, inside = joint[k].sum() / total, 0.0
        for i in range(faults):
            inside += (joint[k, i] / total) ** 2
        left += q * (q * q - inside) / 2.0
    return (1.0 - squares) / 2.0 - left


@jit
def _plogp(p: float) -> float:
    return p * math.log2(p) if p > 0.0 else 0.0


@jit_making_arrays
def _best_gain(
    weight: np.ndarray, label: np.ndarray, chance: np.ndarray, takes: np.ndarray, left: np.ndarray, gains: np.ndarray
) -> int:
    """Put information per minute of each check that is left into gains, 0 where it tells nothing or is impossible, and
    tell the best.

    Vehicles that hardly count are passed over.
    """
    count, outcomes, total = len(weight), chance.shape[1], 0.0
    for i in range(count):
        total += weight[i]
    here, w, some = np.empty(count, dtype=np.int64), np.empty(count), 0
    for i in range(count):
        if weight[i] > LEAST_SHARE * total:
            here[some], w[some] = i, weight[i] / total
            some += 1
    fault, faults = np.empty(some, dtype=np.int64), 0  # labels rise: those that are left are numbered anew
    for j in range(some):
        if j == 0 or label[here[j]] != label[here[j - 1]]:
            faults += 1
        fault[j] = faults - 1
    best, joint, of = 0, np.zeros((outcomes, faults)), np.zeros(faults)
    for j in range(some):
        of[fault[j]] += w[j]
    before, whole = 0.0, 0.0
    for i in range(faults):
        before += _plogp(of[i])
        whole += of[i]
    for check in range(len(takes)):
        gains[check] = 0.0
        if left[check] and takes[check] < np.inf:
            gain = _plogp(whole) - before
            for k in range(outcomes):
                for i in range(faults):
                    joint[k, i] = 0.0
                for j in range(some):
                    joint[k, fault[j]] += w[j] * chance[check, k, here[j]]
                q = 0.0
                for i in range(faults):
                    q += joint[k, i]
                    gain += _plogp(joint[k, i])
                gain -= _plogp(q)
            if gain > LEAST_GAIN:
                gains[check] = gain / max(takes[check], 0.25)
        if gains[check] > gains[best]:
            best = check
    return best


@jit_making_arrays
def _part(weight: np.ndarray, chance: np.ndarray) -> np.ndarray:
    part = np.empty(len(weight))
    for i in range(len(weight)):
        part[i] = weight[i] * chance[i]
    return part


@jit_making_arrays
def _base(
    weight: np.ndarray,
    label: np.ndarray,
    faults: int,
    chance: np.ndarray,
    takes: np.ndarray,
    leads: np.ndarray,
    wrong: float,
    left: np.ndarray,
    state: int,
    depth: int,
    cut: float,
) -> float:
    """Expected cost of the base rule [min times weight]; after depth checks, and in branches lighter than cut, guessed
    from what is still open.
    """
    by_fault, total, most, quickest, bits = np.zeros(faults), 0.0, 0.0, np.inf, 0.0
    for i in range(len(weight)):
        by_fault[label[i]] += weight[i]
        total += weight[i]
    for i in range(faults):
        most = max(most, by_fault[i])
    for check in range(len(left)):
        quickest = min(quickest, takes[state, check])
    stop = wrong * (total - most)
    if total <= 0.0 or stop <= quickest * total:
        return stop
    if depth == 0 or total <= cut:
        for i in range(faults):
            bits -= _plogp(by_fault[i] / total)
        return min(stop, PER_BIT * bits * total)
    gains = np.empty(len(left))
    best = _best_gain(weight, label, chance, takes[state], left, gains)
    if gains[best] <= 0.0:
        return stop
    cost = takes[state, best] * total
    left[best] = False
    after = leads[state, best]
    for k in range(chance.shape[1]):
        if cost < stop:
            part = _part(weight, chance[best, k])
            cost += _base(part, label, faults, chance, takes, leads, wrong, left, after, depth - 1, cut)
    left[best] = True
    return min(cost, stop)


@jit_making_arrays
def _costs(
    weight: np.ndarray,
    label: np.ndarray,
    faults: int,
    chance: np.ndarray,
    takes: np.ndarray,
    leads: np.ndarray,
    wrong: float,
    state: int,
    tried: int,
    depth: int,
    cut: float,
) -> np.ndarray:
    """Expected minutes from here with each check first and the base rule after it; infinite where not tried."""
    checks = len(chance)
    left, gains, costs = np.full(checks, True), np.empty(checks), np.full(checks, np.inf)
    _best_gain(weight, label, chance, takes[state], left, gains)
    for _ in range(min(tried, checks)):
        check = 0
        for other in range(checks):
            if gains[other] > gains[check]:
                check = other
        if gains[check] <= 0.0:
            break
        gains[check] = 0.0
        cost, after = takes[state, check], leads[state, check]
        left[check] = False
        for k in range(chance.shape[1]):
            part = _part(weight, chance[check, k])
            cost += _base(part, label, faults, chance, takes, leads, wrong, left, after, depth, cut)
        left[check] = True
        costs[check] = cost
    return costs


@dataclass(frozen=True)
class Choice:
    """check: index of the best next one, None to stop; cost: expected minutes from here, of the best; stop: of
    stopping now; costs: of each check tried (checks,), infinite where it was not.
    """

    check: int | None
    cost: float
    stop: float
    costs: np.ndarray


def choose(
    table: Table, weight: np.ndarray, state: int = 0, tried: int = 8, depth: int = 3, cut: float = 0.01
) -> Choice:
    """The next check, or stop. weight: of the vehicles (n,), any scale; state: of things now; tried: how many of the
    best by information per minute are looked into; depth, cut: of the base rule under each, cut as a share.
    """
    weight = weight / weight.sum()
    stop = table.wrong * float(1.0 - np.bincount(table.label, weight).max())
    if not len(table.chance):
        return Choice(None, stop, stop, np.zeros(0))
    costs = _costs(
        weight,
        table.label,
        table.faults,
        table.chance,
        table.takes,
        table.leads,
        table.wrong,
        state,
        tried,
        depth,
        cut,
    )
    best = int(np.argmin(costs))
    if costs[best] >= stop:
        return Choice(None, stop, stop, costs)
    return Choice(best, float(costs[best]), stop, costs)


@jit
def _variance_lost(belief: np.ndarray, mass: np.ndarray, a: int, b: int) -> float:
    distance = 0.0
    for fault in range(belief.shape[1]):
        distance += (belief[a, fault] - belief[b, fault]) ** 2
    return distance * mass[a] * mass[b] / (mass[a] + mass[b])


@jit_making_arrays
def merged(likelihood: np.ndarray, weight: np.ndarray, label: np.ndarray, faults: int, kinds: int) -> np.ndarray:
    """Chance of each of a few kinds of outcome in each vehicle (kinds, n), from outcomes drawn as they are likely.

    likelihood: of each outcome drawn (m,) in each vehicle, (m, n); weight (n,), sums to 1. Outcomes drawn in proportion
    to their chance p_m = sum_i w_i L_mi stand for all with the shares L_mi / p_m. Those after which the beliefs in the
    faults are most alike are put together, two at a time, so that the beliefs' variance is kept as far as may be
    (Ward's rule, textbook); left-over kinds have no chance.
    """
    outcomes, count = likelihood.shape
    share, belief = np.empty((outcomes, count)), np.zeros((outcomes, faults))
    mass, lost = np.ones(outcomes), np.empty((outcomes, outcomes))  # lost: variance by putting two together
    for m in range(outcomes):
        p = 0.0
        for i in range(count):
            p += likelihood[m, i] * weight[i]
        for i in range(count):
            share[m, i] = likelihood[m, i] / p
            belief[m, label[i]] += weight[i] * share[m, i]
        for b in range(m):
            lost[m, b] = _variance_lost(belief, mass, m, b)
    for _ in range(outcomes - kinds):
        a, b, least = 0, 0, np.inf
        for m in range(outcomes):
            for k in range(m):
                if mass[m] > 0.0 and mass[k] > 0.0 and lost[m, k] < least:
                    a, b, least = m, k, lost[m, k]
        for fault in range(faults):
            belief[b, fault] = (mass[a] * belief[a, fault] + mass[b] * belief[b, fault]) / (mass[a] + mass[b])
        for i in range(count):
            share[b, i] += share[a, i]
        mass[b] += mass[a]
        mass[a] = 0.0
        for m in range(outcomes):
            if m != b and mass[m] > 0.0:
                lost[max(b, m), min(b, m)] = _variance_lost(belief, mass, b, m)
    out, kind = np.zeros((kinds, count)), 0
    for m in range(outcomes):
        if mass[m] > 0.0:
            for i in range(count):
                out[kind, i] = share[m, i]
            kind += 1
    for i in range(count):
        whole = 0.0
        for k in range(kinds):
            whole += out[k, i]
        for k in range(kinds):
            out[k, i] /= whole
    return out


def information(joint: np.ndarray) -> float:
    """Expected information about the fault [bit] from a joint probability (outcomes, faults) that sums to 1.

    >>> round(information(np.array([[0.5, 0.0], [0.0, 0.5]])), 6)
    1.0
    """

    def plogp(p: np.ndarray) -> float:
        positive = p[p > 0.0]
        return float(np.sum(positive * np.log2(positive)))

    return plogp(joint) - plogp(joint.sum(axis=0)) - plogp(joint.sum(axis=1))


def repair_in_turn_cost(chance: np.ndarray, observe: np.ndarray, repair: np.ndarray) -> float:
    """Expected cost of looking at parts in the order given and renewing the bad one [cost].

    chance: that each part is the bad one [-]; observe, repair: cost of looking at and of renewing each, all (n,):
    sum_i (1 - sum_(j<i) p_j) Co_i + p_i Cr_i.
    """
    before = np.concatenate([[0.0], np.cumsum(chance)[:-1]])
    return float(np.sum((1.0 - before) * observe + chance * repair))


def repair_order(chance: np.ndarray, observe: np.ndarray) -> list[int]:
    """The cheapest order of looking at parts: by chance per cost of looking, best first."""
    return [int(k) for k in np.argsort(-chance / observe, kind="stable")]
