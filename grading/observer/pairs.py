"""Two faults at once, considered where a reading is surprising under single faults.

There are over a thousand pairs. They are ranked by a small bank of particles of single faults: each reading counts with
the better evidence of the two. The ranking only proposes pairs; belief in a pair comes from particles with both faults
that are replayed through the whole record.
"""

from __future__ import annotations

import numpy as np

from grading.observer.particles import Particles, draw_quantile_sets, log_sum
from grading.observer.prior import may_come_together, prior, prior_of_pairs
from grading.sessions.perception import SENSES
from scenarios.workshop import Look
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import OffsetEstimate
from sim.vehicle.tolerances import normal_deviates, uniform

BANK = 12
"""Particles of each single fault in the bank that ranks pairs."""
MAX_PROPOSED, PER_PAIR = 24, 32
"""Most pairs proposed at a time, and particles of each."""
MOST_PAIRS = 72
SAMPLES = 24
"""Samples of the predictive distribution of a reading."""
SURPRISE = 3.0
"""Difference of log likelihood [nat] to the least likely sample, beyond which a reading is surprising."""
PROPOSAL_ODDS = 0.02
"""Least odds of a pair by its ranking, against all single faults, to be proposed."""


def is_surprising(after: Particles, looks: list[Look], steps: list[int], noticed: list[tuple[str, int]]) -> bool:
    """Whether a reading was far less likely than all samples of the predictive distribution.

    after: belief after an action and its readings; looks, steps: true values and display steps of the readings;
    noticed: label and step of each perception.
    """
    if not (after.log_weight > -np.inf).any():
        return False
    weights, seen = after.weights_before(), []
    seen += [(spec.instrument, true, step) for (spec, true, _), step in zip(looks, steps, strict=False)]
    for label, step in noticed:
        if label in SENSES:
            seen.append((SENSES[label].likelihood_instrument, SENSES[label].quantity(after.workshop.fleet), step))
    places = (np.arange(SAMPLES) + 0.5) / SAMPLES
    truths = np.minimum(np.searchsorted(np.cumsum(weights), places), len(weights) - 1)
    for k, (name, true, step) in enumerate(seen):
        instrument, known = INSTRUMENTS[name], after.offset_estimate(name)
        noise = normal_deviates(np.array([uniform("foresee", k, m) for m in range(SAMPLES)]))
        of_truths = None if known is None else OffsetEstimate(known.mean[truths], known.variance[truths])
        expected = instrument.read_all(true[truths], noise, of_truths).tolist()
        wanted = [*dict.fromkeys([step, *expected])]
        bandwidth = instrument.bandwidth(true, weights, after.label, len(after.drawn), known)
        chances = np.log(np.maximum(instrument.likelihoods(wanted, true, bandwidth, known) @ weights, 1e-300))
        if step not in expected and chances[0] < chances[1:].min() - SURPRISE:
            return True
    return False


def with_pairs(particles: Particles) -> Particles:
    """The belief with particles of the most promising pairs, unchanged if there are none."""
    if len(particles.pairs) >= MOST_PAIRS:
        return particles
    pairs = proposed_pairs(particles)
    if not pairs:
        return particles
    whole = particles.copy()
    first = len(whole.drawn)
    whole.pairs += pairs
    for name in ("drawn", "log_predictive", "evidence_variance", "rejuvenated"):
        old = getattr(whole, name)
        setattr(whole, name, np.concatenate([old, np.zeros(len(pairs), old.dtype)]))
    whole.drawn[first:] = PER_PAIR * whole.scale
    quantiles = draw_quantile_sets(whole.seed, PER_PAIR * whole.scale)
    fresh = whole.new_particles(dict.fromkeys(range(first, first + len(pairs)), quantiles))
    whole.log_predictive[first:] = fresh.log_predictive[first:]
    return whole.joined(fresh).without_failed()


def proposed_pairs(particles: Particles) -> list[tuple[int, int]]:
    """New pairs of faults (indices) with sufficient odds by the ranking, sorted."""
    explained = _evidence_by_reading(particles)
    faults, known = particles.faults, set(particles.pairs)
    pairs = [
        (i, j)
        for i in range(len(faults))
        for j in range(i + 1, len(faults))
        if (i, j) not in known and may_come_together(faults[i], faults[j])
    ]
    if not pairs:
        return []
    one, other = np.array(pairs).T
    promise = np.maximum(explained[one], explained[other]).sum(axis=1)
    promise += np.log(prior_of_pairs(particles.job, faults, pairs))
    alone = log_sum(np.log(prior(particles.job, faults)) + explained.sum(axis=1))
    order = np.argsort(-promise, kind="stable")[:MAX_PROPOSED]
    return sorted(pairs[k] for k in order if promise[k] > alone + np.log(PROPOSAL_ODDS))


def _evidence_by_reading(particles: Particles) -> np.ndarray:
    """Log of the mean likelihood of each reading so far under each single fault (faults, readings)."""
    faults = range(len(particles.faults))
    bank = Particles.at(
        particles.catalogue,
        particles.job,
        particles.faults,
        dict.fromkeys(faults, draw_quantile_sets(particles.seed, BANK)),
        seed=particles.seed,
        scale=particles.scale,
    )
    readings: list[np.ndarray] = []
    for action, steps, noticed in particles.history:
        bank.log_like_by_reading = []
        bank.act(action, steps, noticed)
        readings += bank.log_like_by_reading
    if not readings:
        return np.zeros((len(faults), 0))
    by_fault = np.array(readings).reshape(len(readings), len(faults), BANK)
    most = by_fault.max(axis=2)
    return (most + np.log(np.exp(by_fault - most[:, :, None]).mean(axis=2))).T
