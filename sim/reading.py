"""How instruments read: one law each, used in two directions.

Forwards it turns a true quantity into what is read; backwards it tells how likely a given reading is under each
vehicle's true quantity. A reading is a whole number, the *step* on the display or the index of a word, so that a record
can be compared exactly. ``spread`` holds the instrument's noise and the floor for technician and model together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from sim.compile import jit

LAPSE = 1e-4
"""Chance of a reading that the law cannot explain: a slip of the hand, a wrong note. It keeps belief from certainty."""

_NORMAL = NormalDist()


@jit
def _between(low: float, high: float, x: np.ndarray, spread: np.ndarray, out: np.ndarray) -> None:
    """Chance that x + noise lies between low and high, for normal noise of that spread, into out. Source: textbook."""
    for i in range(len(x)):
        scale = 1.0 / (spread[i] * math.sqrt(2.0))
        a, b = (low - x[i]) * scale, (high - x[i]) * scale
        # the tail that does not cancel
        if a > 0.0:
            out[i] = 0.5 * (math.erfc(a) - math.erfc(b))
        else:
            out[i] = 0.5 * (math.erfc(-b) - math.erfc(-a))


@jit
def _smear(seen: np.ndarray, w: np.ndarray, label: np.ndarray, groups: int) -> np.ndarray:
    """Spread (n,) to smear each vehicle with, from that of its group, as ``Instrument.blur`` says. Source: there."""
    count, total, mean, square = np.zeros(groups), np.zeros(groups), np.zeros(groups), np.zeros(groups)
    for i in range(len(seen)):
        k = label[i]
        count[k] += 1.0
        total[k] += w[i]
        mean[k] += w[i] * seen[i]
    for k in range(groups):
        if total[k] > 0.0:
            mean[k] /= total[k]
    for i in range(len(seen)):
        k = label[i]
        square[k] += w[i] * (seen[i] - mean[k]) ** 2
    variance, some = np.zeros(groups), 0
    for k in range(groups):
        if count[k] > 1.0 and total[k] > 0.0:
            square[k] = square[k] / total[k] * count[k] / (count[k] - 1.0)
            variance[some] = square[k]
            some += 1
    usual = np.median(variance[:some]) if some else 0.0
    for k in range(groups):
        if count[k] > 0.0:
            square[k] = math.sqrt((count[k] * square[k] + 2.0 * usual) / (count[k] + 2.0)) * count[k] ** -0.2
    out = np.empty(len(seen))
    for i in range(len(seen)):
        out[i] = square[label[i]]
    return out


def identity(x: np.ndarray) -> np.ndarray:
    """What responds to the true quantity itself."""
    return x


@dataclass(frozen=True)
class Instrument:
    """What the two directions share.

    name: for people; unit: of the display, empty for words; spread: standard deviation of noise and floor, in units of
    what ``sees`` returns; sees: from the true quantity to what the instrument responds to (infrared, hand).
    """

    name: str
    unit: str
    spread: float
    sees: Callable[[np.ndarray], np.ndarray]

    def edges(self, step: int) -> tuple[float, float]:
        """The span of what is seen that gives this step."""
        raise NotImplementedError

    def step(self, seen: float) -> int:
        """The step that a seen value falls in."""
        raise NotImplementedError

    def show(self, step: int) -> str:
        """The reading in words or figures."""
        raise NotImplementedError

    def read(self, true: float, chance: float) -> int:
        """Step read from a true quantity; chance: a number of 0 to 1 that is the noise's quantile."""
        seen = float(self.sees(np.array([true]))[0])
        return self.step(seen + self.spread * _NORMAL.inv_cdf(min(max(chance, 1e-9), 1.0 - 1e-9)))

    def read_all(self, true: np.ndarray, deviates: np.ndarray) -> np.ndarray:
        """``read`` of many at once, int (m,): true quantities (m,), noise as standard normal deviates (m,)."""
        seen = self.sees(np.asarray(true, dtype=np.float64)) + self.spread * deviates
        return np.array([self.step(each) for each in seen.tolist()])

    def likelihood(self, step: int, true: np.ndarray, blur: np.ndarray | None = None) -> np.ndarray:
        """Chance of this step under each true quantity, shape (n,), never below LAPSE.

        blur (n,): spread of what is seen that comes to the instrument's own, none if not given.
        """
        return self.likelihoods([step], true, blur)[0]

    def likelihoods(self, steps: Sequence[int], true: np.ndarray, blur: np.ndarray | None = None) -> np.ndarray:
        """Chances of several steps, (steps, n), as ``likelihood``."""
        seen = np.ascontiguousarray(self.sees(np.asarray(true, dtype=np.float64)))
        spread = np.full(len(seen), self.spread) if blur is None else np.sqrt(self.spread**2 + blur**2)
        out = np.empty((len(steps), len(seen)))
        for row, step in zip(out, steps, strict=True):
            low, high = self.edges(step)
            _between(low, high, seen, spread, row)
        return LAPSE + (1.0 - LAPSE) * out

    def blur(self, true: np.ndarray, w: np.ndarray, label: np.ndarray, groups: int) -> np.ndarray | None:
        """How far each vehicle of a group, which stands for many, is to be smeared, (n,); None for what has no scale.

        true, w, label (n,): true quantities, weights, group. Silverman's rule for a normal law in one dimension, each
        group's spread drawn a little to that of the others, for few vehicles tell it badly. Without this, chance
        differences of the few would look like knowledge.
        """
        return _smear(np.ascontiguousarray(self.sees(np.asarray(true, dtype=np.float64))), w, label, groups)

    def foresee(self, step: int, true: np.ndarray, w: np.ndarray, label: np.ndarray, total: np.ndarray) -> np.ndarray:
        """Chance of this step in each group of vehicles if what is seen of them spread as a normal law, (groups,).

        true, w, label (n,): true quantities, weights, group; total (groups,): summed weights. Where few vehicles stand
        for a group, this tells what more of them might show.
        """
        seen = self.sees(np.asarray(true, dtype=np.float64))
        whole = np.where(total > 0.0, total, 1.0)
        mean = np.bincount(label, w * seen, minlength=len(total)) / whole
        variance = np.bincount(label, w * (seen - mean[label]) ** 2, minlength=len(total)) / whole
        low, high = self.edges(step)
        out = np.empty(len(total))
        _between(low, high, mean, np.sqrt(variance + self.spread**2), out)
        return LAPSE + (1.0 - LAPSE) * out


@dataclass(frozen=True)
class Display(Instrument):
    """A display of figures: steps of a fixed resolution within a range [unit]."""

    resolution: float
    low: float
    high: float
    decimals: int = 0

    def edges(self, step: int) -> tuple[float, float]:
        least, most = self._bounds()
        below = -math.inf if step <= least else (step - 0.5) * self.resolution
        above = math.inf if step >= most else (step + 0.5) * self.resolution
        return below, above

    def _bounds(self) -> tuple[int, int]:
        return round(self.low / self.resolution), round(self.high / self.resolution)

    def step(self, seen: float) -> int:
        least, most = self._bounds()
        return min(max(math.floor(seen / self.resolution + 0.5), least), most)

    def value(self, step: int) -> float:
        """The figure displayed [unit]."""
        return step * self.resolution

    def show(self, step: int) -> str:
        return f"{self.value(step):.{self.decimals}f} {self.unit}"


_KNEE = 2.0  # ohm above which an ohmmeter is as exact as its leads and the part's own temperature, by ratio


def by_ratio(x: np.ndarray) -> np.ndarray:
    """What is told by ratio [-] of a resistance [ohm]."""
    return np.arcsinh(x / _KNEE)


@dataclass(frozen=True)
class RatioDisplay(Display):
    """A display whose spread is a share of what it shows, and fixed near nothing: ``spread`` is that share."""

    def edges(self, step: int) -> tuple[float, float]:
        below, above = super().edges(step)
        return math.asinh(below / _KNEE), math.asinh(above / _KNEE)

    def step(self, seen: float) -> int:
        return super().step(_KNEE * math.sinh(seen))


@dataclass(frozen=True)
class Words(Instrument):
    """A judgement in words: word i between the bounds i - 1 and i of what is seen."""

    words: tuple[str, ...]
    bounds: tuple[float, ...]

    def edges(self, step: int) -> tuple[float, float]:
        below = -math.inf if step == 0 else self.bounds[step - 1]
        above = math.inf if step == len(self.bounds) else self.bounds[step]
        return below, above

    def step(self, seen: float) -> int:
        return sum(1 for bound in self.bounds if seen >= bound)

    def show(self, step: int) -> str:
        return self.words[step]


@dataclass(frozen=True)
class Kind(Instrument):
    """A distinction between kinds, true quantity 0, 1, 2 ...: mistaken for another with chance spread."""

    words: tuple[str, ...]

    def read(self, true: float, chance: float) -> int:
        kind, others = round(true), len(self.words) - 1
        if chance >= self.spread:
            return kind
        other = min(int(chance / self.spread * others), others - 1)
        return other if other < kind else other + 1

    def read_all(self, true: np.ndarray, deviates: np.ndarray) -> np.ndarray:
        pairs = zip(true.tolist(), deviates.tolist(), strict=True)
        return np.array([self.read(each, _NORMAL.cdf(deviate)) for each, deviate in pairs])

    def likelihoods(self, steps: Sequence[int], true: np.ndarray, blur: np.ndarray | None = None) -> np.ndarray:
        wrong = self.spread / (len(self.words) - 1)
        return np.where(np.rint(true) == np.asarray(steps)[:, None], 1.0 - self.spread, wrong)

    def blur(self, true: np.ndarray, w: np.ndarray, label: np.ndarray, groups: int) -> np.ndarray | None:
        """Kinds have no scale on which to be smeared."""
        return None

    def foresee(self, step: int, true: np.ndarray, w: np.ndarray, label: np.ndarray, total: np.ndarray) -> np.ndarray:
        """Kinds do not spread: the chance is the vehicles' own."""
        chance = np.bincount(label, w * self.likelihood(step, true), minlength=len(total))
        return np.where(total > 0.0, chance / np.where(total > 0.0, total, 1.0), 1.0)

    def show(self, step: int) -> str:
        return self.words[step]
