"""Two faults at once, thought of where what was read is hard to explain by one.

Every pair of faults would be a thousand and more. So pairs are ranked: each reading by the better of two single faults,
as a small bank of vehicles of every fault explains it. The ranking only proposes; what a pair is believed comes from
vehicles that have both faults and are brought through all that was done.
"""

from __future__ import annotations

import numpy as np

from grading.observer.particles import Hypotheses, draw_places, log_sum
from grading.observer.prior import may_come_together, prior, prior_of_pairs
from grading.sessions.perception import SENSES
from scenarios.workshop import Look
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import OffsetEstimate
from sim.vehicle.tolerances import normal_deviates, uniform

BANK = 12
"""Vehicles of every single fault that pairs are ranked by."""
PROPOSED, OF_EACH = 24, 32
"""Pairs that are thought of at one time, and vehicles of each."""
MOST_PAIRS = 72
TRIED = 24
"""Outcomes of a reading that are tried to see what was to be expected."""
SURPRISE = 3.0
"""Nats that a reading must be less likely than the least likely of these, to be badly foreseen."""
PROMISING = 0.02
"""Odds against all that is thought of which a pair's best explanation must have for pairs to be thought of."""


def badly_foreseen(after: Hypotheses, looks: list[Look], steps: list[int], noticed: list[tuple[str, int]]) -> bool:
    """Whether a reading was far less likely than any that was to be expected.

    after: the belief after an action and its readings; looks, steps: what was read; noticed: label and step of what was
    noticed.
    """
    if not (after.log_weight > -np.inf).any():
        return False
    weights, seen = after.weights_before(), []
    seen += [(spec.instrument, true, step) for (spec, true, _), step in zip(looks, steps, strict=False)]
    for label, step in noticed:
        if label in SENSES:
            seen.append((SENSES[label].counts_by, SENSES[label].quantity(after.workshop.fleet), step))
    places = (np.arange(TRIED) + 0.5) / TRIED
    truths = np.minimum(np.searchsorted(np.cumsum(weights), places), len(weights) - 1)
    for k, (name, true, step) in enumerate(seen):
        instrument, known = INSTRUMENTS[name], after.known(name)
        noise = normal_deviates(np.array([uniform("foresee", k, m) for m in range(TRIED)]))
        of_truths = None if known is None else OffsetEstimate(known.mean[truths], known.variance[truths])
        expected = instrument.read_all(true[truths], noise, of_truths).tolist()
        wanted = [*dict.fromkeys([step, *expected])]
        bandwidth = instrument.bandwidth(true, weights, after.label, len(after.drawn), known)
        chances = np.log(np.maximum(instrument.likelihoods(wanted, true, bandwidth, known) @ weights, 1e-300))
        if step not in expected and chances[0] < chances[1:].min() - SURPRISE:
            return True
    return False


def widened(hypotheses: Hypotheses) -> Hypotheses:
    """The belief with vehicles of the pairs that explain best what was read, where any could be believed."""
    if len(hypotheses.pairs) >= MOST_PAIRS:
        return hypotheses
    pairs = proposed(hypotheses)
    if not pairs:
        return hypotheses
    whole = hypotheses.copy()
    first = len(whole.drawn)
    whole.pairs += pairs
    for name in ("drawn", "foreseen", "roughness", "moved"):
        old = getattr(whole, name)
        setattr(whole, name, np.concatenate([old, np.zeros(len(pairs), old.dtype)]))
    whole.drawn[first:] = OF_EACH * whole.scale
    quantiles = draw_places(whole.seed, OF_EACH * whole.scale)
    fresh = whole.fresh(dict.fromkeys(range(first, first + len(pairs)), quantiles))
    whole.foreseen[first:] = fresh.foreseen[first:]
    return whole.joined(fresh).without_failed()


def proposed(hypotheses: Hypotheses) -> list[tuple[int, int]]:
    """Pairs of faults not thought of yet that could be believed in, the most promising first."""
    explained = _explained(hypotheses)
    faults, known = hypotheses.faults, set(hypotheses.pairs)
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
    promise += np.log(prior_of_pairs(hypotheses.job, faults, pairs))
    alone = log_sum(np.log(prior(hypotheses.job, faults)) + explained.sum(axis=1))
    order = np.argsort(-promise, kind="stable")[:PROPOSED]
    return sorted(pairs[k] for k in order if promise[k] > alone + np.log(PROMISING))


def _explained(hypotheses: Hypotheses) -> np.ndarray:
    """Log chance of each reading so far in the vehicles of each fault, their mean (faults, readings)."""
    faults = range(len(hypotheses.faults))
    bank = Hypotheses.at(
        hypotheses.catalogue,
        hypotheses.job,
        hypotheses.faults,
        dict.fromkeys(faults, draw_places(hypotheses.seed, BANK)),
        hypotheses.seed,
        hypotheses.scale,
    )
    readings: list[np.ndarray] = []
    for action, steps, noticed in hypotheses.past:
        bank.by_reading = []
        bank.act(action, steps, noticed)
        readings += bank.by_reading
    if not readings:
        return np.zeros((len(faults), 0))
    by_fault = np.array(readings).reshape(len(readings), len(faults), BANK)
    most = by_fault.max(axis=2)
    return (most + np.log(np.exp(by_fault - most[:, :, None]).mean(axis=2))).T
