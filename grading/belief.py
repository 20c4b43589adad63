"""What a perfect observer would believe: possible vehicles, weighted by how likely each makes all the readings.

Every fault that the job's vehicle can have is imagined in many vehicles, with severities and tolerances of their own.
The person's actions are done to all of them at once, and each reading multiplies a vehicle's weight by the chance that
its true quantity would have been read so. Readings of one vehicle share its hidden parameters, so whole vehicles are
weighted, never tables of single checks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from grading.session import open_workshop
from scenarios.actions import Action
from scenarios.model import Catalogue, Fault, Job
from scenarios.planting import plant
from scenarios.workshop import Performed, Workshop
from sim.instruments import INSTRUMENTS
from sim.variation import draw, draw_quantiles

PER_FAULT = 256
"""Vehicles imagined for each fault."""
NEGLIGIBLE = 1e-9
"""Share of the whole weight below which a vehicle is no longer followed."""


@dataclass
class Hypotheses:
    """Possible vehicles and their weights.

    faults: what each label means; workshop: the vehicles (n,); label: index of each vehicle's fault as it arrived (n,);
    log_weight (n,), not normalised.
    """

    faults: list[Fault]
    workshop: Workshop
    label: np.ndarray
    log_weight: np.ndarray

    @classmethod
    def imagine(cls, catalogue: Catalogue, job: Job, per_fault: int = PER_FAULT) -> Hypotheses:
        """Vehicles of the job's type with every fault it can have, before anything is done, weighted by fault rates."""
        vehicle = catalogue.vehicles[job.vehicle]
        faults = catalogue.faults_of(vehicle)
        good = np.tile(draw(vehicle.parameters, "imagined", per_fault), len(faults))
        parameters = good.copy()
        label = np.repeat(np.arange(len(faults)), per_fault)
        place = draw_quantiles("imagined", "severity", 0, per_fault)
        luck = draw_quantiles("imagined", "luck", 0, per_fault)
        for k, fault in enumerate(faults):
            low, high = fault.severity
            mine = parameters[label == k]
            plant(mine, fault, low + (high - low) * place, luck)
            parameters[label == k] = mine
        rates = np.array([fault.rate for fault in faults])
        log_weight = np.log(rates / rates.sum() / per_fault)[label]
        return cls(faults, open_workshop(catalogue, job, parameters, good), label, log_weight)

    def copy(self, keep: np.ndarray | None = None) -> Hypotheses:
        """The same belief at the same moment, of all vehicles or of those at an index."""
        if keep is None:
            return Hypotheses(self.faults, self.workshop.copy(), self.label, self.log_weight.copy())
        return Hypotheses(self.faults, self.workshop.copy(keep), self.label[keep], self.log_weight[keep])

    def weights(self) -> np.ndarray:
        """Normalised weights (n,)."""
        w = np.exp(self.log_weight - self.log_weight.max())
        return w / w.sum()

    def belief(self) -> np.ndarray:
        """Probability of each fault (faults,)."""
        return np.bincount(self.label, self.weights(), minlength=len(self.faults))

    def effective(self) -> float:
        """Effective number of vehicles, 1 / sum w^2."""
        return float(1.0 / np.sum(self.weights() ** 2))

    def act(self, action: Action) -> Performed:
        """Do an action to all vehicles without learning from it."""
        return self.workshop.perform(action)

    def learn(self, done: Performed, steps: list[int]) -> None:
        """Weigh the vehicles by what was read; steps: display steps in the order of done.readings."""
        for (spec, true), step in zip(done.readings, steps, strict=True):
            self.log_weight = self.log_weight + np.log(INSTRUMENTS[spec.instrument].likelihood(step, true))

    def follow_likely(self) -> Hypotheses:
        """The belief without the vehicles that no longer matter."""
        w = self.weights()
        keep = np.flatnonzero(w > NEGLIGIBLE)
        return self if len(keep) > 0.8 * len(w) else self.copy(keep)


def entropy(p: np.ndarray) -> np.ndarray:
    """Shannon entropy [bit] along the last axis of probabilities."""
    positive = np.where(p > 0.0, p, 1.0)
    return -np.sum(np.where(p > 0.0, p * np.log2(positive), 0.0), axis=-1)
