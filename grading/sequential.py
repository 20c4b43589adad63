"""What to do next when every check takes minutes and a wrong repair takes more: the rule of the reference.

Possible vehicles n with weights w, each with a fault; checks with outcomes o, each with its chance in each vehicle. A
base rule takes the check with the best EC2 gain per minute and goes on while that is expected to save minutes. The rule
itself looks one step further than its base: it takes the check after which the base rule would be cheapest, and stops
when stopping is cheaper than that (a rollout).

Sources: EC2 after Golovin, Krause and Ray (2010); rollout after Bertsekas and Castanon (1999); order of repairs after
Heckerman, Breese and Rommelse (1995); formulas from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sim.compile import jit

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

    label: fault of each vehicle (n,); faults: how many there are; chance: of each outcome in each vehicle [-], (checks,
    outcomes, n), sums to 1 over the outcomes; takes: minutes of each check, with what must be done before it, in each
    state of things (states, checks), infinite where it cannot be had any more; leads: the state after it, (states,
    checks); wrong: what a wrong repair costs [min]. Each check is thought of as done once at most, for looking again
    would err alike.
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


@jit
def edges_cut(joint: np.ndarray) -> float:
    """EC2's expected gain of a check [-]: weight of pairs of different faults that its outcome parts.

    joint: probability of outcome k and fault i together, J_ik, as (outcomes, faults); any scale. With q_k = sum_i J_ik
    and P_i = sum_k J_ik: W - sum_k q_k W_k, W = (1 - sum P_i^2)/2, W_k = (q_k^2 - sum_i J_ik^2)/2.

    >>> edges_cut(np.array([[0.5, 0.0], [0.0, 0.5]]))
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


@jit
def _best_gain(
    weight: np.ndarray, label: np.ndarray, chance: np.ndarray, takes: np.ndarray, left: np.ndarray, gains: np.ndarray
) -> int:
    """Information per minute of each check that is left into gains, 0 where it tells nothing or is impossible; the best.

    Vehicles that hardly count are passed over.
    """
    here = np.flatnonzero(weight > LEAST_SHARE * weight.sum())
    w, fault, faults = np.empty(len(here)), np.empty(len(here), dtype=np.int64), 0
    number = np.full(label.max() + 1, -1)
    for j in range(len(here)):
        w[j] = weight[here[j]]
        if number[label[here[j]]] < 0:
            number[label[here[j]]] = faults
            faults += 1
        fault[j] = number[label[here[j]]]
    w /= w.sum()
    joint = np.zeros((chance.shape[1], faults))
    for j in range(len(here)):
        joint[0, fault[j]] += w[j]
    before = 0.0
    for i in range(faults):
        before += _plogp(joint[0, i])
    gains[:] = 0.0
    for check in range(len(takes)):
        if left[check] and np.isfinite(takes[check]):
            joint[:] = 0.0
            gain = -before
            for k in range(chance.shape[1]):
                for j in range(len(here)):
                    joint[k, fault[j]] += w[j] * chance[check, k, here[j]]
                q = 0.0
                for i in range(faults):
                    q += joint[k, i]
                    gain += _plogp(joint[k, i])
                gain -= _plogp(q)
            if gain > LEAST_GAIN:
                gains[check] = gain / max(takes[check], 0.25)
    return int(np.argmax(gains))


@jit
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
    by_fault = np.zeros(faults)
    for i in range(len(weight)):
        by_fault[label[i]] += weight[i]
    total = by_fault.sum()
    stop = wrong * (total - by_fault.max())
    if stop <= takes[state].min() * total:
        return stop
    if depth == 0 or total <= cut:
        bits = 0.0
        for p in by_fault:
            bits -= _plogp(p / total)
        return min(stop, PER_BIT * bits * total)
    gains = np.empty(len(chance))
    best = _best_gain(weight, label, chance, takes[state], left, gains)
    if gains[best] <= 0.0:
        return stop
    cost = takes[state, best] * total
    left[best] = False
    after = leads[state, best]
    for k in range(chance.shape[1]):
        if cost < stop:
            part = weight * chance[best, k]
            if part.sum() > 0.0:
                cost += _base(part, label, faults, chance, takes, leads, wrong, left, after, depth - 1, cut)
    left[best] = True
    return min(cost, stop)


@jit
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
    left, gains = np.full(len(chance), True), np.empty(len(chance))
    _best_gain(weight, label, chance, takes[state], left, gains)
    costs = np.full(len(chance), np.inf)
    for _ in range(min(tried, len(chance))):
        check = int(np.argmax(gains))
        if gains[check] <= 0.0:
            break
        gains[check] = 0.0
        cost = takes[state, check]
        left[check] = False
        for k in range(chance.shape[1]):
            part = weight * chance[check, k]
            if part.sum() > 0.0:
                after = leads[state, check]
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
    best by gain per minute are looked into; depth, cut: of the base rule under each, cut as a share.
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
def merged(likelihood: np.ndarray, weight: np.ndarray, label: np.ndarray, faults: int, kinds: int) -> np.ndarray:
    """Chance of each of a few kinds of outcome in each vehicle (kinds, n), from outcomes drawn as they are likely.

    likelihood: of each outcome drawn (m,) in each vehicle, (m, n); weight (n,), sums to 1. Outcomes drawn in proportion
    to their chance p_m = sum_i w_i L_mi stand for all with the shares L_mi / p_m. Those after which the beliefs in the
    faults are most alike are put together, two at a time, so that the beliefs' variance is kept as far as may be
    (Ward's rule, textbook); left-over kinds have no chance.
    """
    outcomes, count = likelihood.shape
    share = np.empty((outcomes, count))
    belief, mass = np.zeros((outcomes, faults)), np.ones(outcomes)
    for m in range(outcomes):
        p = (likelihood[m] * weight).sum()
        for i in range(count):
            share[m, i] = likelihood[m, i] / p
            belief[m, label[i]] += weight[i] * share[m, i]
    of = np.full((outcomes, outcomes), np.inf)  # variance lost by putting two together
    for a in range(outcomes):
        for b in range(a):
            of[a, b] = ((belief[a] - belief[b]) ** 2).sum() / 2.0
    for _ in range(outcomes - kinds):
        a, b = divmod(int(np.argmin(of)), outcomes)
        belief[b] = (mass[a] * belief[a] + mass[b] * belief[b]) / (mass[a] + mass[b])
        share[b] += share[a]
        mass[b] += mass[a]
        mass[a] = 0.0
        of[a, :], of[:, a] = np.inf, np.inf
        for c in range(outcomes):
            if c != b and mass[c] > 0.0:
                loss = ((belief[b] - belief[c]) ** 2).sum() * mass[b] * mass[c] / (mass[b] + mass[c])
                of[max(b, c), min(b, c)] = loss
    out, k = np.zeros((kinds, count)), 0
    for m in range(outcomes):
        if mass[m] > 0.0:
            out[k] = share[m]
            k += 1
    for i in range(count):
        out[:, i] /= out[:, i].sum()
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
