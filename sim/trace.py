"""The course of one vehicle through a drive: its quantities over time, and where its heat went."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from sim.fleet import Fleet
from sim.vehicle import states as st
from sim.vehicle.rates import stored_heat
from sim.world import Leg, Weather, World

COLUMNS: dict[str, str] = {
    "time_s": "s",
    "rpm": "1/min",
    "speed_kmh": "km/h",
    "ambient_C": "degC",
    "engine_coolant_C": "degC",
    "block_C": "degC",
    "radiator_out_C": "degC",
    "heater_feed_C": "degC",
    "heater_return_C": "degC",
    "vent_C": "degC",
    "cabin_C": "degC",
    "pump_flow_Lpm": "L/min",
    "radiator_flow_Lpm": "L/min",
    "heater_flow_Lpm": "L/min",
    "thermostat_lift": "-",
    "coolant_L": "L",
    "trapped_air_L": "L",
    "pressure_kPa": "kPa",
    "blower_V": "V",
    "blower_A": "A",
    "air_kg_s": "kg/s",
    "heat_to_coolant_W": "W",
    "heater_W": "W",
    "radiator_W": "W",
    "loss_W": "W",
    "stored_J": "J",
}
"""Columns of a trace and their units. Heat to metal and coolant = heater + radiator + loss + d(stored)/dt, always."""

_OF_STATE = {
    "engine_coolant_C": st.JACKET,
    "block_C": st.BLOCK,
    "radiator_out_C": st.RADIATOR,
    "heater_feed_C": st.FEED,
    "heater_return_C": st.RETURN,
    "cabin_C": st.CABIN,
}
_OF_CONTROLS = {"speed_kmh": "kmh", "ambient_C": "ambient_C"}
_OF_QUANTITIES = {
    "rpm": "rpm",
    "vent_C": "vent_C",
    "pump_flow_Lpm": "pump_flow",
    "radiator_flow_Lpm": "radiator_flow",
    "heater_flow_Lpm": "heater_flow",
    "coolant_L": "coolant_L",
    "trapped_air_L": "missing_L",
    "pressure_kPa": "pressure_kPa",
    "blower_V": "blower_V",
    "blower_A": "blower_A",
    "air_kg_s": "air_kg_s",
    "heat_to_coolant_W": "heat_in_W",
    "heater_W": "heater_W",
    "radiator_W": "radiator_W",
    "loss_W": "loss_W",
}


@dataclass(frozen=True)
class Trace:
    """Rows of moments: columns, names as in ``COLUMNS`` and whatever was put beside them; rows (m, len(columns))."""

    columns: tuple[str, ...]
    rows: np.ndarray

    def __getitem__(self, column: str) -> np.ndarray:
        return self.rows[:, self.columns.index(column)]

    def beside(self, column: str, values: np.ndarray) -> Trace:
        """The same with one more column, values (m,)."""
        return Trace((*self.columns, column), np.column_stack([self.rows, values]))


class _Recorder(World):
    """A world that keeps rows of its first vehicle by dense output, so that sampling adds no step."""

    def __init__(self, fleet: Fleet, every: float) -> None:
        super().__init__(fleet, Weather(float(fleet.controls["ambient_C"][0])))
        self.every = every
        self.parts: list[np.ndarray] = []
        self._sampled = 0
        self._stored_at_start = _stored(fleet, fleet.state)[0]

    def begin(self) -> None:
        """The row of the start, under the controls that hold then."""
        self._record(np.zeros(1), self.fleet.state[:1], self.fleet.switches[:1])
        self._sampled = 1

    def sync(self) -> None:
        start, end = self._reached, self.now
        if end <= start:
            return
        last = int((end + 1e-6) / self.every)
        times = np.minimum(np.arange(self._sampled, last + 1) * self.every, end)
        self._sampled += len(times)
        states, switches = self.fleet.advance_seen(start, end, times)
        self._record(times, states[0], switches[0])
        self._reached = end

    def _record(self, times: np.ndarray, states: np.ndarray, switches: np.ndarray) -> None:
        quantities = self.fleet.evaluate(states, switches=switches)
        part = np.zeros((len(times), len(COLUMNS)))
        for k, name in enumerate(COLUMNS):
            if name == "time_s":
                part[:, k] = times
            elif name == "stored_J":
                part[:, k] = _stored(self.fleet, states) - self._stored_at_start
            elif name == "thermostat_lift":
                part[:, k] = np.clip(states[:, st.LIFT], 0.0, 1.0)  # as the laws take it
            elif name in _OF_STATE:
                part[:, k] = states[:, _OF_STATE[name]]
            elif name in _OF_CONTROLS:
                part[:, k] = self.fleet.controls[_OF_CONTROLS[name]][0]
            else:
                part[:, k] = quantities[_OF_QUANTITIES[name]]
        self.parts.append(part)


def _stored(fleet: Fleet, states: np.ndarray) -> np.ndarray:
    parameters = fleet.parameters[0]
    return np.array([stored_heat(state, parameters) for state in states])


def trace(fleet: Fleet, legs: Iterable[Leg], every: float) -> Trace:
    """Run a fleet of one through legs and keep its quantities every so many seconds, the start included.

    The fleet is advanced in place. A moment at which controls change shows them as they were before; the start shows
    those of the first leg.
    """
    legs = list(legs)
    world = _Recorder(fleet, every)
    if legs:
        world.set(**legs[0].controls)
    world.begin()
    world.run(legs)
    rows = np.concatenate(world.parts)
    return Trace(tuple(COLUMNS), rows[np.argsort(rows[:, 0], kind="stable")])
