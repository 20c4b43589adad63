"""The reference's rule against the exact optimum, on instances without noise."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np

from grading.reference.policy import SOLVER, WRONG_REPAIR_MINUTES, Option, choose_option, shortlist
from grading.reference.rollout import Table, information
from scenarios.files.loader import load_catalogue
from scenarios.model import Check
from tests.bench.bench import Bar, Bench, say
from tests.grading.exact import least_cost, wrong_repair

INSTANCES, FAULTS, CHECKS = 200, 16, 40
Problem = tuple[np.ndarray, np.ndarray, np.ndarray]
"""Prior (faults,), outcomes (checks, faults), minutes (checks,)."""


def instance(seed: int, faults: int = FAULTS, checks: int = CHECKS) -> Problem:
    """A problem with its own seed.

    Rates spread evenly in their logarithm over a factor of 20, minutes over 2 to 20; each check is odd with a share of
    the faults between a twelfth and a half.
    """
    random = np.random.default_rng(seed)
    rates = np.exp(random.uniform(np.log(0.3), np.log(6.0), faults))
    share = random.uniform(1.0 / 12.0, 0.5, checks)
    outcomes = (random.random((checks, faults)) < share[:, None]).astype(np.int64)
    return rates / rates.sum(), outcomes, np.exp(random.uniform(np.log(2.0), np.log(20.0), checks))


def _followed(problem: Problem, next_check: Callable[[np.ndarray], int | None]) -> float:
    """Expected minutes of following a rule to its end; next_check: from the weights of the faults, None to stop."""
    prior, outcomes, minutes = problem

    @cache
    def cost(possible: frozenset[int]) -> float:
        here = sorted(possible)
        weight = np.zeros(len(prior))
        weight[here] = prior[here]
        check = next_check(weight)
        if check is None:
            return WRONG_REPAIR_MINUTES * float(weight.sum() - weight.max())
        row = outcomes[check]
        parts = [frozenset(i for i in here if row[i] == kind) for kind in {int(row[i]) for i in here}]
        return float(minutes[check] * weight.sum()) + sum(cost(part) for part in parts)

    return cost(frozenset(range(len(prior))))


@cache
def _check() -> Check:
    """A check to stand for all: the rule looks at its minutes and information alone."""
    return next(iter(load_catalogue().checks.values()))


def reference_cost(problem: Problem) -> float:
    """Expected minutes of the rule of the vehicles' reference: its own code, given outcomes instead of vehicles."""
    _, outcomes, minutes = problem
    any_check = _check()
    whole = Table.of_outcomes(outcomes, minutes, WRONG_REPAIR_MINUTES)

    def next_check(weight: np.ndarray) -> int | None:
        belief = weight / weight.sum()
        found: list[tuple[int, Option]] = []
        for k, chance in enumerate(whole.chance):
            joint = belief * chance
            bits, confidence = information(joint), float(joint.max(axis=1).sum())
            found.append((k, Option(any_check, (), float(minutes[k]), max(bits, 0.0), confidence)))
        found.sort(key=lambda one: -one[1].rate)
        listed = [found[k] for k in shortlist([option for _, option in found], float(belief.max()))]
        checks, options = [k for k, _ in listed], [option for _, option in listed]
        here = replace(
            whole,
            chance=whole.chance[checks],
            check_minutes=whole.check_minutes[:, checks],
            next_state=whole.next_state[:, checks],
        )
        advice = choose_option(options, here, belief)
        return checks[next(k for k, o in enumerate(options) if o is advice.best)] if advice.worth else None

    return _followed(problem, next_check)


def measure() -> dict[str, float]:
    """Ratio of the summed expected costs."""
    ours, best = 0.0, 0.0
    for seed in range(INSTANCES):
        problem = instance(seed)
        prior, outcomes, minutes = problem
        stop = wrong_repair(prior, WRONG_REPAIR_MINUTES)
        best += float(least_cost(prior, outcomes, minutes, stop)[0][-1])
        ours += reference_cost(problem)
    say(f"reference {ours / INSTANCES:.2f} min, best {best / INSTANCES:.2f}; a grade says {SOLVER['cost_over_exact']}")
    return {"reference_over_exact": ours / best}


BENCHES = [Bench({"reference_over_exact": Bar(at_most=1.03)}, measure)]
