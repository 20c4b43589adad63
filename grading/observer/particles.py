"""The belief of an ideal observer: a particle filter whose particles are possible vehicles.

Each fault that the job's vehicle can have is represented by many particles with their own severities and tolerances.
The person's actions are applied to all of them, and each reading multiplies a particle's weight by its likelihood.
Readings of one vehicle share its hidden parameters, so whole vehicles are weighted and not single checks.
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
"""Particles of each fault at first."""
TOLERANCE_FACTOR = 2000.0
"""Relaxed: temperatures are accurate to a tenth of a kelvin, far below the noise of instruments."""
PER_PARTICLE = ("label", "quantiles", "log_like", "last_log_like", "log_weight", "offsets")
_NO_OFFSET_READ = np.array([[0.0, INSTRUMENTS[name].offset ** 2] for name in OFFSETS])
PER_CAUSE = ("drawn", "log_predictive", "evidence_variance", "rejuvenated")


@lru_cache(maxsize=64)
def draw_quantile_sets(seed: str, count: int, first: int = 0) -> np.ndarray:
    """Quantiles of tolerances, severity and variant of particles first .. first + count - 1, (count, parameters + 2).

    All jobs use the same ones, so they are cached and read-only.
    """
    severity = draw_quantiles(seed, "severity", first, count)
    variant = draw_quantiles(seed, "luck", first, count)
    places = np.column_stack([draw_all_quantiles(seed, count, first), severity, variant])
    places.flags.writeable = False
    return places


def _severity_and_variant(quantiles: np.ndarray) -> list[tuple[np.ndarray, np.ndarray]]:
    """Quantiles of severity and variant of the first and of the second fault of particles (n, parameters + 2); the
    second's are as evenly distributed as the first's and nearly independent of them.
    """
    severity, variant = quantiles[:, -2], quantiles[:, -1]
    return [(severity, variant), ((17.0 * severity + 5.0 * variant) % 1.0, (3.0 * severity + 29.0 * variant) % 1.0)]


@dataclass
class Particles:
    """Particles (n) and their weights.

    catalogue, job: source of the vehicles; faults: those that the vehicle can have; pairs: considered pairs of faults,
    as indices; a cause is a fault or, numbered after all faults, a pair; workshop: the vehicles of the particles;
    label (n,): index of each particle's cause on arrival, rising; quantiles (n, parameters + 2): of tolerances,
    severity and variant; log_like (n,): log likelihood of all readings, last_log_like (n,): of the last readings;
    log_weight (n,): log of prior weight times likelihood; offsets (n, instruments, 2): posterior mean and variance of
    the offset of each instrument in OFFSETS; drawn (causes,): particles drawn for each cause, removed ones included, as
    evidence is the mean over all of them; history: actions done, display steps read and perceptions, to replay new
    particles; log_predictive (causes,): log likelihood of the last readings under a normal fit to each cause's
    particles; evidence_variance (causes,): relative variance of the evidence that the weights no longer show;
    rejuvenated (causes,): whether particles were moved by tempering; log_like_by_reading: log likelihood of each of the
    last readings, each (n,); pruned_mass: sum of the belief removed so far; vehicles_failed: particles removed because
    their equations could not be solved; seed: of the particles; scale: factor on the usual number of particles.
    """

    catalogue: Catalogue
    job: Job
    faults: list[Fault]
    workshop: Workshop
    label: np.ndarray
    quantiles: np.ndarray
    log_like: np.ndarray
    last_log_like: np.ndarray
    log_weight: np.ndarray
    offsets: np.ndarray
    drawn: np.ndarray
    log_predictive: np.ndarray
    evidence_variance: np.ndarray
    rejuvenated: np.ndarray
    history: list[tuple[Action, list[int], list[tuple[str, int]]]] = field(default_factory=list)
    pruned_mass: float = 0.0
    vehicles_failed: int = 0
    pairs: list[tuple[int, int]] = field(default_factory=list)
    log_like_by_reading: list[np.ndarray] = field(default_factory=list)
    seed: str = "imagined"
    scale: int = 1

    @classmethod
    def sample_prior(cls, catalogue: Catalogue, job: Job, seed: str = "imagined", scale: int = 1) -> Particles:
        """The prior: particles of every fault the vehicle can have, weighted by fault rate and complaint.

        seed: of the particles; the job's own vehicle uses other seeds. scale: factor on the usual number. Raises
        PhysicsFailed if the equations of none of them can be solved.
        """
        faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
        quantiles = draw_quantile_sets(seed, PER_FAULT * scale)
        places = dict.fromkeys(range(len(faults)), quantiles)
        return cls.at(catalogue, job, faults, places, seed=seed, scale=scale).without_failed()

    @classmethod
    def at(
        cls,
        catalogue: Catalogue,
        job: Job,
        faults: list[Fault],
        places: dict[int, np.ndarray],
        *,
        seed: str = "imagined",
        scale: int = 1,
        pairs: list[tuple[int, int]] | None = None,
    ) -> Particles:
        """Particles at given quantiles by index of cause (rising), as they arrive: with ``days`` in the job, a leak has
        lost what it loses in those days.
        """
        pairs = list(pairs or ())
        causes = [(k,) for k in range(len(faults))] + pairs
        vehicle = catalogue.vehicles[job.vehicle]
        parts, goods = [], []
        known: dict[int, np.ndarray] = {}  # common random numbers: every fault uses the same tolerances
        for k, quantiles in places.items():
            if id(quantiles) not in known:
                known[id(quantiles)] = vary(vehicle.parameters, quantiles[:, :-2])
            good = known[id(quantiles)]
            mine = copy_records(good)
            for one, (severity, variant) in zip(causes[k], _severity_and_variant(quantiles), strict=False):
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
        prior_particles = cls(
            catalogue,
            job,
            faults,
            workshop,
            label,
            np.concatenate(list(places.values())),
            np.zeros(n),
            np.zeros(n),
            at_first[label],
            np.tile(_NO_OFFSET_READ, (n, 1, 1)),
            counts.astype(float),
            np.zeros(m),
            np.zeros(m),
            np.zeros(m, bool),
            seed=seed,
            scale=scale,
            pairs=pairs,
        )
        prior_particles._zero_failed()
        return prior_particles

    def copy(self, keep: np.ndarray | None = None) -> Particles:
        """An independent copy of all particles or of those at an index.

        Per-particle arrays are always replaced and never changed in place, so that copies share them.
        """
        return replace(
            self,
            workshop=self.workshop.copy(keep),
            **({} if keep is None else {name: getattr(self, name)[keep] for name in PER_PARTICLE}),
            **{name: getattr(self, name).copy() for name in PER_CAUSE},
            history=list(self.history),
            pairs=list(self.pairs),
            log_like_by_reading=[],
        )

    def joined(self, other: Particles) -> Particles:
        """The particles of both, which must be at the same time; arrays per cause are taken from this one."""
        if abs(self.workshop.minute - other.workshop.minute) > 1e-6:
            raise RuntimeError("particles are not at the same time")
        order = np.argsort(np.concatenate([self.label, other.label]), kind="stable")
        return replace(
            self,
            workshop=self.workshop.joined(other.workshop, order),
            **{name: np.concatenate([getattr(self, name), getattr(other, name)])[order] for name in PER_PARTICLE},
            **{name: getattr(self, name).copy() for name in PER_CAUSE},
            history=list(self.history),
            vehicles_failed=self.vehicles_failed + other.vehicles_failed,
        )

    def _zero_failed(self) -> None:
        """Set the weight of failed particles to zero and scale up the others of their cause, so that its belief does
        not change. The mass of a cause without particles is added to pruned_mass.
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
                self.pruned_mass += float(np.exp(log_sum(whole[mine]) - log_sum(whole)))
        self.log_weight = log_weight
        self.log_like = np.where(failed, -np.inf, self.log_like)
        self.vehicles_failed += int(failed.sum())

    def without_failed(self) -> Particles:
        """The same belief without failed particles, which have no weight. Raises PhysicsFailed if none is left."""
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
        log = self.log_weight - self.last_log_like - np.log(self.drawn)[self.label]
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
        """Whether each particle (n,) has one of some faults (indices), alone or with another."""
        causes = [(k,) for k in range(len(self.faults))] + self.pairs
        wanted = set(faults)
        return np.array([bool(wanted & set(cause)) for cause in causes])[self.label]

    def effective_sizes(self) -> np.ndarray:
        """Effective sample size of each cause, (sum w)^2 / sum w^2, shape (causes,)."""
        w = self.weights()
        total = np.bincount(self.label, w, minlength=len(self.drawn))
        squares = np.bincount(self.label, w * w, minlength=len(self.drawn))
        return np.where(squares > 0.0, total * total / np.where(squares > 0.0, squares, 1.0), 0.0)

    def _variance(self) -> np.ndarray:
        """Variance of each cause's unnormalised probability (causes,)."""
        w, b = self.weights(), self.by_cause()
        mean = b / self.drawn
        squares = np.bincount(self.label, w * w, minlength=len(self.drawn))
        return np.maximum(squares - self.drawn * mean * mean, 0.0) + b * b * self.evidence_variance

    def error_by_cause(self) -> np.ndarray:
        """Standard error of the probability of each cause (causes,), from the variance of its weights."""
        b, variance = self.by_cause(), self._variance()
        return np.sqrt((1.0 - b) ** 2 * variance + b * b * np.maximum(variance.sum() - variance, 0.0))

    def error(self) -> np.ndarray:
        """Standard error of the belief in each fault (faults,), from the variance of its weights."""
        b, variance = self.belief(), self._variance()
        mine = self._of_faults(variance)
        return np.sqrt((1.0 - b) ** 2 * mine + b * b * np.maximum(variance.sum() - mine, 0.0))

    def act(
        self, action: Action, steps: list[int] | None = None, noticed: list[tuple[str, int]] | None = None
    ) -> Performed:
        """Apply an action to all particles and update their weights.

        steps: display steps of its readings; noticed: label and step of each perception after it. Particles that fail
        lose their weight.
        """
        done = self.workshop.perform(action)
        self._zero_failed()
        self.history.append((action, list(steps or []), list(noticed or [])))
        learnt: list[tuple[str, Instrument, np.ndarray, int]] = [
            (spec.instrument, INSTRUMENTS[spec.instrument], true, step)
            for (spec, true, _), step in zip(done.readings, steps or (), strict=bool(steps))
        ]
        for label, step in noticed or ():
            if label in SENSES:  # else a perception of another version
                sense = SENSES[label]
                name = sense.likelihood_instrument
                learnt.append((name, INSTRUMENTS[name], sense.quantity(self.workshop.fleet), step))
        if learnt and not done.failed.all():
            self._learn(learnt)
        return done

    def offset_estimate(self, name: str) -> OffsetEstimate | None:
        """Posterior of the offset of an instrument, None for an instrument without one."""
        place = OFFSETS.get(name)
        return None if place is None else OffsetEstimate(self.offsets[:, place, 0], self.offsets[:, place, 1])

    def _learn(self, learnt: list[tuple[str, Instrument, np.ndarray, int]]) -> None:
        """Update weights and offsets by readings and perceptions: instrument's name, instrument, true values (n,),
        step.
        """
        w = np.exp(self.log_weight - self.log_weight.max())
        total = np.bincount(self.label, w, minlength=len(self.drawn))
        self.last_log_like, self.log_predictive = np.zeros(len(w)), np.zeros(len(self.drawn))
        self.log_like_by_reading = []
        for name, instrument, true, step in learnt:
            known = self.offset_estimate(name)
            could = instrument.predictive_likelihood(step, true, w, self.label, total, known)
            self.log_predictive = self.log_predictive + np.log(np.maximum(could, 1e-300))
            if known is None:
                chance = instrument.likelihood(step, true)
            else:
                chance, after = instrument.update_offset(step, true, known)
                self.offsets = self.offsets.copy()
                self.offsets[:, OFFSETS[name]] = np.column_stack([after.mean, after.variance])
            self.log_like_by_reading.append(np.log(chance))
            self.last_log_like = self.last_log_like + self.log_like_by_reading[-1]
        self.log_weight = self.log_weight + self.last_log_like
        self.log_like = self.log_like + self.last_log_like

    def new_particles(self, places: dict[int, np.ndarray]) -> Particles:
        """New particles at given quantiles by cause, replayed to the present; failed ones are included."""
        more = Particles.at(
            self.catalogue, self.job, self.faults, places, seed=self.seed, scale=self.scale, pairs=self.pairs
        )
        for action, steps, noticed in self.history:
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
