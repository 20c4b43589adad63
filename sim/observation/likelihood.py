"""Instrument models: one observation law per instrument, used in both directions.

Forwards it turns a true quantity into a reading; backwards it gives the likelihood of a reading for each vehicle's true
quantity. The response function turns the true quantity into the signal; noise and offset are added, and the result is
quantised. A reading is an integer, the display *step* or the index of a word, so records compare exactly. ``spread``
covers the instrument's noise, and the error floor for technician and model.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np

from sim.compile import jit, jit_making_arrays

LAPSE = 1e-4
"""Lapse rate: probability of a reading that the model cannot explain, such as a wrong note. Keeps posteriors from 0 and
1."""

FAR = 10.0
"""Standard deviations beyond which a tail probability is negligible beside the rounding of LAPSE."""
_NORMAL = NormalDist()
_PER_ROOT_2 = 1.0 / math.sqrt(2.0)


@jit
def _interval_probability(a: float, b: float) -> float:
    """Probability that a standard normal deviate lies between a and b, from the nearer tail to avoid cancellation.
    Source: textbook.
    """
    if a > FAR or b < -FAR:
        return 0.0
    if a > 0.0:
        return 0.5 * (math.erfc(a * _PER_ROOT_2) - math.erfc(b * _PER_ROOT_2))
    return 0.5 * (math.erfc(-b * _PER_ROOT_2) - math.erfc(-a * _PER_ROOT_2))


@jit_making_arrays
def _interval_probabilities(low: np.ndarray, high: np.ndarray, x: np.ndarray, spread: np.ndarray) -> np.ndarray:
    """Probabilities (m, n) that x (n,) + noise lies between low and high (m,), for normal noise of spread (n,).

    Source: textbook.
    """
    out = np.empty((len(low), len(x)))
    for k in range(len(low)):
        for i in range(len(x)):
            out[k, i] = _interval_probability((low[k] - x[i]) / spread[i], (high[k] - x[i]) / spread[i])
    return out


@jit_making_arrays
def _kernel_bandwidths(signal: np.ndarray, weights: np.ndarray, group: np.ndarray, groups: int) -> np.ndarray:
    """Kernel bandwidth (n,) of each vehicle from the spread of its group, as described at ``Instrument.bandwidth``."""
    count, total, mean, square = np.zeros(groups), np.zeros(groups), np.zeros(groups), np.zeros(groups)
    for i in range(len(signal)):
        k = group[i]
        count[k] += 1.0
        total[k] += weights[i]
        mean[k] += weights[i] * signal[i]
    for k in range(groups):
        if total[k] > 0.0:
            mean[k] /= total[k]
    for i in range(len(signal)):
        k = group[i]
        square[k] += weights[i] * (signal[i] - mean[k]) ** 2
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
    out = np.empty(len(signal))
    for i in range(len(signal)):
        out[i] = square[group[i]]
    return out


@jit
def _update_offset(
    low: float,
    high: float,
    signal: np.ndarray,
    mean: np.ndarray,
    variance: np.ndarray,
    noise: float,
    probability: np.ndarray,
    new_mean: np.ndarray,
    new_variance: np.ndarray,
) -> None:
    """Probability that signal + offset + noise lies between low and high, and the posterior moments of the offset, each
    (n,).

    The prior of the offset is normal with this mean and variance, and its posterior is approximated as normal: the
    moments of a doubly truncated normal, propagated through the linear relation between offset and reading. A lapse
    carries no information on it. Writes probability, new_mean and new_variance. Source: textbook (truncated normal
    distribution; regression).
    """
    for i in range(len(signal)):
        total = math.sqrt(noise * noise + variance[i])
        a, b = (low - signal[i] - mean[i]) / total, (high - signal[i] - mean[i]) / total
        p = _interval_probability(a, b)
        probability[i] = LAPSE + (1.0 - LAPSE) * p
        new_mean[i], new_variance[i] = mean[i], variance[i]
        if p < LAPSE * 1e-3:
            continue
        at_a = math.exp(-0.5 * a * a) / math.sqrt(2.0 * math.pi)
        at_b = math.exp(-0.5 * b * b) / math.sqrt(2.0 * math.pi)
        shift = (at_a - at_b) / p
        left = 1.0 - shift * shift
        if at_a > 0.0:
            left += a * at_a / p
        if at_b > 0.0:
            left -= b * at_b / p
        share = variance[i] / total
        moved = share * shift
        narrowed = variance[i] - share * share * (1.0 - min(max(left, 0.0), 1.0))
        true = (1.0 - LAPSE) * p / probability[i]
        new_mean[i] = mean[i] + true * moved
        new_variance[i] = true * narrowed + (1.0 - true) * variance[i] + true * (1.0 - true) * moved * moved


@dataclass(frozen=True, slots=True)
class OffsetEstimate:
    """Posterior of an instrument's offset in each vehicle: mean and variance (n,), in units of the signal and their
    square.
    """

    mean: np.ndarray
    variance: np.ndarray


def identity(x: np.ndarray) -> np.ndarray:
    """Response of an instrument that measures the true quantity itself."""
    return x


@dataclass(frozen=True)
class Instrument:
    """Common part of all instruments.

    name: for people; unit: of the display, empty for words; response: from the true quantity to the signal (infrared,
    hand); spread: standard deviation of noise and error floor, in units of the signal; offset: the part of the spread
    that is the same in all readings of a job, also a standard deviation: a thermometer that reads high, a person with
    calloused hands.
    """

    name: str
    unit: str
    spread: float
    response: Callable[[np.ndarray], np.ndarray]
    offset: float = field(default=0.0, kw_only=True)

    @property
    def noise(self) -> float:
        """Standard deviation of the part that is independent between readings."""
        return math.sqrt(self.spread**2 - self.offset**2)

    def edges(self, step: int) -> tuple[float, float]:
        """Interval of the signal that gives this step."""
        raise NotImplementedError

    def steps(self, signal: np.ndarray) -> np.ndarray:
        """Steps, int (m,), of signals (m,)."""
        raise NotImplementedError

    def step(self, signal: float) -> int:
        """Step of a signal."""
        return int(self.steps(np.array([signal]))[0])

    def show(self, step: int) -> str:
        """The reading in words or figures."""
        raise NotImplementedError

    def read(self, true: float, noise_quantile: float, offset_quantile: float | None = None) -> int:
        """Step read for a true quantity, at quantiles 0..1 of the noise and of the offset.

        offset_quantile None: noise and offset together, for an instrument without an offset estimate.
        """
        signal = float(self.response(np.array([true]))[0])
        deviate = _NORMAL.inv_cdf(min(max(noise_quantile, 1e-9), 1.0 - 1e-9))
        if offset_quantile is None:
            return self.step(signal + self.spread * deviate)
        return self.step(
            signal + self.noise * deviate + self.offset * _NORMAL.inv_cdf(min(max(offset_quantile, 1e-9), 1.0 - 1e-9))
        )

    def read_all(self, true: np.ndarray, deviates: np.ndarray, estimate: OffsetEstimate | None = None) -> np.ndarray:
        """``read`` for many at once, int (m,): true quantities (m,), noise as standard normal deviates (m,)."""
        signal, spread = self._signal(true, estimate)
        return self.steps(signal + spread * deviates)

    def likelihood(self, step: int, true: np.ndarray, bandwidth: np.ndarray | None = None) -> np.ndarray:
        """Probability of this step for each true quantity, shape (n,), at least LAPSE.

        bandwidth (n,): kernel bandwidth added to the instrument's spread; None for 0.
        """
        return self.likelihoods([step], true, bandwidth)[0]

    def _signal(self, true: np.ndarray, estimate: OffsetEstimate | None) -> tuple[np.ndarray, np.ndarray]:
        """Signals of true quantities (n,), corrected by the offset estimate, and the remaining spread, both (n,)."""
        signal = np.ascontiguousarray(self.response(np.asarray(true, dtype=np.float64)))
        if estimate is None:
            return signal, np.full(len(signal), self.spread)
        return signal + estimate.mean, np.sqrt(self.noise**2 + estimate.variance)

    def likelihoods(
        self,
        steps: Sequence[int],
        true: np.ndarray,
        bandwidth: np.ndarray | None = None,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray:
        """Probabilities of several steps, (steps, n), as ``likelihood``; estimate: of the offset, None without
        readings.
        """
        signal, spread = self._signal(true, estimate)
        if bandwidth is not None:
            spread = np.sqrt(spread**2 + bandwidth**2)
        low, high = np.array([self.edges(step) for step in steps]).T.copy()
        return LAPSE + (1.0 - LAPSE) * _interval_probabilities(low, high, signal, spread)

    def update_offset(self, step: int, true: np.ndarray, estimate: OffsetEstimate) -> tuple[np.ndarray, OffsetEstimate]:
        """Probability of this step for each true quantity (n,), as ``likelihood``, and the posterior of the offset."""
        low, high = self.edges(step)
        signal = np.ascontiguousarray(self.response(np.asarray(true, dtype=np.float64)))
        probability, mean, variance = np.empty(len(signal)), np.empty(len(signal)), np.empty(len(signal))
        _update_offset(low, high, signal, estimate.mean, estimate.variance, self.noise, probability, mean, variance)
        return probability, OffsetEstimate(mean, variance)

    def bandwidth(
        self,
        true: np.ndarray,
        weights: np.ndarray,
        group: np.ndarray,
        groups: int,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray | None:
        """Kernel bandwidth of each vehicle, (n,), as each of a group stands for many; None for an instrument without a
        scale.

        true, weights, group (n,): true quantities, weights, index of the group; groups: their number. Silverman's rule
        for a normal distribution in one dimension, with each group's spread shrunk towards the others', as few vehicles
        estimate it badly. Without it, sampling differences between few vehicles would look like information.
        """
        return _kernel_bandwidths(self._signal(true, estimate)[0], weights, group, groups)

    def predictive_likelihood(
        self,
        step: int,
        true: np.ndarray,
        weights: np.ndarray,
        group: np.ndarray,
        group_weight: np.ndarray,
        estimate: OffsetEstimate | None = None,
    ) -> np.ndarray:
        """Predictive likelihood of this step in each group of vehicles, with a normal distribution of the signal,
        (groups,).

        true, weights, group (n,): true quantities, weights, index of the group; group_weight (groups,): summed weights.
        Where few vehicles represent a group, this estimates what more of them would show.
        """
        signal, spread = self._signal(true, estimate)
        whole = np.where(group_weight > 0.0, group_weight, 1.0)
        mean = np.bincount(group, weights * signal, minlength=len(group_weight)) / whole
        variance = (
            np.bincount(group, weights * ((signal - mean[group]) ** 2 + spread**2), minlength=len(group_weight)) / whole
        )
        low, high = np.array([self.edges(step)]).T.copy()
        return (
            LAPSE
            + (1.0 - LAPSE) * _interval_probabilities(low, high, mean, np.sqrt(np.maximum(variance, self.noise**2)))[0]
        )


@dataclass(frozen=True)
class Display(Instrument):
    """A numerical display: steps of a fixed resolution within a range [unit].

    over: shown instead of a figure at the upper end of the range and above, as meters do.
    """

    resolution: float
    low: float
    high: float
    decimals: int = 0
    over: str = ""

    def edges(self, step: int) -> tuple[float, float]:
        least, most = self._bounds()
        below = -math.inf if step <= least else (step - 0.5) * self.resolution
        above = math.inf if step >= most else (step + 0.5) * self.resolution
        return below, above

    def _bounds(self) -> tuple[int, int]:
        return round(self.low / self.resolution), round(self.high / self.resolution)

    def steps(self, signal: np.ndarray) -> np.ndarray:
        return np.clip(np.floor(signal / self.resolution + 0.5), *self._bounds()).astype(int)

    def value(self, step: int) -> float:
        """Displayed figure [unit]."""
        return step * self.resolution

    def show(self, step: int) -> str:
        if self.over and step >= self._bounds()[1]:
            return self.over
        return f"{self.value(step):.{self.decimals}f} {self.unit}"


_FIRST_RANGE, _NEXT_RANGES = 2000, 1800  # steps of the display
_KNEE = 2.0  # [ohm] above this the error is proportional: leads, and the temperature of the part


def asinh_response(x: np.ndarray) -> np.ndarray:
    """Response of an ohmmeter [-] to a resistance [ohm]: linear near 0, logarithmic above."""
    return np.arcsinh(x / _KNEE)


@dataclass(frozen=True)
class RatioDisplay(Display):
    """A display whose error is proportional to the reading, and constant near 0: ``spread`` is that ratio.

    It has one range per decade, as a multimeter does: 2000 steps of its resolution, then steps of ten times that up to
    ten times as much, and so on. Finer steps at large values would each be less likely than a lapse.
    """

    def value(self, step: int) -> float:
        """The figure displayed [unit]."""
        if step <= _FIRST_RANGE:
            return step * self.resolution
        decade, further = divmod(step - _FIRST_RANGE, _NEXT_RANGES)
        return (_FIRST_RANGE // 10 + further) * self.resolution * 10.0 ** (decade + 1)

    def _bounds(self) -> tuple[int, int]:
        least, most = self._steps_of(np.array([self.low, self.high]))
        return int(least), int(most)

    def _steps_of(self, values: np.ndarray) -> np.ndarray:
        whole = values / self.resolution
        decade = np.floor(np.log10(np.maximum(whole, _FIRST_RANGE) / _FIRST_RANGE + 1e-12))
        higher = _FIRST_RANGE + _NEXT_RANGES * decade
        higher += np.floor(whole / 10.0 ** (decade + 1.0) - _FIRST_RANGE // 10 + 0.5)
        return np.where(whole <= _FIRST_RANGE, np.floor(whole + 0.5), higher).astype(int)

    def edges(self, step: int) -> tuple[float, float]:
        least, most = self._bounds()
        here = self.value(step)
        below = -math.inf if step <= least else 0.5 * (self.value(step - 1) + here)
        above = math.inf if step >= most else 0.5 * (here + self.value(step + 1))
        return math.asinh(below / _KNEE), math.asinh(above / _KNEE)

    def steps(self, signal: np.ndarray) -> np.ndarray:
        values = _KNEE * np.sinh(np.clip(signal, -50.0, 50.0))
        return np.clip(self._steps_of(np.clip(values, self.low, self.high)), *self._bounds())


@dataclass(frozen=True)
class Words(Instrument):
    """An ordered scale of words: word i covers signals between bounds i - 1 and i."""

    words: tuple[str, ...]
    bounds: tuple[float, ...]

    def edges(self, step: int) -> tuple[float, float]:
        below = -math.inf if step == 0 else self.bounds[step - 1]
        above = math.inf if step == len(self.bounds) else self.bounds[step]
        return below, above

    def steps(self, signal: np.ndarray) -> np.ndarray:
        return np.searchsorted(np.array(self.bounds), signal, side="right")

    def show(self, step: int) -> str:
        return self.words[step]
