"""Resampling: adds particles where a cause has too few, and thins those with negligible weight."""

from __future__ import annotations

import math

import numpy as np

from grading.observer.particles import Particles, draw_quantile_sets
from grading.observer.tempering import temper
from sim.vehicle.tolerances import uniform

BATCH = 96
"""Particles are added to a cause in multiples of this."""
ROUNDS = 2
"""Rounds of adding after a reading: the first gives a better estimate of the number needed."""
SMALL_ENOUGH = 250
"""Number of particles up to which none are removed."""
MAX_STANDARD_ERROR = 0.03
"""Standard error of the belief in a cause above which it gets more particles."""
MAX_PER_FAULT = 720
"""Most particles drawn for a cause; beyond, tempering helps more than drawing."""
MAX_ADDED = 1152
"""Particles added at a time to all causes together, about; replaying one takes half a millisecond."""
KEPT = 450
"""Particles kept after each reading, about."""
KEPT_PER_FAULT = 8
"""Least number of these for each cause that is not negligible."""
KEPT_PER_UNLIKELY_FAULT = 3
"""The same for a cause with a belief below UNLIKELY; if it rises again, more are drawn."""
UNLIKELY = 1e-3
MAX_KEPT_PER_FAULT = 200
"""Most particles kept of a cause: with half as many, two seeds differed by half as much again."""
NEGLIGIBLE_BELIEF = 1e-5
"""Belief below which a cause is removed."""
MIN_EFFECTIVE_SIZE = 4.0
"""Effective sample size below which the weights give no reliable standard error."""
MISFIT_RATIO = 3.0
"""Ratio of the predictive likelihood of a reading under a normal fit to a cause's particles over that of the particles
themselves, above which particles are missing where the reading is."""
RELEVANT_BELIEF = 0.02
"""Attainable belief above which a cause is worth more particles or tempering."""
MAX_TEMPERED = 3
"""Most causes that are tempered after a reading."""


def resample(particles: Particles) -> Particles:
    """Resample after a reading: add particles where needed, temper degenerate causes, thin the rest."""
    whole = particles
    for _ in range(ROUNDS):
        short = needs_particles(whole)
        if not short.any():
            break
        whole = with_more_particles(whole, short)
    for fault in degenerate_causes(whole):
        whole = temper(whole, fault)
    return thinned(whole)


def needs_particles(particles: Particles) -> np.ndarray:
    """Which causes (causes,) need more particles and may get them: their standard error is large, or they are relevant
    and have a small effective sample size or a gap where the last reading is.
    """
    share, gain = _attainable_belief(particles)
    contends = (share > RELEVANT_BELIEF) & ((particles.effective_sizes() < MIN_EFFECTIVE_SIZE) | (gain > MISFIT_RATIO))
    can = (particles.drawn < MAX_PER_FAULT * particles.scale) & ~particles.rejuvenated
    return ((particles.error_by_cause() > MAX_STANDARD_ERROR) | contends) & can


def with_more_particles(particles: Particles, short: np.ndarray) -> Particles:
    """The belief with more particles of some causes (mask (causes,)). All get the number that the least certain needs,
    as similar faults are best distinguished with common random numbers.
    """
    drawn, most, batch = particles.drawn.astype(int), MAX_PER_FAULT * particles.scale, BATCH * particles.scale
    lacking = float((drawn * ((particles.error_by_cause() / MAX_STANDARD_ERROR) ** 2 - 1.0))[short].max())
    each = max(MAX_ADDED * particles.scale // int(short.sum()), batch)
    count = batch * math.ceil(min(max(lacking, 1.0), each) / batch)
    fresh = {k: draw_quantile_sets(particles.seed, min(count, most - k), k) for k in sorted(set(drawn[short].tolist()))}
    places = {int(fault): fresh[drawn[fault]] for fault in np.flatnonzero(short)}
    whole = particles.joined(particles.new_particles(places)).without_failed()
    for fault, added in places.items():
        whole.drawn[fault] += len(added)
    return whole


def degenerate_causes(particles: Particles) -> list[int]:
    """The likeliest relevant causes with a small effective sample size that may get no more particles."""
    share, _ = _attainable_belief(particles)
    vain = (particles.drawn >= MAX_PER_FAULT * particles.scale) | particles.rejuvenated
    few = (share > RELEVANT_BELIEF) & (particles.effective_sizes() < MIN_EFFECTIVE_SIZE) & vain
    return [int(k) for k in np.argsort(-share, kind="stable") if few[k]][:MAX_TEMPERED]


def _attainable_belief(particles: Particles) -> tuple[np.ndarray, np.ndarray]:
    """Belief of each cause if the last reading had the likelihood of a normal fit to its particles, and the ratio of
    that likelihood to the one by the particles themselves, both (causes,).
    """
    label, count = particles.label, len(particles.drawn)
    now = particles.weights()
    before = np.bincount(label, now / np.exp(particles.last_log_like), minlength=count)
    after = np.bincount(label, now, minlength=count)
    could = np.maximum(before * np.exp(particles.log_predictive), after)
    return could / (1.0 + could - after), could / np.maximum(after, 1e-300)


def thinned(particles: Particles) -> Particles:
    """About KEPT of the particles, sampled so that expectations are unbiased.

    Light particles are kept with a probability in proportion to their weight and then represent the removed ones; each
    cause keeps its belief. Particles that differ only in their fault are kept or removed together, so that faults
    remain as distinguishable as before. Causes below NEGLIGIBLE_BELIEF are removed and their mass is recorded.
    """
    label, scale, count = particles.label, particles.scale, len(particles.drawn)
    if len(label) <= SMALL_ENOUGH * scale:
        return particles
    belief = particles.by_cause()
    lost = belief < NEGLIGIBLE_BELIEF
    w = np.where(lost[label], 0.0, particles.weights())
    expected = np.bincount(label, inclusion_probabilities(w, KEPT * scale), minlength=count)
    least = scale * np.where(belief < UNLIKELY, KEPT_PER_UNLIKELY_FAULT, KEPT_PER_FAULT)
    wanted = np.clip(expected, least, MAX_KEPT_PER_FAULT * scale)
    numbers = selection_numbers(particles.quantiles, uniform(particles.seed, "kept", len(particles.history)))
    chosen, lift = [], []
    for fault in np.flatnonzero(~lost & (expected > 0.0)):
        mine = np.flatnonzero(label == fault)
        chance = inclusion_probabilities(w[mine], wanted[fault])
        drawn = pareto_sample(chance, numbers[mine])
        share = w[mine[drawn]] / chance[drawn]
        chosen.append(mine[drawn])
        lift.append(np.log(w[mine].sum() / share.sum()) - np.log(chance[drawn]))
    kept = particles.copy(np.concatenate(chosen))
    kept.log_weight = kept.log_weight + np.concatenate(lift)
    kept.pruned_mass = particles.pruned_mass + float(belief[lost].sum())
    return kept


def selection_numbers(quantiles: np.ndarray, key: float) -> np.ndarray:
    """A selection number 0..1 for each particle (n,), equal for equal tolerances (common random numbers): a hash
    (splitmix64's finish, Steele, Lea and Flood 2014) of its first quantile and a key 0..1.
    """
    words = np.ascontiguousarray(quantiles[:, 0]).view(np.uint64) + np.uint64(int(key * 2.0**63))
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        words = (words ^ (words >> np.uint64(shift))) * np.uint64(factor)
    return ((words ^ (words >> np.uint64(31))) >> np.uint64(11)).astype(np.float64) / 2.0**53


def pareto_sample(chance: np.ndarray, numbers: np.ndarray) -> np.ndarray:
    """Indices sampled with given inclusion probabilities (n,), as many as their sum, by selection numbers (n,).

    Pareto sampling (Rosen 1997): those with the smallest odds of selection number over odds of probability.
    """
    with np.errstate(over="ignore"):  # a probability near 0: infinite odds, drawn last
        odds = numbers * (1.0 - chance) / np.where(chance > 0.0, chance * (1.0 - numbers), 1e-300)
    return np.sort(np.argsort(odds, kind="stable")[: round(float(chance.sum()))])


def inclusion_probabilities(w: np.ndarray, count: float) -> np.ndarray:
    """Inclusion probabilities min(1, w / c), with the c that keeps count of them on average."""
    falling = np.sort(w)[::-1]
    rest = np.cumsum(falling[::-1])[::-1]  # weight of this particle and all lighter ones
    certain = np.arange(len(w))
    fits = np.flatnonzero(falling * np.maximum(count - certain, 0) < rest)
    if not len(fits) or fits[0] >= count:
        return np.minimum(1.0, np.where(w > 0.0, 1.0, 0.0))
    first = fits[0]
    return np.minimum(1.0, w * (count - first) / rest[first])
