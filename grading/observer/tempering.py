"""A fault's vehicles moved to where a reading wants them, where hardly one of those drawn lies there."""

from __future__ import annotations

import numpy as np

from grading.observer.particles import Hypotheses
from sim.vehicle.tolerances import normal_deviates, normal_quantiles, uniform

MOVED = 96
"""Vehicles of the fault from then on."""
STAGES = 12
"""Powers of the likelihood at most."""
MOVES = 1
"""Metropolis steps after each: a second doubled the time and changed no belief by a hundredth."""
LEFT = 0.4
"""Share of the effective number that each rise of the power leaves."""
STRIDES = (0.95, 0.8, 0.4)
"""Shares r of its deviates that a proposal keeps: short, middle and long steps."""


def tempered(hypotheses: Hypotheses, fault: int) -> Hypotheses:
    """The belief with the vehicles of one fault moved to where the last reading wants them, its evidence unbiased.

    Sequential Monte Carlo (Del Moral, Doucet, Jasra 2006): the reading's likelihood is let in by powers rising to one;
    at each, vehicles are drawn again by their weights, and each is moved by Metropolis steps, its proposals replayed
    from the start. Evidence is the product of the mean weights.
    """
    count = MOVED * hypotheses.scale
    now = hypotheses.copy(np.flatnonzero(hypotheses.label == fault))
    log_w = now.log_weight - now.last
    mass = float(np.log(np.exp(log_w - log_w.max()).sum() / hypotheses.drawn[fault]) + log_w.max())
    w = np.exp(log_w - log_w.max())
    roughness, power = float(hypotheses.roughness[fault]), 0.0
    rng = np.random.Generator(np.random.Philox(key=int(uniform(now.seed, "move", fault, len(now.past)) * 2**63)))
    for stage in range(STAGES):
        rise = _rise(w, now.last, 1.0 - power) if stage < STAGES - 1 else 1.0 - power
        lifted = w * np.exp(rise * now.last)
        mass += float(np.log(lifted.sum() / w.sum()))
        roughness += float(max((lifted**2).sum() / lifted.sum() ** 2 - 1.0 / count, 0.0))
        power = min(power + rise, 1.0)
        places = (np.arange(count) + rng.random()) / count * lifted.sum()
        now = now.copy(np.minimum(np.searchsorted(np.cumsum(lifted), places), len(lifted) - 1))
        w = np.ones(count)
        for _ in range(MOVES):
            now = _moved(now, fault, power, rng)
        if power >= 1.0:
            break
    now.log_weight = np.full(count, mass)
    others = hypotheses.copy(np.flatnonzero(hypotheses.label != fault))
    whole = others.joined(now)
    whole.drawn[fault], whole.moved[fault], whole.roughness[fault] = count, True, roughness
    whole.vehicles_failed = now.vehicles_failed
    return whole


def _rise(w: np.ndarray, last: np.ndarray, most: float) -> float:
    """The rise of the power of likelihood that leaves the effective number at a share LEFT of what it was."""

    def effective(rise: float) -> float:
        v = w * np.exp(rise * (last - last.max()))
        return float(v.sum() ** 2 / (v * v).sum())

    least = LEFT * effective(0.0)
    if effective(most) >= least:
        return most
    low, high = 0.0, most
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if effective(middle) >= least else (low, middle)
    return max(low, 1e-3)


def _moved(now: Hypotheses, fault: int, power: float, rng: np.random.Generator) -> Hypotheses:
    """One Metropolis step of every vehicle: z' = r z + sqrt(1 - r^2) n, which the tolerances' normal law allows, taken
    with the chance of the likelihoods' ratio; source: Neal 1999.
    """
    n = len(now.label)
    keep = np.array(STRIDES)[np.minimum((rng.random(n) * len(STRIDES)).astype(int), len(STRIDES) - 1)][:, None]
    z = keep * normal_deviates(now.quantiles) + np.sqrt(1.0 - keep**2) * normal_deviates(
        rng.random(now.quantiles.shape)
    )
    tried = now.fresh({fault: normal_quantiles(z)})
    gain = (tried.log_like - now.log_like) - (1.0 - power) * (tried.last - now.last)
    taken = np.log(np.maximum(rng.random(n), 1e-300)) < gain
    return now.joined(tried).copy(np.where(taken, np.arange(n) + n, np.arange(n)))
