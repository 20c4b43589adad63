"""What a perfect observer would believe: possible vehicles, weighted by how likely each makes all the readings.

Every fault that the job's vehicle can have is imagined in many vehicles, with severities and tolerances of their own.
The person's actions are done to all of them at once, and each reading multiplies a vehicle's weight by the chance that
its true quantity would have been read so. Readings of one vehicle share its hidden parameters, so whole vehicles are
weighted, never tables of single checks.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from grading.observer.days_of_use import arrive_after_days
from grading.observer.prior import prior, prior_of_pairs
from grading.sessions.perception import SENSES
from scenarios.actions import Action
from scenarios.arrival import open_workshop
from scenarios.language import _
from scenarios.model import Catalogue, Fault, Job
from scenarios.physics_failure import PhysicsFailed
from scenarios.planting import gets_worse, on_first_day, plant
from scenarios.workshop import Performed, Workshop
from sim.observation.instruments import INSTRUMENTS, OFFSETS
from sim.observation.likelihood import Instrument, OffsetEstimate
from sim.vehicle.records import concatenate_records, copy_records
from sim.vehicle.tolerances import draw_all_quantiles, draw_quantiles, vary

PER_FAULT = 48
"""Vehicles imagined for each fault at first."""
TOLERANCE_FACTOR = 2000.0
"""Temperatures of imagined vehicles may be wrong by a tenth of a kelvin: instruments spread by far more."""
OF_VEHICLES = ("label", "quantiles", "log_like", "last", "log_weight", "offsets")
_UNREAD = np.array([[0.0, INSTRUMENTS[name].offset ** 2] for name in OFFSETS])
OF_FAULTS = ("drawn", "foreseen", "roughness", "moved")


@lru_cache(maxsize=64)
def draw_places(seed: str, count: int, first: int = 0) -> np.ndarray:
    """Quantiles of tolerances, severity and luck of vehicles first .. first + count - 1, (count, parameters + 2).

    Every job asks for the same ones, so they are kept, and cannot be written to.
    """
    severity = draw_quantiles(seed, "severity", first, count)
    variant = draw_quantiles(seed, "luck", first, count)
    places = np.column_stack([draw_all_quantiles(seed, count, first), severity, variant])
    places.flags.writeable = False
    return places


def _lots(quantiles: np.ndarray) -> list[tuple[np.ndarray, np.ndarray]]:
    """Quantiles of severity and luck of the first and of the second fault of vehicles (n, parameters + 2); the second's
    are as even as the first's and hang together with them in no simple way.
    """
    severity, variant = quantiles[:, -2], quantiles[:, -1]
    return [(severity, variant), ((17.0 * severity + 5.0 * variant) % 1.0, (3.0 * severity + 29.0 * variant) % 1.0)]


@dataclass
class Hypotheses:
    """Possible vehicles and their weights.

    catalogue, job: what they are imagined from; faults: those that the vehicle can have; pairs: of two faults at once,
    as indices, those that are thought of; a cause is a fault or, after all of these, a pair; workshop: vehicles (n,);
    label: index of each vehicle's cause as it arrived (n,), rising; quantiles (n, parameters + 2): where tolerances,
    severity and luck lie in what was possible; log_like (n,): log chance of all that was read of it, last (n,) of
    the last reading's share; log_weight (n,): log of fault rate times likelihood so far; offsets (n, instruments, 2):
    mean and variance of what each of OFFSETS is off by, as its readings tell; drawn (causes,): vehicles imagined of
    each cause, dropped ones included, so that a cause's evidence is its mean over all of them; past: actions done,
    steps read and what was noticed, to bring later vehicles to the same moment; foreseen (causes,): log chance of the
    last reading if what each cause's vehicles show spread as a normal law; roughness (causes,): relative variance of
    evidence that no longer shows in weights; moved (causes,): whether vehicles were moved since they were drawn;
    by_reading: log chance of each of the last readings in each vehicle, each (n,);
    dropped: share of the weight dropped so far, the sum of what was dropped at each time; vehicles_failed: how many
    have left because their equations could not be solved;
    seed: which vehicles are imagined; scale: how many times the usual number of them.
    """

    catalogue: Catalogue
    job: Job
    faults: list[Fault]
    workshop: Workshop
    label: np.ndarray
    quantiles: np.ndarray
    log_like: np.ndarray
    last: np.ndarray
    log_weight: np.ndarray
    offsets: np.ndarray
    drawn: np.ndarray
    foreseen: np.ndarray
    roughness: np.ndarray
    moved: np.ndarray
    past: list[tuple[Action, list[int], list[tuple[str, int]]]] = field(default_factory=list)
    dropped: float = 0.0
    vehicles_failed: int = 0
    pairs: list[tuple[int, int]] = field(default_factory=list)
    by_reading: list[np.ndarray] = field(default_factory=list)
    seed: str = "imagined"
    scale: int = 1

    @classmethod
    def imagine(cls, catalogue: Catalogue, job: Job, seed: str = "imagined", scale: int = 1) -> Hypotheses:
        """Vehicles of the job's type with every fault it can have, before anything is done, weighted by fault rates and
        by the complaint.

        seed: which vehicles are imagined; the job's own vehicle comes from another domain of seeds. scale: how many
        times the usual number. Raises PhysicsFailed where none of them can be calculated.
        """
        faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
        quantiles = draw_places(seed, PER_FAULT * scale)
        places = dict.fromkeys(range(len(faults)), quantiles)
        return cls.at(catalogue, job, faults, places, seed, scale).without_failed()

    @classmethod
    def at(
        cls,
        catalogue: Catalogue,
        job: Job,
        faults: list[Fault],
        places: dict[int, np.ndarray],
        seed: str = "imagined",
        scale: int = 1,
        pairs: list[tuple[int, int]] | None = None,
    ) -> Hypotheses:
        """Vehicles at given quantiles of each cause (by its index, rising), as they arrive: where the job tells for how
        many days the vehicle was driven so, a leak has left what it left in those days.
        """
        pairs = list(pairs or ())
        causes = [(k,) for k in range(len(faults))] + pairs
        vehicle = catalogue.vehicles[job.vehicle]
        parts, goods = [], []
        known: dict[int, np.ndarray] = {}  # the same tolerances serve every fault
        for k, quantiles in places.items():
            if id(quantiles) not in known:
                known[id(quantiles)] = vary(vehicle.parameters, quantiles[:, :-2])
            good = known[id(quantiles)]
            mine = copy_records(good)
            for one, (severity, variant) in zip(causes[k], _lots(quantiles), strict=False):
                low, high = faults[one].severity
                fault = faults[one] if job.days is None else on_first_day(faults[one])
                plant(mine, fault, low + (high - low) * severity, variant)
                if job.days is not None and gets_worse(faults[one]):
                    arrive_after_days(mine, vehicle, faults[one], severity, job)
            parts.append(mine)
            goods.append(good)
        counts = np.array([len(places.get(k, ())) for k in range(len(causes))])
        label = np.repeat(np.arange(len(causes)), counts)
        workshop = open_workshop(catalogue, job, concatenate_records(parts), concatenate_records(goods))
        workshop.fleet.tolerance_factor = TOLERANCE_FACTOR
        n, m = len(label), len(causes)
        at_first = np.log(np.concatenate([prior(job, faults), prior_of_pairs(job, faults, pairs)]))
        imagined = cls(
            catalogue,
            job,
            faults,
            workshop,
            label,
            np.concatenate(list(places.values())),
            np.zeros(n),
            np.zeros(n),
            at_first[label],
            np.tile(_UNREAD, (n, 1, 1)),
            counts.astype(float),
            np.zeros(m),
            np.zeros(m),
            np.zeros(m, bool),
            seed=seed,
            scale=scale,
            pairs=pairs,
        )
        imagined._leave_out_failed()
        return imagined

    def copy(self, keep: np.ndarray | None = None) -> Hypotheses:
        """The same belief at the same moment, of all vehicles or of those at an index.

        What is told of vehicles is put in whole where it changes, and so is shared.
        """
        return replace(
            self,
            workshop=self.workshop.copy(keep),
            **({} if keep is None else {name: getattr(self, name)[keep] for name in OF_VEHICLES}),
            **{name: getattr(self, name).copy() for name in OF_FAULTS},
            past=list(self.past),
            pairs=list(self.pairs),
            by_reading=[],
        )

    def joined(self, other: Hypotheses) -> Hypotheses:
        """The vehicles of both, which stand at the same moment; what is told by fault is one's own."""
        if abs(self.workshop.minute - other.workshop.minute) > 1e-6:
            raise RuntimeError("imagined vehicles were brought to another moment")
        order = np.argsort(np.concatenate([self.label, other.label]), kind="stable")
        return replace(
            self,
            workshop=self.workshop.joined(other.workshop, order),
            **{name: np.concatenate([getattr(self, name), getattr(other, name)])[order] for name in OF_VEHICLES},
            **{name: getattr(self, name).copy() for name in OF_FAULTS},
            past=list(self.past),
            vehicles_failed=self.vehicles_failed + other.vehicles_failed,
        )

    def _leave_out_failed(self) -> None:
        """Give vehicles that have failed no weight; the others of their fault stand for them, so that its belief is
        what it was. A fault that has none left goes, and its mass is noted.
        """
        failed = self.workshop.fleet.failed & (self.log_weight > -np.inf)
        if not failed.any():
            return
        log_weight, whole = np.where(failed, -np.inf, self.log_weight), self.log_weight - np.log(self.drawn[self.label])
        for fault in np.unique(self.label[failed]):
            mine = self.label == fault
            before, left = log_sum(self.log_weight[mine]), log_sum(log_weight[mine])
            if left > -np.inf:
                log_weight[mine] += before - left
            else:
                self.dropped += float(np.exp(log_sum(whole[mine]) - log_sum(whole)))
        self.log_weight = log_weight
        self.log_like = np.where(failed, -np.inf, self.log_like)
        self.vehicles_failed += int(failed.sum())

    def without_failed(self) -> Hypotheses:
        """The same belief without the vehicles that have failed, which have no weight. Raises PhysicsFailed where none
        would be left.
        """
        failed = self.workshop.fleet.failed
        if failed.all():
            raise PhysicsFailed(_("none of the vehicles that it could be can be calculated any further"))
        return self.copy(np.flatnonzero(~failed)) if failed.any() else self

    def weights(self) -> np.ndarray:
        """Normalised weights (n,)."""
        log = self.log_weight - np.log(self.drawn)[self.label]
        w = np.exp(log - log.max())
        return w / w.sum()

    def weights_before(self) -> np.ndarray:
        """Normalised weights (n,) before the last readings."""
        log = self.log_weight - self.last - np.log(self.drawn)[self.label]
        w = np.where(self.log_weight > -np.inf, np.exp(log - log[self.log_weight > -np.inf].max()), 0.0)
        return w / w.sum()

    def by_cause(self) -> np.ndarray:
        """Probability of each cause (causes,), which sum to 1."""
        return np.bincount(self.label, self.weights(), minlength=len(self.drawn))

    def belief(self) -> np.ndarray:
        """Probability of each fault, alone or with another (faults,)."""
        return self._of_faults(self.by_cause())

    def _of_faults(self, of_causes: np.ndarray) -> np.ndarray:
        """Sums over the causes that contain each fault (faults,)."""
        alone = of_causes[: len(self.faults)].copy()
        for share, pair in zip(of_causes[len(self.faults) :], self.pairs, strict=True):
            alone[list(pair)] += share
        return alone

    def has(self, faults: Iterable[int]) -> np.ndarray:
        """Whether each vehicle has one of some faults (indices), alone or with another (n,)."""
        causes = [(k,) for k in range(len(self.faults))] + self.pairs
        wanted = set(faults)
        return np.array([bool(wanted & set(cause)) for cause in causes])[self.label]

    def effective(self) -> np.ndarray:
        """Effective number of vehicles of each cause, (sum w)^2 / sum w^2, shape (causes,)."""
        w = self.weights()
        total = np.bincount(self.label, w, minlength=len(self.drawn))
        squares = np.bincount(self.label, w * w, minlength=len(self.drawn))
        return np.where(squares > 0.0, total * total / np.where(squares > 0.0, squares, 1.0), 0.0)

    def _variance(self) -> np.ndarray:
        """Variance of each cause's unnormalised share (causes,)."""
        w, b = self.weights(), self.by_cause()
        mean = b / self.drawn
        squares = np.bincount(self.label, w * w, minlength=len(self.drawn))
        return np.maximum(squares - self.drawn * mean * mean, 0.0) + b * b * self.roughness

    def error_by_cause(self) -> np.ndarray:
        """Standard error of the probability of each cause (causes,), from the spread of its vehicles' weights."""
        b, variance = self.by_cause(), self._variance()
        return np.sqrt((1.0 - b) ** 2 * variance + b * b * np.maximum(variance.sum() - variance, 0.0))

    def error(self) -> np.ndarray:
        """Standard error of the belief in each fault (faults,), from the spread of its vehicles' weights."""
        b, variance = self.belief(), self._variance()
        mine = self._of_faults(variance)
        return np.sqrt((1.0 - b) ** 2 * mine + b * b * np.maximum(variance.sum() - mine, 0.0))

    def act(
        self, action: Action, steps: list[int] | None = None, noticed: list[tuple[str, int]] | None = None
    ) -> Performed:
        """Do an action to all vehicles; steps: display steps that were read of it, from which to learn; noticed: label
        and step of what was noticed after it. Vehicles that fail meanwhile have no weight any more.
        """
        done = self.workshop.perform(action)
        self._leave_out_failed()
        self.past.append((action, list(steps or []), list(noticed or [])))
        learnt: list[tuple[str, Instrument, np.ndarray, int]] = [
            (spec.instrument, INSTRUMENTS[spec.instrument], true, step)
            for (spec, true, _), step in zip(done.readings, steps or (), strict=bool(steps))
        ]
        for label, step in noticed or ():
            if label in SENSES:  # not of another version
                sense = SENSES[label]
                name = sense.counts_by
                learnt.append((name, INSTRUMENTS[name], sense.quantity(self.workshop.fleet), step))
        if learnt and not done.failed.all():
            self._learn(learnt)
        return done

    def known(self, name: str) -> OffsetEstimate | None:
        """What is known of the offset of an instrument, None for one that has none."""
        place = OFFSETS.get(name)
        return None if place is None else OffsetEstimate(self.offsets[:, place, 0], self.offsets[:, place, 1])

    def _learn(self, learnt: list[tuple[str, Instrument, np.ndarray, int]]) -> None:
        """Weigh the vehicles by what was read or noticed: the instrument's name, itself, true quantities (n,), step."""
        w = np.exp(self.log_weight - self.log_weight.max())
        total = np.bincount(self.label, w, minlength=len(self.drawn))
        self.last, self.foreseen = np.zeros(len(w)), np.zeros(len(self.drawn))
        self.by_reading = []
        for name, instrument, true, step in learnt:
            known = self.known(name)
            could = instrument.predictive_likelihood(step, true, w, self.label, total, known)
            self.foreseen = self.foreseen + np.log(np.maximum(could, 1e-300))
            if known is None:
                chance = instrument.likelihood(step, true)
            else:
                chance, after = instrument.update_offset(step, true, known)
                self.offsets = self.offsets.copy()
                self.offsets[:, OFFSETS[name]] = np.column_stack([after.mean, after.variance])
            self.by_reading.append(np.log(chance))
            self.last = self.last + self.by_reading[-1]
        self.log_weight = self.log_weight + self.last
        self.log_like = self.log_like + self.last

    def fresh(self, places: dict[int, np.ndarray]) -> Hypotheses:
        """Other vehicles, at given quantiles of causes, brought to the same moment; those that fail are there still."""
        more = Hypotheses.at(self.catalogue, self.job, self.faults, places, self.seed, self.scale, self.pairs)
        for action, steps, noticed in self.past:
            more.act(action, steps, noticed)
        return more


def log_sum(logs: np.ndarray) -> float:
    """Logarithm of the sum of numbers given by their logarithms (n,), -inf for none.

    >>> bool(np.isclose(log_sum(np.log(np.array([0.25, 0.5]))), np.log(0.75)))
    True
    """
    most = float(logs.max(initial=-np.inf))
    return most if most == -np.inf else most + float(np.log(np.exp(logs - most).sum()))


def entropy(p: np.ndarray) -> np.ndarray:
    """Shannon entropy [bit] along the last axis of probabilities."""
    positive = np.where(p > 0.0, p, 1.0)
    return -np.sum(np.where(p > 0.0, p * np.log2(positive), 0.0), axis=-1)
