"""A drive given as text or as a log of a real one, converted to legs of a world."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from sim.laws.engine_heat import brake_work
from sim.world import STOPPED, Leg, running

FASTEST_KMH = 250.0
FASTEST_RPM = 8000.0
LONGEST_S = 7 * 86400.0

_PART = re.compile(r"(idle|rest|(?P<kind>road|rev)(?P<figure>\d+(?:\.\d+)?)):(?P<seconds>\d+(?:\.\d+)?)", re.ASCII)
GRAMMAR = "idle:SECONDS, roadKMH:SECONDS, revRPM:SECONDS or rest:SECONDS, with commas between"

ROLLING_COEFFICIENT = 0.011  # [-] rolling resistance coefficient of a car tyre on asphalt (textbook, M)
GRAVITY = 9.81
SPINNING = 1.05  # [-] rotational inertia factor (common practice, no source)
ENGINE_TURNS_RPM = 400.0  # [1/min] below this the engine is being cranked or has stopped


class DriveError(ValueError):
    """What is wrong with a drive, and what was expected.

    >>> print(DriveError("part {number} of the drive is empty", number=2))
    part 2 of the drive is empty
    """

    def __init__(self, template: str, /, **values: str | int) -> None:
        super().__init__(template.format(**values))
        self.template, self.values = template, values


def parse_drive(text: str) -> list[Leg]:
    """Legs of a drive given as parts ``idle:SECONDS``, ``roadKMH:SECONDS``, ``revRPM:SECONDS``, ``rest:SECONDS``.

    Raises DriveError, whose template has placeholders for its values so that it can be translated.

    >>> [leg.seconds for leg in parse_drive("idle:300,road50:900,rest:60")]
    [300.0, 900.0, 60.0]
    """
    legs = []
    for number, part in enumerate(text.split(","), start=1):
        match = _PART.fullmatch(part.strip())
        if not match:
            raise DriveError(
                "part {number} of the drive is {part}, expected {grammar}",
                number=number,
                part=repr(part.strip()[:40]),
                grammar=GRAMMAR,
            )
        seconds, figure = float(match["seconds"]), float(match["figure"] or 0.0)
        greatest = FASTEST_KMH if match["kind"] == "road" else FASTEST_RPM
        if figure > greatest:
            raise DriveError(
                "part {number} of the drive has {figure}, expected at most {greatest}",
                number=number,
                figure=match["figure"],
                greatest=f"{greatest:g}",
            )
        if seconds <= 0.0:
            raise DriveError(
                "part {number} of the drive lasts {seconds} s, expected more than 0",
                number=number,
                seconds=match["seconds"],
            )
        controls = STOPPED
        if not part.strip().startswith("rest"):
            controls = running(kmh=figure) if match["kind"] == "road" else running(rpm=figure)
        legs.append(Leg(seconds, controls))
    length = sum(leg.seconds for leg in legs)
    if length > LONGEST_S:
        raise DriveError(
            "the drive lasts {length} s, expected at most {longest}", length=f"{length:g}", longest=f"{LONGEST_S:g}"
        )
    return legs


@dataclass(frozen=True)
class DriveLog:
    """A logged drive, one row per sample: arrays (m,) of time [s], engine speed [1/min], road speed [km/h], ambient
    [degC].

    coolant_C: logged engine coolant temperature [degC], None where there is none.
    """

    time_s: np.ndarray
    rpm: np.ndarray
    speed_kmh: np.ndarray
    ambient_C: np.ndarray
    coolant_C: np.ndarray | None = None

    @property
    def start_C(self) -> float:
        """Initial temperature [degC] of the whole vehicle: the first coolant temperature of the log, else ambient."""
        return float(self.ambient_C[0] if self.coolant_C is None else self.coolant_C[0])


class RoadLoad(NamedTuple):
    """Resistance of a vehicle on the road.

    rolling [N]; drag [N/(km/h)^2]. The mass follows from the rolling resistance.
    """

    rolling: float
    drag: float

    @property
    def mass(self) -> float:
        """Mass [kg] that corresponds to the rolling resistance."""
        return self.rolling / (ROLLING_COEFFICIENT * GRAVITY)

    def work_beyond_steady(self, kmh: float, acceleration: float) -> float:
        """Brake work [kW] of an acceleration, in addition to that at steady speed; braking at most cancels the latter.

        kmh [km/h]; acceleration [m/s2].
        """
        steady = brake_work(kmh, self.rolling, self.drag, 0.0, 0.0)
        change = SPINNING * self.mass * acceleration * kmh / 3600.0
        return max(change, -steady)


def legs_of_log(log: DriveLog, road: RoadLoad) -> list[Leg]:
    """Legs of a logged drive: one from each row to the next, at the mean of their speeds.

    Road gradient is not logged, so climbing work is unknown.
    """
    legs = []
    for k, (start, end) in enumerate(pairwise(log.time_s)):
        seconds = float(end - start)
        kmh = 0.5 * float(log.speed_kmh[k] + log.speed_kmh[k + 1])
        rpm = 0.5 * float(log.rpm[k] + log.rpm[k + 1])
        acceleration = float(log.speed_kmh[k + 1] - log.speed_kmh[k]) / 3.6 / seconds
        turns = rpm >= ENGINE_TURNS_RPM
        controls = {
            "ignition": 1.0,
            "engine": float(turns),
            "rpm": rpm,
            "kmh": kmh,
            "load_kW": road.work_beyond_steady(kmh, acceleration) if turns else 0.0,
            "ambient_C": float(log.ambient_C[k]),
        }
        legs.append(Leg(seconds, controls))
    return legs
