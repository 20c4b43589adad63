"""Tempering: moves the particles of a cause to where the likelihood of a reading is high."""

from __future__ import annotations

import numpy as np

from grading.observer.particles import Particles
from sim.vehicle.tolerances import normal_deviates, normal_quantiles, uniform

MOVED = 96
"""Particles of the cause from then on."""
STAGES = 12
"""Most stages, each with a higher power of the likelihood."""
MOVES = 1
"""Metropolis steps per stage: a second doubled the time and changed no belief by a hundredth."""
ESS_SHARE = 0.4
"""Share of the effective sample size that remains after each stage."""
CORRELATIONS = (0.95, 0.8, 0.4)
"""Correlations r of a proposal with the present deviates: short, middle and long steps."""


def temper(particles: Particles, fault: int) -> Particles:
    """The belief with the particles of one cause (index) tempered to the last reading, with unbiased evidence.

    Sequential Monte Carlo sampler (Del Moral, Doucet, Jasra 2006): the power of the reading's likelihood rises to one
    in stages; in each, particles are resampled by weight and moved by Metropolis steps, whose proposals are replayed
    from the start. The evidence is the product of the mean weights.
    """
    count = MOVED * particles.scale
    now = particles.copy(np.flatnonzero(particles.label == fault))
    log_w = now.log_weight - now.last_log_like
    mass = float(np.log(np.exp(log_w - log_w.max()).sum() / particles.drawn[fault]) + log_w.max())
    w = np.exp(log_w - log_w.max())
    evidence_variance, power = float(particles.evidence_variance[fault]), 0.0
    rng = np.random.Generator(np.random.Philox(key=int(uniform(now.seed, "move", fault, len(now.history)) * 2**63)))
    for stage in range(STAGES):
        rise = _power_step(w, now.last_log_like, 1.0 - power) if stage < STAGES - 1 else 1.0 - power
        lifted = w * np.exp(rise * now.last_log_like)
        mass += float(np.log(lifted.sum() / w.sum()))
        evidence_variance += float(max((lifted**2).sum() / lifted.sum() ** 2 - 1.0 / count, 0.0))
        power = min(power + rise, 1.0)
        places = (np.arange(count) + rng.random()) / count * lifted.sum()
        now = now.copy(np.minimum(np.searchsorted(np.cumsum(lifted), places), len(lifted) - 1))
        w = np.ones(count)
        for _ in range(MOVES):
            now = _metropolis_step(now, fault, power, rng)
        if power >= 1.0:
            break
    now.log_weight = np.full(count, mass)
    others = particles.copy(np.flatnonzero(particles.label != fault))
    whole = others.joined(now)
    whole.drawn[fault], whole.rejuvenated[fault], whole.evidence_variance[fault] = count, True, evidence_variance
    whole.vehicles_failed = now.vehicles_failed
    return whole


def _power_step(w: np.ndarray, last: np.ndarray, most: float) -> float:
    """The increase of the likelihood's power that reduces the effective sample size to ESS_SHARE of its value."""

    def effective(rise: float) -> float:
        v = w * np.exp(rise * (last - last.max()))
        return float(v.sum() ** 2 / (v * v).sum())

    least = ESS_SHARE * effective(0.0)
    if effective(most) >= least:
        return most
    low, high = 0.0, most
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if effective(middle) >= least else (low, middle)
    return max(low, 1e-3)


def _metropolis_step(now: Particles, fault: int, power: float, rng: np.random.Generator) -> Particles:
    """One Metropolis step of every particle: z' = r z + sqrt(1 - r^2) n, which leaves the normal prior invariant,
    accepted with the likelihood ratio; source: Neal 1999.
    """
    n = len(now.label)
    keep = np.array(CORRELATIONS)[np.minimum((rng.random(n) * len(CORRELATIONS)).astype(int), len(CORRELATIONS) - 1)][
        :, None
    ]
    z = keep * normal_deviates(now.quantiles) + np.sqrt(1.0 - keep**2) * normal_deviates(
        rng.random(now.quantiles.shape)
    )
    tried = now.new_particles({fault: normal_quantiles(z)})
    gain = (tried.log_like - now.log_like) - (1.0 - power) * (tried.last_log_like - now.last_log_like)
    taken = np.log(np.maximum(rng.random(n), 1e-300)) < gain
    return now.joined(tried).copy(np.where(taken, np.arange(n) + n, np.arange(n)))
