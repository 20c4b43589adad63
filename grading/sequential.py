"""What to do next when every check takes minutes and a wrong repair takes more: the rule of the reference.

Possible vehicles n with weights w, each with a fault; checks with outcomes o, each with its chance in each vehicle. A
base rule takes the check with the best EC2 gain per minute and goes on while that is expected to save minutes. The rule
itself looks one step further than its base: it takes the check after which the base rule would be cheapest, and stops
when stopping is cheaper than that (a rollout).

Sources: EC2 after Golovin, Krause and Ray (2010); rollout after Bertsekas and Castanon (1999); order of repairs after
Heckerman, Breese and Rommelse (1995); formulas from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.compile import jit

LEAST_GAIN = 1e-9


@dataclass(frozen=True)
class Table:
    """Checks that could be done, as chances.

    label: fault of each vehicle (n,); faults: how many there are; chance: of each outcome in each vehicle [-], (checks,
    outcomes, n), sums to 1 over the outcomes; minutes: of each check [min] (checks,); group: the preparation that each
    check wants (checks,); change: from one preparation to another [min] (groups, groups), infinite where impossible;
    wrong: what a wrong repair costs [min].
    """

    label: np.ndarray
    faults: int
    chance: np.ndarray
    minutes: np.ndarray
    group: np.ndarray
    change: np.ndarray
    wrong: float

    @classmethod
    def of_outcomes(cls, outcomes: np.ndarray, minutes: np.ndarray, wrong: float) -> Table:
        """Noiseless checks without preparations: outcomes (checks, faults), whole numbers."""
        kinds = np.arange(int(outcomes.max()) + 1)
        chance = (outcomes[:, None, :] == kinds[None, :, None]).astype(np.float64)
        checks, faults = outcomes.shape
        return cls(
            np.arange(faults),
            faults,
            chance,
            minutes.astype(np.float64),
            np.zeros(checks, dtype=np.int64),
            np.zeros((1, 1)),
            wrong,
        )


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
def _joint(weight: np.ndarray, label: np.ndarray, chance: np.ndarray, joint: np.ndarray) -> None:
    joint[:] = 0.0
    for k in range(len(chance)):
        for i in range(len(weight)):
            joint[k, label[i]] += weight[i] * chance[k, i]


@jit
def _gains(
    weight: np.ndarray,
    label: np.ndarray,
    faults: int,
    chance: np.ndarray,
    minutes: np.ndarray,
    group: np.ndarray,
    change: np.ndarray,
    ready: int,
) -> np.ndarray:
    """EC2 gain per minute of each check, 0 where it tells nothing or is impossible."""
    out = np.zeros(len(minutes))
    joint = np.zeros((chance.shape[1], faults))
    for check in range(len(minutes)):
        takes = minutes[check] + change[ready, group[check]]
        if np.isfinite(takes):
            _joint(weight, label, chance[check], joint)
            gain = edges_cut(joint)
            if gain > LEAST_GAIN:
                out[check] = gain / max(takes, 0.1)
    return out


@jit
def _stop(weight: np.ndarray, label: np.ndarray, faults: int, wrong: float) -> float:
    by_fault = np.zeros(faults)
    for i in range(len(weight)):
        by_fault[label[i]] += weight[i]
    return wrong * (by_fault.sum() - by_fault.max())


@jit
def _base(
    weight: np.ndarray,
    label: np.ndarray,
    faults: int,
    chance: np.ndarray,
    minutes: np.ndarray,
    group: np.ndarray,
    change: np.ndarray,
    wrong: float,
    ready: int,
    depth: int,
    cut: float,
) -> float:
    """Expected cost of the base rule [min times weight], at most depth checks deep; branches lighter than cut stop."""
    stop = _stop(weight, label, faults, wrong)
    total = weight.sum()
    if depth == 0 or total <= cut or stop <= minutes.min() * total:
        return stop
    gains = _gains(weight, label, faults, chance, minutes, group, change, ready)
    best = int(np.argmax(gains))
    if gains[best] <= 0.0:
        return stop
    cost = (minutes[best] + change[ready, group[best]]) * total
    for k in range(chance.shape[1]):
        part = weight * chance[best, k]
        if part.sum() > 0.0 and cost < stop:
            cost += _base(part, label, faults, chance, minutes, group, change, wrong, group[best], depth - 1, cut)
    return min(cost, stop)


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
    table: Table, weight: np.ndarray, ready: int = 0, tried: int = 8, depth: int = 3, cut: float = 0.01
) -> Choice:
    """The next check, or stop. weight: of the vehicles (n,), any scale; ready: the preparation as it is now; tried: how
    many of the best by gain per minute are looked into; depth, cut: of the base rule under each, cut as a share.
    """
    weight = weight / weight.sum()
    shape = (table.label, table.faults, table.chance, table.minutes, table.group, table.change)
    gains = _gains(weight, *shape, ready)
    stop = float(_stop(weight, table.label, table.faults, table.wrong))
    costs = np.full(len(gains), np.inf)
    for check in np.argsort(-gains, kind="stable")[:tried]:
        if gains[check] <= 0.0:
            break
        after = int(table.group[check])
        cost = float(table.minutes[check] + table.change[ready, after])
        for chance in table.chance[check]:
            part = weight * chance
            if part.sum() > 0.0 and cost < stop:
                cost += _base(part, *shape, table.wrong, after, depth, cut)
        costs[check] = cost
    best = int(np.argmin(costs)) if len(costs) else 0
    if not len(costs) or costs[best] >= stop:
        return Choice(None, stop, stop, costs)
    return Choice(best, float(costs[best]), stop, costs)


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
