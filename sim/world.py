"""The simulated world: SimPy's clock, the fleet, and the processes that act on every vehicle at once."""

from __future__ import annotations

import math
from collections.abc import Generator, Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import simpy

from sim.fleet import Fleet
from sim.vehicle.records import concatenate_records

MINUTE = 60.0
MAX_SAMPLES = 1500
"""Default limit of samples kept per stretch of time: a night's wait needs no more than a drive."""
TIME_RESOLUTION_S = 1e-6
"""Times closer than this are equal [s]: those of events are sums of floats."""


@dataclass(frozen=True, slots=True)
class Weather:
    """Outside air: mean [degC], peak-to-peak swing [K] over the day with its maximum at 15 h, hour of the day at time
    0.
    """

    mean: float
    swing: float = 0.0
    hour: float = 8.0

    def at(self, seconds: float) -> float:
        """Ambient temperature [degC] at a simulation time [s]."""
        hour = self.hour + seconds / 3600.0
        return self.mean + 0.5 * self.swing * math.cos((hour - 15.0) / 24.0 * 2.0 * math.pi)


@dataclass(frozen=True, slots=True)
class Leg:
    """A leg of a drive: duration [s] and the controls during it, by name in ``sim.vehicle.states.CONTROLS``."""

    seconds: float
    controls: dict[str, float]


@dataclass(frozen=True, slots=True)
class Samples:
    """Dense output of the first vehicle over a stretch of time with constant controls.

    times (m,) [s]; states (m, STATES); algebraic: structured (m,); controls: the record that applied.
    """

    times: np.ndarray
    states: np.ndarray
    algebraic: np.ndarray
    controls: np.void


class World:
    """A fleet on one clock.

    Between two SimPy events the fleet is integrated in one call, each vehicle with its own steps. Weather and whatever
    ``run`` is given are processes. Only ``sync`` advances vehicles.
    """

    def __init__(
        self,
        fleet: Fleet,
        weather: Weather,
        start: float = 0.0,
        sample_every: float | None = None,
        max_samples: float = MAX_SAMPLES,
    ) -> None:
        """Start [s]; sample_every [s]: spacing of the dense output kept of the first vehicle, None for none.

        max_samples: limit per stretch of time, above which the spacing grows to a multiple; may be infinite.
        """
        self.env = simpy.Environment(initial_time=start)
        self.fleet = fleet
        self.weather = weather
        self.sample_every = sample_every
        self.max_samples = max_samples
        self.samples: list[Samples] = []
        self._reached = start
        if weather.swing:
            self.env.process(self._weather())

    @property
    def now(self) -> float:
        """Simulation time [s]."""
        return float(self.env.now)

    def copy(self) -> World:
        """An independent world at the same time, for what-if runs."""
        return World(self.fleet.copy(), self.weather, self.now)

    def continue_samples(self, earlier: World) -> None:
        """Continue the dense output of another world of the same vehicle, up to now."""
        self.sample_every = earlier.sample_every
        self.samples = [one for one in earlier.samples if float(one.times[-1]) <= self.now]

    def sync(self) -> None:
        """Integrate the fleet up to the clock."""
        start, end = self._reached, self.now
        if end <= start:
            return
        times = self._sample_times(start, end)
        states, switches = self.fleet.advance_with_switches(start, end, times)
        if len(times):
            quantities = self.fleet.evaluate(states[0], switches=switches[0])
            self.samples.append(Samples(times, states[0], quantities, self.fleet.controls[0].copy()))
        self._reached = end

    def _sample_times(self, start: float, end: float) -> np.ndarray:
        """Times of samples after a start and up to an end [s]: multiples of the spacing."""
        if not self.sample_every:
            return np.zeros(0)
        every = self.sample_every * max(math.ceil((end - start) / self.max_samples / self.sample_every), 1)
        first, last = (math.floor((time + TIME_RESOLUTION_S) / every) for time in (start, end))
        return np.minimum(np.arange(first + 1, last + 1) * every, end)

    def all_samples(self, first: int = 0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Times (m,) [s], states (m, STATES) and algebraic variables (m,) of the kept samples, from index first of
        ``samples``.
        """
        samples, fleet = self.samples[first:], self.fleet
        times = np.concatenate([np.zeros(0), *(one.times for one in samples)])
        states = np.concatenate([fleet.state[:0], *(one.states for one in samples)])
        return times, states, concatenate_records([fleet.algebraic[:0], *(one.algebraic for one in samples)])

    def set(self, **controls: float) -> None:
        """Integrate up to now, then set controls of every vehicle. Names as in ``sim.vehicle.states.CONTROLS``."""
        self.sync()
        for name, value in controls.items():
            self.fleet.controls[name] = value
        if controls:
            self.fleet.apply_controls()

    def run(self, legs: Iterable[Leg]) -> None:
        """Run the clock through the legs, one after another."""
        self.env.run(until=self.env.process(self._drive(list(legs))))

    def wait(self, seconds: float) -> None:
        """Let time pass with the present controls."""
        self.run([Leg(seconds, {})])

    def _drive(self, legs: list[Leg]) -> Generator[simpy.Event, Any, None]:
        for leg in legs:
            self.set(**leg.controls)
            yield self.env.timeout(leg.seconds)
            self.sync()

    def _weather(self) -> Generator[simpy.Event, Any, None]:
        while True:
            yield self.env.timeout(10.0 * MINUTE)
            self.set(ambient_C=self.weather.at(self.now))


def running(rpm: float = 0.0, kmh: float = 0.0) -> dict[str, float]:
    """Controls of a running engine at rpm [1/min], 0 for idle, or at road speed kmh [km/h].

    Up to 60 km/h, 2 kW are added for the stops and starts of town traffic (common practice).
    """
    town = 2.0 if 0.0 < kmh <= 60.0 else 0.0
    return {"ignition": 1.0, "engine": 1.0, "rpm": rpm, "kmh": kmh, "load_kW": town}


STOPPED = {"ignition": 0.0, "engine": 0.0, "rpm": 0.0, "kmh": 0.0, "load_kW": 0.0}
"""Controls of a stopped engine."""
