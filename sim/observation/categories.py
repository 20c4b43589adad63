"""Instruments that tell kinds apart, which have no order and nothing between them, or a figure from none at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from sim.observation.likelihood import LAPSE, Display, Instrument, OffsetEstimate

_NORMAL = NormalDist()


@dataclass(frozen=True)
class Categories(Instrument):
    """A distinction between kinds, true quantity 0, 1, 2 ...: mistaken for another with chance spread.

    confusable: for each kind those it may be taken for, none where the sign is too clear for that; not given, any may be
    taken for any other.
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

    def read_all(self, true: np.ndarray, deviates: np.ndarray, known: OffsetEstimate | None = None) -> np.ndarray:
        pairs = zip(true.tolist(), deviates.tolist(), strict=True)
        return np.array([self.read(each, _NORMAL.cdf(deviate)) for each, deviate in pairs])

    def likelihoods(
        self,
        steps: Sequence[int],
        true: np.ndarray,
        bandwidth: np.ndarray | None = None,
        known: OffsetEstimate | None = None,
    ) -> np.ndarray:
        count = len(self.words)
        chances = np.full((count, count), LAPSE)  # of each step (columns) of each kind (rows)
        for kind in range(count):
            others = self._confusable_with(kind)
            for other in others:
                chances[kind, other] = self.spread / len(others)
            chances[kind, kind] = 1.0 - (chances[kind].sum() - LAPSE)
        return chances[np.clip(np.rint(true).astype(int), 0, count - 1)][:, list(steps)].T

    def bandwidth(
        self, true: np.ndarray, w: np.ndarray, label: np.ndarray, groups: int, known: OffsetEstimate | None = None
    ) -> np.ndarray | None:
        """Kinds have no scale on which to be smeared."""
        return None

    def predictive_likelihood(
        self,
        step: int,
        true: np.ndarray,
        w: np.ndarray,
        label: np.ndarray,
        total: np.ndarray,
        known: OffsetEstimate | None = None,
    ) -> np.ndarray:
        """Kinds do not spread: the chance is the vehicles' own."""
        chance = np.bincount(label, w * self.likelihood(step, true), minlength=len(total))
        return np.where(total > 0.0, chance / np.where(total > 0.0, total, 1.0), 1.0)

    def show(self, step: int) -> str:
        return self.words[step]


@dataclass(frozen=True)
class FigureOrNone(Display):
    """A display of a figure that is not there in every vehicle, which then shows ``over``.

    Vehicles with and without the figure lie on no one scale, so that neither stands for the other.
    """

    def bandwidth(
        self, true: np.ndarray, w: np.ndarray, label: np.ndarray, groups: int, known: OffsetEstimate | None = None
    ) -> np.ndarray | None:
        """Not smeared: ``spread`` holds how far other vehicles' figures may lie."""
        return None

    def predictive_likelihood(
        self,
        step: int,
        true: np.ndarray,
        w: np.ndarray,
        label: np.ndarray,
        total: np.ndarray,
        known: OffsetEstimate | None = None,
    ) -> np.ndarray:
        """The chance is the vehicles' own."""
        chance = np.bincount(label, w * self.likelihoods([step], true, None, known)[0], minlength=len(total))
        return np.where(total > 0.0, chance / np.where(total > 0.0, total, 1.0), 1.0)
