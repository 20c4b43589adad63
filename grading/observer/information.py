"""What a check could show and tell: outcomes tried by their chance, on possible vehicles at one moment."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache, cached_property

import numpy as np

from grading.observer.particles import Hypotheses, entropy
from scenarios.model import Check
from sim.compile import jit_making_arrays
from sim.fleet import Fleet
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import OffsetEstimate
from sim.observation.quantities import QUANTITIES
from sim.vehicle.records import copy_records
from sim.vehicle.tolerances import normal_deviates, uniform

TRIALS = 24
"""Outcomes of a check that are tried."""


@cache
def _noise(reading: int, trials: int) -> np.ndarray:
    """Noise of a check's reading in each trial, as standard normal deviates (trials,)."""
    return normal_deviates(np.array([uniform("trial", reading, m) for m in range(trials)]))


class Moment:
    """Possible vehicles as they stand, and what all checks at this moment have in common, worked out once."""

    def __init__(self, hypotheses: Hypotheses, trials: int = TRIALS) -> None:
        """hypotheses: not to be changed while this is asked; trials: outcomes of a check that are tried."""
        self.hypotheses, self.trials = hypotheses, trials
        self.weights = hypotheses.weights()
        self._set: dict[tuple[tuple[str, float], ...], Fleet] = {}

    def without(self, failed: np.ndarray) -> Moment:
        """The same moment with no weight on some vehicles (n,); itself where they have none."""
        if not (failed & (self.hypotheses.log_weight > -np.inf)).any():
            return self
        left = np.where(failed, -np.inf, self.hypotheses.log_weight)
        return Moment(replace(self.hypotheses, log_weight=left), self.trials)

    @cached_property
    def _truths(self) -> np.ndarray:
        """Vehicles that the outcomes are of (trials,), drawn evenly through the weights."""
        places = (np.arange(self.trials) + 0.5) / self.trials
        return np.minimum(np.searchsorted(np.cumsum(self.weights), places), len(self.weights) - 1)

    @cached_property
    def _group(self) -> np.ndarray:
        """Faults that are left, numbered anew in each vehicle (n,), for labels rise."""
        return np.cumsum(np.diff(self.hypotheses.label, prepend=self.hypotheses.label[:1]) != 0)

    @cached_property
    def _uncertainty(self) -> float:
        """Entropy [bit] of the belief."""
        return float(entropy(self.hypotheses.by_cause()))

    def looks(self, check: Check) -> list[tuple[str, np.ndarray]]:
        """Instrument and true quantities (n,) of each reading of a check, its own control settings tried."""
        out = []
        for spec in check.readings:
            sets = tuple(spec.sets.items())
            out.append((spec.instrument, QUANTITIES[spec.quantity](self._as_set(sets))))
        return out

    def _as_set(self, sets: tuple[tuple[str, float], ...]) -> Fleet:
        """The vehicles with some controls moved."""
        fleet = self.hypotheses.workshop.fleet
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
        """Chance of each tried outcome in each vehicle (trials, n), outcomes tried in proportion to their chance."""
        label, faults = self.hypotheses.label, len(self.hypotheses.drawn)
        likelihood = np.ones((self.trials, len(label)))
        for k, (name, true) in enumerate(looks):
            instrument = INSTRUMENTS[name]
            known = self.hypotheses.known(name)
            bandwidth = instrument.bandwidth(true, self.weights, label, faults, known)
            of_truths = (
                None if known is None else OffsetEstimate(known.mean[self._truths], known.variance[self._truths])
            )
            seen = instrument.read_all(true[self._truths], _noise(k, self.trials), of_truths).tolist()
            of_step = {step: k for k, step in enumerate(dict.fromkeys(seen))}
            chances = instrument.likelihoods(list(of_step), true, bandwidth, known)
            likelihood *= chances[[of_step[step] for step in seen]]
        return likelihood

    def told(self, likelihood: np.ndarray) -> tuple[float, float]:
        """Expected information [bit] and belief in the likeliest fault, from chances of outcomes (trials, n)."""
        bits, surest = _told(likelihood, self.weights, self._group)
        return self._uncertainty + bits, surest


@jit_making_arrays
def _told(likelihood: np.ndarray, weights: np.ndarray, group: np.ndarray) -> tuple[float, float]:
    """Mean negentropy [bit] and mean largest share of the groups after each outcome (m,) of chances (m, n).

    weights (n,); group (n,), rising from 0.
    """
    outcomes, bits, surest = len(likelihood), 0.0, 0.0
    joint = np.empty(group[-1] + 1)
    for m in range(outcomes):
        joint[:] = 0.0
        for i in range(len(weights)):
            joint[group[i]] += likelihood[m, i] * weights[i]
        whole, most = joint.sum(), joint.max()
        surest += most / whole
        for part in joint:
            if part > 0.0:
                bits += part / whole * math.log2(part / whole)
    return bits / outcomes, surest / outcomes


def expect(hypotheses: Hypotheses, looks: list[tuple[str, np.ndarray]]) -> tuple[float, float]:
    """Expected information [bit] and expected belief in the likeliest fault, over outcomes tried in proportion."""
    moment = Moment(hypotheses)
    return moment.told(moment.outcomes(looks))
