"""A toy model for the observer: a normal quantity read twice, with evidence and posterior in closed form."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any, cast

import numpy as np

from grading.observer.particles import Particles
from sim.vehicle.tolerances import normal_deviates


class StandingStill:
    """Stands in for the workshop: time does not pass."""

    minute = 0.0
    fleet = SimpleNamespace(failed=np.zeros(1, bool))

    def copy(self, keep: np.ndarray | None = None) -> StandingStill:
        """The same."""
        return self

    def joined(self, other: StandingStill, order: np.ndarray) -> StandingStill:
        """The same."""
        return self


@dataclass
class Toy(Particles):
    """Hypotheses in which a vehicle is one number x, read twice with normal noise.

    x is the mean of its fault plus the normal deviate of its first quantile. means, chances (faults,): mean of x and
    prior of each fault; read, noise: values and standard deviations of the earlier and of the last reading.
    """

    means: tuple[float, ...] = ()
    chances: tuple[float, ...] = ()
    read: tuple[float, float] = (0.0, 0.0)
    noise: tuple[float, float] = (1.0, 1.0)

    def new_particles(self, places: dict[int, np.ndarray]) -> Toy:
        """Particles at given quantiles; surplus columns are ignored."""
        places = {fault: quantiles[:, : self.quantiles.shape[1]] for fault, quantiles in places.items()}
        more = toy(self.means, self.chances, places, self.read, self.noise, seed=self.seed, scale=self.scale)
        more.history = list(self.history)
        return more

    def x(self) -> np.ndarray:
        """Numbers x of the particles (n,)."""
        return x_of(self.means, self.label, self.quantiles)

    def evidence(self, fault: int) -> float:
        """Joint density of both readings given the fault: normal, variances 1 + noise^2, covariance 1."""
        (a, b), mean = self.noise, self.means[fault]
        covariance = np.array([[1.0 + a * a, 1.0], [1.0, 1.0 + b * b]])
        gap = np.array(self.read) - mean
        return float(
            np.exp(-0.5 * gap @ np.linalg.solve(covariance, gap)) / (2.0 * np.pi) / np.sqrt(np.linalg.det(covariance))
        )

    def posterior(self, fault: int, power: float = 1.0) -> tuple[float, float]:
        """Mean and standard deviation of x given the earlier reading and the last likelihood to a power (textbook)."""
        weights = np.array([1.0, self.noise[0] ** -2, power * self.noise[1] ** -2])
        return float(weights @ [self.means[fault], *self.read] / weights.sum()), float(weights.sum() ** -0.5)


def x_of(means: tuple[float, ...], label: np.ndarray, quantiles: np.ndarray) -> np.ndarray:
    """Numbers x of the particles (n,)."""
    return np.array(means)[label] + normal_deviates(quantiles[:, 0])


def _log_density(value: float, mean: np.ndarray, spread: float) -> np.ndarray:
    return -0.5 * ((value - mean) / spread) ** 2 - math.log(spread * math.sqrt(2.0 * math.pi))


def toy(
    means: tuple[float, ...],
    chances: tuple[float, ...],
    places: dict[int, np.ndarray],
    read: tuple[float, float] = (0.0, 0.0),
    noise: tuple[float, float] = (1.0, 1.0),
    **more: Any,
) -> Toy:
    """The toy hypotheses after both readings; places: quantiles (n, m) of each fault's particles."""
    count, nothing = len(means), cast(Any, None)
    label = np.repeat(np.arange(count), [len(places.get(k, ())) for k in range(count)])
    quantiles = np.concatenate([places[k] for k in sorted(places)])
    x = x_of(means, label, quantiles)
    earlier, last = (_log_density(value, x, spread) for value, spread in zip(read, noise, strict=True))
    return Toy(
        nothing,
        nothing,
        [nothing] * count,
        cast(Any, StandingStill()),
        label,
        quantiles,
        earlier + last,
        last,
        np.log(np.array(chances))[label] + earlier + last,
        np.zeros((len(label), 1, 2)),
        np.bincount(label, minlength=count).astype(float),
        np.zeros(count),
        np.zeros(count),
        np.zeros(count, bool),
        means=means,
        chances=chances,
        read=read,
        noise=noise,
        **more,
    )


def drawn(seed: int, count: int, width: int = 2) -> np.ndarray:
    """Uniform random quantiles (count, width)."""
    return np.random.Generator(np.random.Philox(key=seed)).random((count, width))
