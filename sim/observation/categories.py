"""Instruments for unordered categories, and for readings that may have no figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from sim.observation.likelihood import LAPSE, Display, Instrument, OffsetEstimate

_NORMAL = NormalDist()


@dataclass(frozen=True)
class Categories(Instrument):
    """An instrument for unordered categories, true quantity 0, 1, 2 ...; ``spread`` is the probability of a
    confusion.

    confusable: for each category those it may be mistaken for, none if it is unmistakable; empty: any other.
    """

    words: tuple[str, ...]
    confusable: tuple[tuple[int, ...], ...] = ()

    def _confusable_with(self, kind: int) -> tuple[int, ...]:
        return self.confusable[kind] if self.confusable else tuple(k for k in range(len(self.words)) if k != kind)

    def read(self, true: float, noise_quantile: float, offset_quantile: float | None = None) -> int:
        kind = round(true)
        others = self._confusable_with(kind)
        if noise_quantile >= self.spread or not others:
            return kind
        return others[min(int(noise_quantile / self.spread * len(others)), len(others) - 1)]

    def read_all(self, true: np.ndarray, deviates: np.ndarray, estimate: OffsetEstimate | None = None) -> np.ndarray:
        pairs = zip(true.tolist(), deviates.tolist(), strict=True)
        return np.array([self.read(each, _NORMAL.cdf(deviate)) for each, deviate in pairs])

    def likelihoods(
        self,
        steps: Sequence[int],
        true: np.ndarray,
        bandwidth: np.ndarray | None = None,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray:
        count = len(self.words)
        probabilities = np.full((count, count), LAPSE)  # of each step (column) for each category (row)
        for kind in range(count):
            others = self._confusable_with(kind)
            for other in others:
                probabilities[kind, other] = self.spread / len(others)
            probabilities[kind, kind] = 1.0 - (probabilities[kind].sum() - LAPSE)
        return probabilities[np.clip(np.rint(true).astype(int), 0, count - 1)][:, list(steps)].T

    def bandwidth(
        self,
        true: np.ndarray,
        weights: np.ndarray,
        group: np.ndarray,
        groups: int,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray | None:
        """None: categories have no scale."""
        return None

    def predictive_likelihood(
        self,
        step: int,
        true: np.ndarray,
        weights: np.ndarray,
        group: np.ndarray,
        group_weight: np.ndarray,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray:
        """Weighted mean of the vehicles' likelihoods: categories are not smoothed."""
        probability = np.bincount(group, weights * self.likelihood(step, true), minlength=len(group_weight))
        return np.where(group_weight > 0.0, probability / np.where(group_weight > 0.0, group_weight, 1.0), 1.0)

    def show(self, step: int) -> str:
        return self.words[step]


@dataclass(frozen=True)
class FigureOrNone(Display):
    """A display of a figure that not every vehicle has; shows ``over`` where there is none.

    Vehicles with and without the figure do not lie on one scale, so neither is smoothed towards the other.
    """

    def bandwidth(
        self,
        true: np.ndarray,
        weights: np.ndarray,
        group: np.ndarray,
        groups: int,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray | None:
        """None: ``spread`` already covers the scatter of other vehicles' figures."""
        return None

    def predictive_likelihood(
        self,
        step: int,
        true: np.ndarray,
        weights: np.ndarray,
        group: np.ndarray,
        group_weight: np.ndarray,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray:
        """Weighted mean of the vehicles' likelihoods."""
        probability = np.bincount(
            group, weights * self.likelihoods([step], true, None, estimate)[0], minlength=len(group_weight)
        )
        return np.where(group_weight > 0.0, probability / np.where(group_weight > 0.0, group_weight, 1.0), 1.0)
