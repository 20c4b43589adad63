"""The least expected minutes of a diagnosis, exactly: dynamic programming over every subset of the faults.

For up to some twenty faults and checks without noise. It is far too slow for whole vehicles; the reference's rule is
tested against it. A subset is a whole number whose bit i says that fault i is still possible. Costs are kept
unnormalised, times the subset's probability, for then they add up: with m(S) the probability of subset S, s(S) the cost
of stopping there, and c_j the minutes of check j that parts S into S_1, S_2, ...,

    V(S) = min(s(S), min_j c_j m(S) + V(S_1) + V(S_2) + ...).

Source: Bellman's principle, textbook.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from functools import cache
from typing import TypeVar

import numpy as np

from sim.compile import jit_making_arrays

State = TypeVar("State", bound=Hashable)

STOP = -1
"""In a choice of checks: no check, stop."""


def masses(prior: np.ndarray) -> np.ndarray:
    """Sum of the prior [-] (n,) over each subset (2^n,).

    >>> masses(np.array([0.25, 0.75])).tolist()
    [0.0, 0.25, 0.75, 1.0]
    """
    out = np.zeros(1)
    for p in prior:
        out = np.concatenate([out, out + p])
    return out


def wrong_repair(prior: np.ndarray, wrong: float) -> np.ndarray:
    """Cost of stopping at each subset (2^n,) [min times probability]: the likeliest fault is declared, and being wrong
    costs ``wrong`` [min]. prior [-]: (n,).

    >>> wrong_repair(np.array([0.25, 0.75]), 100.0).tolist()
    [0.0, 0.0, 0.0, 25.0]
    """
    best = np.zeros(1)
    for p in prior:
        best = np.concatenate([best, np.maximum(best, p)])
    return wrong * (masses(prior) - best)


@jit_making_arrays
def _solve(
    mass: np.ndarray, stop: np.ndarray, parts: np.ndarray, minutes: np.ndarray, choice: np.ndarray
) -> np.ndarray:
    worth = np.zeros(len(mass))
    for subset in range(1, len(mass)):
        worth[subset] = stop[subset]
        for check in range(len(minutes)):
            cost = minutes[check] * mass[subset]
            for outcome in range(parts.shape[1]):
                part = subset & parts[check, outcome]
                if part == subset:  # one outcome alone is possible
                    cost = np.inf
                    break
                cost += worth[part]
            if cost < worth[subset]:
                worth[subset] = cost
                choice[subset] = check
    return worth


def parts_of(outcomes: np.ndarray) -> np.ndarray:
    """Faults, as subsets, that give each outcome of each check (checks, kinds), from outcomes (checks, faults)."""
    bits = np.int64(1) << np.arange(outcomes.shape[1], dtype=np.int64)
    kinds = range(int(outcomes.max()) + 1)
    return np.array([[int(bits[row == kind].sum()) for kind in kinds] for row in outcomes], dtype=np.int64)


def least_cost(
    prior: np.ndarray, outcomes: np.ndarray, minutes: np.ndarray, stop: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Least expected cost from each subset [min times probability], and the check that begins it, -1 to stop, (2^n,).

    prior [-]: (n,), n up to about 20; outcomes: whole numbers (checks, n), what each check shows with each fault;
    minutes [min]: (checks,); stop [min times probability]: (2^n,), infinite where stopping is not allowed.

    >>> cost, first = least_cost(np.array([0.5, 0.5]), np.array([[0, 1]]), np.array([3.0]), np.array([0, 0, 0, np.inf]))
    >>> float(cost[-1]), int(first[-1])
    (3.0, 0)
    """
    mass = masses(prior)
    choice = np.full(len(mass), STOP)
    return _solve(mass, stop.astype(np.float64), parts_of(outcomes), minutes.astype(np.float64), choice), choice


def least_steps(
    start: State,
    steps: Callable[[State], Iterable[list[tuple[float, State]]]],
    over: Callable[[State], bool],
) -> float:
    """Least expected number of steps from a state to one where it is over, for problems with too many subsets.

    steps: each possible step as (chance, state after) pairs; states must not recur.
    """

    @cache
    def cost(state: State) -> float:
        if over(state):
            return 0.0
        return 1.0 + min(sum(chance * cost(after) for chance, after in step) for step in steps(state))

    return cost(start)
