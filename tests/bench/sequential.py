"""The reference's rule against the exact optimum, on instances without noise."""

from __future__ import annotations

from functools import cache

import numpy as np

from grading.exact import least_cost, wrong_repair
from grading.sequential import Table, choose
from tests.bench.bench import Bar, Bench, say

INSTANCES, FAULTS, CHECKS = 200, 16, 40
WRONG = 120.0
"""What a wrong repair costs [min], as in the reference."""


def instance(seed: int, faults: int = FAULTS, checks: int = CHECKS) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Prior (faults,), outcomes (checks, faults) and minutes (checks,).

    Rates spread evenly in their logarithm over a factor of 20, minutes over 2 to 20; each check is odd with a share of
    the faults between a twelfth and a half.
    """
    random = np.random.default_rng(seed)
    rates = np.exp(random.uniform(np.log(0.3), np.log(6.0), faults))
    share = random.uniform(1.0 / 12.0, 0.5, checks)
    outcomes = (random.random((checks, faults)) < share[:, None]).astype(np.int64)
    return rates / rates.sum(), outcomes, np.exp(random.uniform(np.log(2.0), np.log(20.0), checks))


def rule_cost(prior: np.ndarray, outcomes: np.ndarray, minutes: np.ndarray, **effort: float) -> float:
    """Expected minutes of following the reference's rule to its end."""
    table = Table.of_outcomes(outcomes, minutes, WRONG)
    whole: dict[str, float] = {"tried": len(minutes), "depth": len(prior), "cut": 0.0} | effort

    @cache
    def cost(possible: frozenset[int]) -> float:
        weight = np.zeros(len(prior))
        here = sorted(possible)
        weight[here] = prior[here]
        choice = choose(table, weight, tried=int(whole["tried"]), depth=int(whole["depth"]), cut=whole["cut"])
        if choice.check is None:
            return choice.stop * float(weight.sum())
        row = outcomes[choice.check]
        parts = [frozenset(i for i in here if row[i] == kind) for kind in {int(row[i]) for i in here}]
        return float(minutes[choice.check] * weight.sum()) + sum(cost(part) for part in parts)

    return cost(frozenset(range(len(prior))))


def measure() -> dict[str, float]:
    """Ratio of the summed expected costs."""
    ours, best, worst = 0.0, 0.0, 1.0
    for seed in range(INSTANCES):
        prior, outcomes, minutes = instance(seed)
        optimum = float(least_cost(prior, outcomes, minutes, wrong_repair(prior, WRONG))[0][-1])
        cost = rule_cost(prior, outcomes, minutes)
        ours, best, worst = ours + cost, best + optimum, max(worst, cost / optimum)
    say(f"sequential: {ours / INSTANCES:.2f} min against {best / INSTANCES:.2f}, worst ratio {worst:.3f}")
    return {"reference_over_exact": ours / best}


BENCHES = [Bench({"reference_over_exact": Bar(at_most=1.03)}, measure)]
