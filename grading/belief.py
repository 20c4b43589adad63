"""What a perfect observer would believe: possible vehicles, weighted by how likely each makes all the readings.

Every fault that the job's vehicle can have is imagined in many vehicles, with severities and tolerances of their own.
The person's actions are done to all of them at once, and each reading multiplies a vehicle's weight by the chance that
its true quantity would have been read so. Readings of one vehicle share its hidden parameters, so whole vehicles are
weighted, never tables of single checks.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from grading.perception import noticed_likelihood
from grading.session import open_workshop
from scenarios.actions import Action
from scenarios.model import Catalogue, Fault, Job
from scenarios.planting import plant
from scenarios.workshop import Performed, Workshop
from sim.instruments import INSTRUMENTS
from sim.variation import draw, draw_quantiles

PER_FAULT = 48
"""Vehicles imagined for each fault at first."""
BATCH = 144
"""Vehicles added to a fault that is still believed in but of which few are left."""
ENOUGH = 25.0
"""Effective number of vehicles below which a fault is given more."""
MOST_PER_FAULT = 480
CONTENDS = 0.02
"""Belief from which a fault is worth more vehicles."""
DROPPED = 1e-4
"""Share of the whole weight that may be dropped at once with the vehicles that no longer matter."""
SLACK = 200.0
"""Temperatures of imagined vehicles may be wrong by some hundredths of a kelvin: instruments spread by far more."""


@dataclass
class Hypotheses:
    """Possible vehicles and their weights.

    catalogue, job: what they are imagined from; faults: what each label means; workshop: vehicles (n,); label: index
    of each vehicle's fault as it arrived (n,); log_weight (n,): log of fault rate times likelihood so far; drawn
    (faults,): vehicles imagined of each fault, dropped ones included, so that a fault's evidence is its mean over all
    of them; past: actions done, steps read and what was noticed, to bring later vehicles to the same moment; dropped:
    share of the weight dropped so far, the sum of what was dropped at each time.
    """

    catalogue: Catalogue
    job: Job
    faults: list[Fault]
    workshop: Workshop
    label: np.ndarray
    log_weight: np.ndarray
    drawn: np.ndarray
    past: list[tuple[Action, list[int], list[tuple[str, int]]]] = field(default_factory=list)
    dropped: float = 0.0
    seed: str = "imagined"

    @classmethod
    def imagine(cls, catalogue: Catalogue, job: Job, per_fault: int = PER_FAULT, seed: str = "imagined") -> Hypotheses:
        """Vehicles of the job's type with every fault it can have, before anything is done, weighted by fault rates.

        seed: which vehicles are imagined; the job's own vehicle comes from another domain of seeds.
        """
        faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
        counts = np.full(len(faults), per_fault)
        return cls._batch(catalogue, job, faults, np.zeros(len(faults), int), counts, seed)

    @classmethod
    def _batch(
        cls, catalogue: Catalogue, job: Job, faults: list[Fault], first: np.ndarray, counts: np.ndarray, seed: str
    ) -> Hypotheses:
        """Vehicles first .. first + count - 1 of each fault. The same tolerances serve every fault."""
        vehicle = catalogue.vehicles[job.vehicle]
        parts, goods = [], []
        drawn: dict[tuple[int, int], np.ndarray] = {}
        for fault, start, count in zip(faults, first, counts, strict=True):
            if not count:
                continue
            key = (int(start), int(count))
            if key not in drawn:
                drawn[key] = draw(vehicle.parameters, seed, key[1], key[0])
            good = drawn[key]
            mine = good.copy()
            place = draw_quantiles(seed, "severity", int(start), int(count))
            luck = draw_quantiles(seed, "luck", int(start), int(count))
            low, high = fault.severity
            plant(mine, fault, low + (high - low) * place, luck)
            parts.append(mine)
            goods.append(good)
        label = np.repeat(np.arange(len(faults)), counts)
        rates = np.array([fault.rate for fault in faults])
        workshop = open_workshop(catalogue, job, np.concatenate(parts), np.concatenate(goods))
        workshop.fleet.slack = SLACK
        log_rate = np.log(rates / rates.sum())[label]
        return cls(catalogue, job, faults, workshop, label, log_rate, counts.astype(float), seed=seed)

    def copy(self, keep: np.ndarray | None = None) -> Hypotheses:
        """The same belief at the same moment, of all vehicles or of those at an index."""
        index = slice(None) if keep is None else keep
        return Hypotheses(
            self.catalogue,
            self.job,
            self.faults,
            self.workshop.copy(keep),
            self.label[index].copy(),
            self.log_weight[index].copy(),
            self.drawn.copy(),
            list(self.past),
            self.dropped,
            self.seed,
        )

    def weights(self) -> np.ndarray:
        """Normalised weights (n,)."""
        log = self.log_weight - np.log(self.drawn)[self.label]
        w = np.exp(log - log.max())
        return w / w.sum()

    def belief(self) -> np.ndarray:
        """Probability of each fault (faults,)."""
        return np.bincount(self.label, self.weights(), minlength=len(self.faults))

    def effective(self) -> np.ndarray:
        """Effective number of vehicles of each fault, (sum w)^2 / sum w^2, shape (faults,)."""
        w = self.weights()
        total = np.bincount(self.label, w, minlength=len(self.faults))
        squares = np.bincount(self.label, w * w, minlength=len(self.faults))
        return np.where(squares > 0.0, total * total / np.where(squares > 0.0, squares, 1.0), 0.0)

    def error(self) -> np.ndarray:
        """Standard error of the belief in each fault (faults,), from the spread of its vehicles' weights."""
        w, b = self.weights(), self.belief()
        mean = b / self.drawn
        squares = np.bincount(self.label, w * w, minlength=len(self.faults))
        variance = np.maximum(squares - self.drawn * mean * mean, 0.0)  # of each fault's unnormalised share
        return np.sqrt((1.0 - b) ** 2 * variance + b * b * np.maximum(variance.sum() - variance, 0.0))

    def act(
        self, action: Action, steps: list[int] | None = None, noticed: list[tuple[str, int]] | None = None
    ) -> Performed:
        """Do an action to all vehicles; steps: display steps that were read of it, from which to learn; noticed: label
        and step of what was noticed after it.
        """
        done = self.workshop.perform(action)
        self.past.append((action, list(steps or []), list(noticed or [])))
        if steps:
            self._learn(done, steps)
        for label, step in noticed or ():
            self.log_weight = self.log_weight + np.log(noticed_likelihood(self.workshop, label, step))
        return done

    def _learn(self, done: Performed, steps: list[int]) -> None:
        """Weigh the vehicles by what was read; steps in the order of done.readings."""
        for (spec, true), step in zip(done.readings, steps, strict=True):
            self.log_weight = self.log_weight + np.log(INSTRUMENTS[spec.instrument].likelihood(step, true))

    def settle(self) -> Hypotheses:
        """The belief without the vehicles that no longer matter, and with more of the faults of which few are left."""
        kept = self._follow_likely()
        short = (kept.belief() > CONTENDS) & (kept.effective() < ENOUGH) & (kept.drawn < MOST_PER_FAULT)
        if not short.any():
            return kept
        more = Hypotheses._batch(
            self.catalogue, self.job, self.faults, self.drawn.astype(int), np.where(short, BATCH, 0), self.seed
        )
        for action, steps, noticed in self.past:
            more.act(action, steps, noticed)
        more._bring_up_to(kept)
        kept.workshop.join(more.workshop)
        kept.label = np.concatenate([kept.label, more.label])
        kept.log_weight = np.concatenate([kept.log_weight, more.log_weight])
        kept.drawn = kept.drawn + np.where(short, BATCH, 0)
        return kept._follow_likely()

    def _bring_up_to(self, other: Hypotheses) -> None:
        """Refuse to mix moments: what was done to both must be the same."""
        if abs(self.workshop.minute - other.workshop.minute) > 1e-6:
            raise RuntimeError("imagined vehicles were brought to another moment")

    def _follow_likely(self) -> Hypotheses:
        w = self.weights()
        order = np.argsort(w, kind="stable")
        gone = np.searchsorted(np.cumsum(w[order]), DROPPED)
        if gone < 0.2 * len(w):
            return self
        kept = self.copy(np.sort(order[gone:]))
        kept.dropped = self.dropped + float(w[order[:gone]].sum())
        return kept


def entropy(p: np.ndarray) -> np.ndarray:
    """Shannon entropy [bit] along the last axis of probabilities."""
    positive = np.where(p > 0.0, p, 1.0)
    return -np.sum(np.where(p > 0.0, p * np.log2(positive), 0.0), axis=-1)
