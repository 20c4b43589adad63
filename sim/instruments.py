"""Instruments: one law each, used in two directions.

Forwards it turns a true quantity into what is read; backwards it tells how likely a given reading is under each
vehicle's true quantity. A reading is a whole number, the *step* on the display or the index of a word, so that a record
can be compared exactly. ``spread`` holds the instrument's noise and the floor for technician and model together.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from sim import touch
from sim.compile import jit
from sim.infrared import EMISSIVITY, USUAL_SETTING, apparent_temperature

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


def _identity(x: np.ndarray) -> np.ndarray:
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

    def likelihood(self, step: int, true: np.ndarray, blur: np.ndarray | None = None) -> np.ndarray:
        """Chance of this step under each true quantity, shape (n,), never below LAPSE.

        blur (n,): spread of what is seen that comes to the instrument's own, none if not given.
        """
        low, high = self.edges(step)
        seen = np.ascontiguousarray(self.sees(np.asarray(true, dtype=np.float64)))
        spread = np.full(len(seen), self.spread) if blur is None else np.sqrt(self.spread**2 + blur**2)
        out = np.empty(len(seen))
        _between(low, high, seen, spread, out)
        return LAPSE + (1.0 - LAPSE) * out

    def blur(self, true: np.ndarray, w: np.ndarray, label: np.ndarray, groups: int) -> np.ndarray | None:
        """How far each vehicle of a group, which stands for many, is to be smeared, (n,); None for what has no scale.

        true, w, label (n,): true quantities, weights, group. Silverman's rule for a normal law in one dimension, each
        group's spread drawn a little to that of the others, for few vehicles tell it badly. Without this, chance
        differences of the few would look like knowledge.
        """
        seen = self.sees(np.asarray(true, dtype=np.float64))
        count = np.bincount(label, minlength=groups).astype(float)
        total = np.bincount(label, w, minlength=groups)
        mean = np.bincount(label, w * seen, minlength=groups) / np.where(total > 0.0, total, 1.0)
        square = np.bincount(label, w * (seen - mean[label]) ** 2, minlength=groups)
        variance = square / np.where(total > 0.0, total, 1.0) * count / np.maximum(count - 1.0, 1.0)
        some = count > 1.0
        usual = float(np.median(variance[some])) if some.any() else 0.0
        drawn = (count * variance + 2.0 * usual) / (count + 2.0)
        return (np.sqrt(drawn) * np.maximum(count, 1.0) ** -0.2)[label]

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


def _by_ratio(x: np.ndarray) -> np.ndarray:
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

    def likelihood(self, step: int, true: np.ndarray, blur: np.ndarray | None = None) -> np.ndarray:
        wrong = self.spread / (len(self.words) - 1)
        return np.where(np.rint(true) == step, 1.0 - self.spread, wrong)

    def blur(self, true: np.ndarray, w: np.ndarray, label: np.ndarray, groups: int) -> np.ndarray | None:
        """Kinds have no scale on which to be smeared."""
        return None

    def foresee(self, step: int, true: np.ndarray, w: np.ndarray, label: np.ndarray, total: np.ndarray) -> np.ndarray:
        """Kinds do not spread: the chance is the vehicles' own."""
        chance = np.bincount(label, w * self.likelihood(step, true), minlength=len(total))
        return np.where(total > 0.0, chance / np.where(total > 0.0, total, 1.0), 1.0)

    def show(self, step: int) -> str:
        return self.words[step]


@jit
def _on_rubber_all(skin: np.ndarray, effusivity: float, out: np.ndarray) -> None:
    for i in range(len(skin)):
        out[i] = touch.contact_temperature(skin[i], 33.0, effusivity)


def _on_rubber(skin: np.ndarray) -> np.ndarray:
    out = np.empty(len(skin))
    _on_rubber_all(np.ascontiguousarray(skin, dtype=np.float64), touch.EFFUSIVITY["rubber"], out)
    return out


@jit
def _infrared_all(surface: np.ndarray, emissivity: float, out: np.ndarray) -> None:
    for i in range(len(surface)):
        out[i] = apparent_temperature(surface[i], emissivity, USUAL_SETTING, 20.0)


def _infrared(emissivity: float) -> Callable[[np.ndarray], np.ndarray]:
    def sees(true: np.ndarray) -> np.ndarray:
        out = np.empty(len(true))
        _infrared_all(np.ascontiguousarray(true, dtype=np.float64), emissivity, out)
        return out

    return sees


INSTRUMENTS: dict[str, Instrument] = {
    "infrared thermometer": Display(
        "infrared thermometer", "°C", 2.5, _infrared(EMISSIVITY["rubber"]), 1.0, -30.0, 380.0
    ),
    "hand on rubber": Words("hand", "", 1.6, _on_rubber, touch.HAND_WORDS, touch.HAND_THRESHOLDS),
    "scan tool": Display("scan tool", "°C", 1.0, _identity, 1.0, -40.0, 215.0),
    "dash gauge": Words(
        "dash gauge",
        "",
        0.03,
        _identity,
        (
            "on its cold stop",
            "just off cold",
            "a quarter up",
            "a little below the middle",
            "mid-scale",
            "a little above the middle",
            "near the red",
            "in the red",
        ),
        (0.06, 0.18, 0.34, 0.44, 0.56, 0.68, 0.86),
    ),
    "glance at the gauge": Words("dash gauge", "", 0.03, _identity, ("out of the red", "in the red"), (0.86,)),
    "air probe": Display("air probe", "°C", 1.5, _identity, 1.0, -40.0, 120.0),
    "multimeter": Display("multimeter", "V", 0.06, _identity, 0.01, 0.0, 60.0, 2),
    "multimeter on a supply": Display("multimeter", "V", 0.2, _identity, 0.01, 0.0, 60.0, 2),
    "current clamp": Display("current clamp", "A", 0.6, _identity, 0.1, 0.0, 400.0, 1),
    "air by hand": Words(
        "hand at the vent",
        "",
        0.25,
        _identity,
        ("no air", "a breath of air", "weak", "moderate", "strong", "very strong"),
        (0.35, 1.4, 2.6, 3.6, 5.0),
    ),
    "eye on the neck": Words(
        "eye",
        "",
        0.08,
        _identity,
        ("full to the neck", "just below the neck", "well below the neck", "no coolant to be seen"),
        (0.12, 0.5, 1.3),
    ),
    "eye at the filler": Words(
        "eye", "", 0.08, _identity, ("full", "a little low", "well down", "no coolant to be seen"), (0.12, 0.5, 1.3)
    ),
    "eye at the bleed point": Words(
        "eye",
        "",
        0.02,
        _identity,
        ("coolant at once, no air", "a few bubbles, then coolant", "a long run of air"),
        (0.03, 0.12),
    ),
    "eye on the bottle": Words(
        "eye",
        "",
        0.05,
        _identity,
        (
            "empty",
            "well below the cold line",
            "below the cold line",
            "at the cold line",
            "above the cold line",
            "brim-full",
        ),
        (-0.5, -0.28, -0.12, 0.12, 0.6),
    ),
    "eye for sludge": Words(
        "eye", "", 0.12, _identity, ("clean", "a little discoloured", "rusty, with sludge at the neck"), (0.35, 0.7)
    ),
    "eye on the stem": Words(
        "eye", "", 0.08, _identity, ("does not move", "moves part of its travel", "moves its full travel"), (0.15, 0.8)
    ),
    "ear at the dash": Kind(
        "ear", "", 0.03, _identity, ("one knock as the door lands", "repeated clicking", "silence")
    ),
    "eye for leaks": Words("eye", "", 0.6, _identity, ("dry", "a damp trace", "wet, with a drip"), (1.5, 12.0)),
    "hand on the carpet": Words("hand", "", 0.02, _identity, ("dry", "damp", "soaked"), (0.06, 0.4)),
    "pressure gauge": Display("pressure gauge", "kPa", 3.0, _identity, 2.0, 0.0, 250.0),
    "clamp thermocouple": Display("clamp thermocouple", "°C", 1.2, _identity, 0.1, -50.0, 250.0, 1),
    "infrared on bare metal": Display(
        "infrared thermometer", "°C", 3.0, _infrared(EMISSIVITY["aluminium"]), 1.0, -30.0, 380.0
    ),
    "infrared on cast iron": Display(
        "infrared thermometer", "°C", 3.0, _infrared(EMISSIVITY["cast iron"]), 1.0, -30.0, 380.0
    ),
    "ohmmeter": RatioDisplay("multimeter", "ohm", 0.05, _by_ratio, 0.1, 0.0, 2000.0, 1),
    "test lamp": Words("test lamp", "", 0.7, _identity, ("dark", "dim", "bright"), (3.0, 9.0)),
    "vacuum gauge": Display("vacuum gauge", "kPa", 2.0, _identity, 1.0, 0.0, 100.0),
    "hand vacuum pump": Words("hand vacuum pump", "", 0.12, _identity, ("falls at once", "holds"), (0.5,)),
    "pressure tester": Words(
        "pressure tester", "", 2.5, _identity, ("holds", "falls slowly", "falls as you watch"), (10.0, 45.0)
    ),
    "cap tester": Display("cap tester", "kPa", 3.0, _identity, 5.0, 0.0, 200.0),
    "refractometer": Display("refractometer", "°C", 1.5, _identity, 1.0, -60.0, 0.0),
    "combustion-leak tester": Words(
        "combustion-leak tester", "", 0.08, _identity, ("stays blue", "turns yellow"), (0.25,)
    ),
    "eye on the glass": Words("eye", "", 0.06, _identity, ("clear", "misting at the edges", "fogged"), (0.08, 0.4)),
    "code reader": Kind("code reader", "", 0.004, _identity, ("no code", "P0117", "P0118", "P0217", "P0128")),
    "squeeze": Words(
        "hand", "", 6.0, _identity, ("sucked flat", "soft", "firm", "hard as a tyre"), (-25.0, 20.0, 75.0)
    ),
    "eye on the hose": Words("eye", "", 0.1, _identity, ("keeps its shape", "drawn in a little", "flat"), (0.3, 0.7)),
    "eye on the belt": Kind("eye", "", 0.005, _identity, ("sound and tight", "slack or glazed", "gone")),
    "eye on the fan": Words("eye", "", 0.08, _identity, ("still", "turning slowly", "turning fast"), (0.1, 0.6)),
    "eye on the door": Words(
        "borescope",
        "",
        0.06,
        _identity,
        ("at cold", "towards cold", "halfway", "towards hot", "at hot"),
        (0.1, 0.35, 0.65, 0.9),
    ),
    "scan of the door": Words(
        "scan tool", "", 0.05, _identity, ("as commanded", "short of command", "far from command"), (0.12, 0.5)
    ),
    "hand at the outlets": Words(
        "hand", "", 0.15, _identity, ("mostly at the floor", "mostly at the face", "mostly at the screen"), (0.5, 1.5)
    ),
    "eye on the filter": Words("eye", "", 0.4, _identity, ("clean", "grey", "matted shut"), (0.9, 4.0)),
    "pot and thermometer": Words(
        "pot and thermometer",
        "",
        2.0,
        _identity,
        (
            "there is none in the housing",
            "open in cold water",
            "opens early",
            "opens at its rating",
            "does not open below boiling",
        ),
        (0.0, 40.0, 78.0, 98.0),
    ),
    "eye on the face": Words("eye", "", 0.1, _identity, ("clean", "partly choked", "choked"), (0.3, 0.7)),
    "eye at the tailpipe": Words("eye", "", 0.4, _identity, ("nothing unusual", "white and sweet"), (1.5,)),
    "rev counter": Display("rev counter", "rpm", 30.0, _identity, 50.0, 0.0, 8000.0),
    "ear at the blower": Kind(
        "ear", "", 0.005, _identity, ("silent", "the motor whirs and no air follows", "labours", "runs evenly")
    ),
    "ear at the relay": Kind("ear", "", 0.005, _identity, ("it clicks", "no click")),
    "ear at the pump": Kind("ear", "", 0.005, _identity, ("it hums", "silent")),
    "ear at the belt": Kind("ear", "", 0.005, _identity, ("quiet", "squeals")),
    "eye on the actuator": Kind(
        "eye", "", 0.005, _identity, ("its shaft turns", "it hums, the shaft slips", "it does not move")
    ),
    "eye on the cable": Words("eye", "", 0.08, _identity, ("off its clip", "slack", "clipped and taut"), (0.2, 0.8)),
    "hand on the lever": Words(
        "hand", "", 0.08, _identity, ("will not move", "moves part of the way", "moves freely"), (0.15, 0.8)
    ),
    "eye on the flap": Words("eye", "", 0.05, _identity, ("on fresh air", "between", "on recirculated"), (0.2, 0.8)),
    "eye for flow": Words("eye", "", 0.35, _identity, ("no flow", "a slow drift", "a plain stream"), (0.8, 4.0)),
    "eye for bubbles": Words(
        "eye", "", 0.08, _identity, ("no bubbles", "a bubble now and then", "bubbles without end"), (0.2, 0.8)
    ),
    "rinsing hose": Words(
        "rinsing hose", "", 0.03, _identity, ("hardly anything passes", "a weak stream", "runs freely"), (0.12, 0.6)
    ),
    "infrared over the face": Words(
        "infrared thermometer", "", 4.0, _identity, ("even", "uneven", "cold patches"), (12.0, 35.0)
    ),
    "nose": Words("nose", "", 0.3, _identity, ("nothing", "faintly sweet", "plainly sweet"), (1.0, 8.0)),
    "air by hand at a seam": Words(
        "hand", "", 0.03, _identity, ("little cold air", "some cold air", "a stream of cold air"), (0.12, 0.3)
    ),
    "hand on the plug": Words(
        "hand", "", 0.25, _identity, ("nothing changes", "it cuts out as the plug moves"), (0.6,)
    ),
    "scan percentage": Display("scan tool", "%", 1.5, _identity, 1.0, 0.0, 100.0),
    "scan of the blower": Display("scan tool", "steps", 0.1, _identity, 0.5, 0.0, 4.0, 1),
    "handbook": Words("handbook", "", 1.0, _identity, ("not at hand", "its figures stand on the job card"), (-4.0,)),
}
"""Name to instrument; spreads and words are common practice, no source, where nothing else is said."""
