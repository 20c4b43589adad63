"""Expected information of checks: outcomes sampled from the particles at one point in time."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache, cached_property

import numpy as np

from grading.observer.particles import Particles, entropy
from scenarios.model import Check
from sim.compile import jit_making_arrays
from sim.fleet import Fleet
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import OffsetEstimate
from sim.observation.quantities import QUANTITIES
from sim.vehicle.records import copy_records
from sim.vehicle.tolerances import normal_deviates, uniform

TRIALS = 24
"""Sampled outcomes of a check."""


@cache
def _noise(reading: int, trials: int) -> np.ndarray:
    """Noise of a check's reading in each sample, as standard normal deviates (trials,)."""
    return normal_deviates(np.array([uniform("trial", reading, m) for m in range(trials)]))


class OutcomeSampler:
    """Samples outcomes of checks at one belief; what all checks have in common is computed once."""

    def __init__(self, particles: Particles, trials: int = TRIALS) -> None:
        """particles: must not be changed while this is in use; trials: sampled outcomes of a check."""
        self.particles, self.trials = particles, trials
        self.weights = particles.weights()
        self._set: dict[tuple[tuple[str, float], ...], Fleet] = {}

    def without(self, failed: np.ndarray) -> OutcomeSampler:
        """A sampler without weight on some particles (mask (n,)); itself if they have none."""
        if not (failed & (self.particles.log_weight > -np.inf)).any():
            return self
        left = np.where(failed, -np.inf, self.particles.log_weight)
        return OutcomeSampler(replace(self.particles, log_weight=left), self.trials)

    @cached_property
    def _true_vehicles(self) -> np.ndarray:
        """Particles that outcomes are sampled from (trials,), by systematic sampling of the weights."""
        places = (np.arange(self.trials) + 0.5) / self.trials
        return np.minimum(np.searchsorted(np.cumsum(self.weights), places), len(self.weights) - 1)

    @cached_property
    def _cause_group(self) -> np.ndarray:
        """Cause of each particle (n,), numbered without gaps."""
        return np.cumsum(np.diff(self.particles.label, prepend=self.particles.label[:1]) != 0)

    @cached_property
    def _uncertainty(self) -> float:
        """Entropy [bit] of the belief."""
        return float(entropy(self.particles.by_cause()))

    def looks(self, check: Check) -> list[tuple[str, np.ndarray]]:
        """Instrument and true values (n,) of each reading of a check, with the check's control settings."""
        out = []
        for spec in check.readings:
            sets = tuple(spec.sets.items())
            out.append((spec.instrument, QUANTITIES[spec.quantity](self._as_set(sets))))
        return out

    def _as_set(self, sets: tuple[tuple[str, float], ...]) -> Fleet:
        """What-if view of the particles with some controls set."""
        fleet = self.particles.workshop.fleet
        if not sets:
            return fleet
        if sets not in self._set:
            tried = fleet.what_if_view()
            tried.controls = copy_records(fleet.controls)
            for name, value in sets:
                tried.controls[name] = value
            tried.refresh()
            self._set[sets] = tried
        return self._set[sets]

    def outcomes(self, looks: list[tuple[str, np.ndarray]]) -> np.ndarray:
        """Likelihood of each sampled outcome under each particle (trials, n)."""
        label, faults = self.particles.label, len(self.particles.drawn)
        likelihood = np.ones((self.trials, len(label)))
        for k, (name, true) in enumerate(looks):
            instrument = INSTRUMENTS[name]
            known = self.particles.offset_estimate(name)
            bandwidth = instrument.bandwidth(true, self.weights, label, faults, known)
            of_truths = (
                None
                if known is None
                else OffsetEstimate(known.mean[self._true_vehicles], known.variance[self._true_vehicles])
            )
            seen = instrument.read_all(true[self._true_vehicles], _noise(k, self.trials), of_truths).tolist()
            of_step = {step: k for k, step in enumerate(dict.fromkeys(seen))}
            chances = instrument.likelihoods(list(of_step), true, bandwidth, known)
            likelihood *= chances[[of_step[step] for step in seen]]
        return likelihood

    def expected_information(self, likelihood: np.ndarray) -> tuple[float, float]:
        """Expected information [bit] and expected belief in the likeliest cause, from likelihoods (trials, n)."""
        bits, confidence = _expected_information(likelihood, self.weights, self._cause_group)
        return self._uncertainty + bits, confidence


@jit_making_arrays
def _expected_information(likelihood: np.ndarray, weights: np.ndarray, group: np.ndarray) -> tuple[float, float]:
    """Mean negative entropy [bit] and mean largest probability of the groups over outcomes, from likelihoods (m, n).

    weights (n,); group (n,), rising from 0.
    """
    outcomes, bits, confidence = len(likelihood), 0.0, 0.0
    joint = np.empty(group[-1] + 1)
    for m in range(outcomes):
        joint[:] = 0.0
        for i in range(len(weights)):
            joint[group[i]] += likelihood[m, i] * weights[i]
        whole, most = joint.sum(), joint.max()
        confidence += most / whole
        for part in joint:
            if part > 0.0:
                bits += part / whole * math.log2(part / whole)
    return bits / outcomes, confidence / outcomes


def expected_information(particles: Particles, looks: list[tuple[str, np.ndarray]]) -> tuple[float, float]:
    """Expected information [bit] and expected belief in the likeliest cause, over sampled outcomes."""
    sampler = OutcomeSampler(particles)
    return sampler.expected_information(sampler.outcomes(looks))
