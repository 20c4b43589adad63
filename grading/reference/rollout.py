"""Sequential choice of checks that minimises expected minutes, wrong repairs included: a rollout policy.

There are n particles with weights w, each with a fault, and checks with outcomes o of known likelihood under each
particle. The base policy takes the check with most information about the fault per minute and goes on while that is
expected to save minutes. The rollout takes the check after which the base policy costs least, and stops if stopping
costs less. Where the base policy is not followed to its end, the remaining cost is estimated from the entropy.

EC2, another greedy policy with a bound, is included for comparison only: with unequal beliefs it takes noise for gain,
and among some seventy checks there is always a quick noisy one.

Sources: EC2 after Golovin, Krause and Ray (2010); rollout after Bertsekas and Castanon (1999), its cut horizon after
Bertsekas; order of repairs after Heckerman, Breese and Rommelse (1995); formulas from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sim.compile import jit, jit_making_arrays

LEAST_GAIN = 1e-3
"""Information [bit] below which a check counts as uninformative."""
PER_BIT = 8.0
"""Estimated cost of a bit of remaining entropy at the horizon [min/bit]: about what the reference takes (20 minutes for
the three bits of a complaint)."""
LEAST_SHARE = 1e-4
"""Share of the weight below which a particle is ignored in the search for the best check."""


@dataclass(frozen=True)
class Table:
    """The decision problem.

    label (n,): fault of each particle, rising; faults: their number; chance (checks, outcomes, n): likelihood of each
    outcome under each particle, sums to 1 over outcomes; check_minutes (states, checks): minutes of each check with its
    preparations, infinite if it is not possible; next_state (states, checks): state after it; wrong: cost of a wrong
    repair [min]. Each check is done at most once, as a repetition would have the same error.
    """

    label: np.ndarray
    faults: int
    chance: np.ndarray
    check_minutes: np.ndarray
    next_state: np.ndarray
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
    """EC2's expected gain of a check [-]: weight of pairs of different faults that its outcome separates.

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
    weight: np.ndarray,
    label: np.ndarray,
    chance: np.ndarray,
    check_minutes: np.ndarray,
    left: np.ndarray,
    gains: np.ndarray,
) -> int:
    """Write the information per minute of each remaining check into gains, 0 if it is uninformative or impossible, and
    return the best.

    Particles with negligible weight are ignored.
    """
    count, outcomes, total = len(weight), chance.shape[1], 0.0
    for i in range(count):
        total += weight[i]
    here, w, some = np.empty(count, dtype=np.int64), np.empty(count), 0
    for i in range(count):
        if weight[i] > LEAST_SHARE * total:
            here[some], w[some] = i, weight[i] / total
            some += 1
    fault, faults = np.empty(some, dtype=np.int64), 0  # labels rise: number the remaining ones without gaps
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
    for check in range(len(check_minutes)):
        gains[check] = 0.0
        if left[check] and check_minutes[check] < np.inf:
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
                gains[check] = gain / max(check_minutes[check], 0.25)
        if gains[check] > gains[best]:
            best = check
    return best


@jit_making_arrays
def _posterior_weight(weight: np.ndarray, chance: np.ndarray) -> np.ndarray:
    part = np.empty(len(weight))
    for i in range(len(weight)):
        part[i] = weight[i] * chance[i]
    return part


@jit_making_arrays
def _base_cost(
    weight: np.ndarray,
    label: np.ndarray,
    faults: int,
    chance: np.ndarray,
    check_minutes: np.ndarray,
    next_state: np.ndarray,
    wrong: float,
    left: np.ndarray,
    state: int,
    depth: int,
    cut: float,
) -> float:
    """Expected cost of the base policy [min times weight]; after depth checks and in branches lighter than cut it is
    estimated from the entropy.
    """
    by_fault, total, most, quickest, bits = np.zeros(faults), 0.0, 0.0, np.inf, 0.0
    for i in range(len(weight)):
        by_fault[label[i]] += weight[i]
        total += weight[i]
    for i in range(faults):
        most = max(most, by_fault[i])
    for check in range(len(left)):
        quickest = min(quickest, check_minutes[state, check])
    stop = wrong * (total - most)
    if total <= 0.0 or stop <= quickest * total:
        return stop
    if depth == 0 or total <= cut:
        for i in range(faults):
            bits -= _plogp(by_fault[i] / total)
        return min(stop, PER_BIT * bits * total)
    gains = np.empty(len(left))
    best = _best_gain(weight, label, chance, check_minutes[state], left, gains)
    if gains[best] <= 0.0:
        return stop
    cost = check_minutes[state, best] * total
    left[best] = False
    after = next_state[state, best]
    for k in range(chance.shape[1]):
        if cost < stop:
            part = _posterior_weight(weight, chance[best, k])
            cost += _base_cost(
                part, label, faults, chance, check_minutes, next_state, wrong, left, after, depth - 1, cut
            )
    left[best] = True
    return min(cost, stop)


@jit_making_arrays
def _first_check_costs(
    weight: np.ndarray,
    label: np.ndarray,
    faults: int,
    chance: np.ndarray,
    check_minutes: np.ndarray,
    next_state: np.ndarray,
    wrong: float,
    state: int,
    tried: int,
    depth: int,
    cut: float,
) -> np.ndarray:
    """Expected cost with each check first and the base policy after it [min]; infinite if not tried."""
    checks = len(chance)
    left, gains, costs = np.full(checks, True), np.empty(checks), np.full(checks, np.inf)
    _best_gain(weight, label, chance, check_minutes[state], left, gains)
    for _ in range(min(tried, checks)):
        check = 0
        for other in range(checks):
            if gains[other] > gains[check]:
                check = other
        if gains[check] <= 0.0:
            break
        gains[check] = 0.0
        cost, after = check_minutes[state, check], next_state[state, check]
        left[check] = False
        for k in range(chance.shape[1]):
            part = _posterior_weight(weight, chance[check, k])
            cost += _base_cost(part, label, faults, chance, check_minutes, next_state, wrong, left, after, depth, cut)
        left[check] = True
        costs[check] = cost
    return costs


@dataclass(frozen=True)
class Choice:
    """Result of the rollout. check: index of the best next check, None to stop; cost: expected minutes of the best
    choice; stop: of stopping now; costs (checks,): of each check that was tried, else infinite.
    """

    check: int | None
    cost: float
    stop: float
    costs: np.ndarray


def choose(
    table: Table, weight: np.ndarray, state: int = 0, tried: int = 8, depth: int = 3, cut: float = 0.01
) -> Choice:
    """Choose the next check, or stop. weight (n,): of the particles, any scale; state: present state; tried: number of
    checks tried, best rate first; depth, cut: horizon and least share of weight of the base policy after each.
    """
    weight = weight / weight.sum()
    stop = table.wrong * float(1.0 - np.bincount(table.label, weight).max())
    if not len(table.chance):
        return Choice(None, stop, stop, np.zeros(0))
    costs = _first_check_costs(
        weight,
        table.label,
        table.faults,
        table.chance,
        table.check_minutes,
        table.next_state,
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
def merge_outcomes(
    likelihood: np.ndarray, weight: np.ndarray, label: np.ndarray, faults: int, kinds: int
) -> np.ndarray:
    """Likelihoods of a few classes of outcomes under each particle (kinds, n), from sampled outcomes.

    likelihood (m, n): of each sampled outcome under each particle; weight (n,), sums to 1. Outcomes sampled in
    proportion to their probability p_m = sum_i w_i L_mi represent all with the shares L_mi / p_m. Outcomes with the
    most similar posterior beliefs are merged, two at a time, so that as much of the variance of beliefs as possible is
    kept (Ward's method, textbook); unused classes have likelihood 0.
    """
    outcomes, count = likelihood.shape
    share, belief = np.empty((outcomes, count)), np.zeros((outcomes, faults))
    mass, lost = np.ones(outcomes), np.empty((outcomes, outcomes))  # lost: variance by merging two
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
    """Expected cost of inspecting parts in the given order and replacing the defective one [cost].

    chance: probability of each part to be defective [-]; observe, repair: cost of inspecting and of replacing each, all
    (n,): sum_i (1 - sum_(j<i) p_j) Co_i + p_i Cr_i.
    """
    before = np.concatenate([[0.0], np.cumsum(chance)[:-1]])
    return float(np.sum((1.0 - before) * observe + chance * repair))


def repair_order(chance: np.ndarray, observe: np.ndarray) -> list[int]:
    """The cheapest order of inspection: by probability per cost, best first."""
    return [int(k) for k in np.argsort(-chance / observe, kind="stable")]
