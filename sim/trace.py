"""Trace of one vehicle through a drive: its variables over time, and its heat balance."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from sim.fleet import Fleet
from sim.vehicle import states as st
from sim.vehicle.rates import stored_heat
from sim.world import Leg, Samples, Weather, World

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
"""Columns of a trace and their units. At all times: heat to metal and coolant = heater + radiator + loss +
d(stored)/dt."""

_STORED = tuple(COLUMNS).index("stored_J")
_OF_STATE = {
    "engine_coolant_C": st.JACKET,
    "block_C": st.BLOCK,
    "radiator_out_C": st.RADIATOR,
    "heater_feed_C": st.FEED,
    "heater_return_C": st.RETURN,
    "cabin_C": st.CABIN,
}
_OF_CONTROLS = {"speed_kmh": "kmh", "ambient_C": "ambient_C"}
_OF_ALGEBRAIC = {
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
    """A table over time: columns, names as in ``COLUMNS`` and any added; rows (m, len(columns))."""

    columns: tuple[str, ...]
    rows: np.ndarray

    def __getitem__(self, column: str) -> np.ndarray:
        return self.rows[:, self.columns.index(column)]

    def beside(self, column: str, values: np.ndarray) -> Trace:
        """The same with an additional column, values (m,)."""
        return Trace((*self.columns, column), np.column_stack([self.rows, values]))


def trace(fleet: Fleet, legs: Iterable[Leg], every: float) -> Trace:
    """Run a fleet of one through legs and record its variables every so many seconds, the start included.

    The fleet is advanced in place. A row at which controls change shows them as before; the first row shows those of
    the first leg.
    """
    legs = list(legs)
    world = World(fleet, Weather(float(fleet.controls["ambient_C"][0])), sample_every=every, max_samples=math.inf)
    if legs:
        world.set(**legs[0].controls)
    first = fleet.state[:1].copy()
    at_start = Samples(np.zeros(1), first, fleet.evaluate(first, switches=fleet.switches[:1]), fleet.controls[0].copy())
    world.run(legs)
    rows = np.concatenate([_rows(samples, fleet.parameters[0]) for samples in (at_start, *world.samples)])
    rows[:, _STORED] -= rows[0, _STORED]
    return Trace(tuple(COLUMNS), rows)


def _rows(samples: Samples, parameters: np.void) -> np.ndarray:
    """Rows of the samples; stored heat absolute, not yet relative to the start."""
    part = np.zeros((len(samples.times), len(COLUMNS)))
    for k, name in enumerate(COLUMNS):
        if name == "time_s":
            part[:, k] = samples.times
        elif name == "stored_J":
            part[:, k] = [stored_heat(state, parameters) for state in samples.states]
        elif name == "thermostat_lift":
            part[:, k] = np.clip(samples.states[:, st.LIFT], 0.0, 1.0)  # clipped as in the laws
        elif name in _OF_STATE:
            part[:, k] = samples.states[:, _OF_STATE[name]]
        elif name in _OF_CONTROLS:
            part[:, k] = samples.controls[_OF_CONTROLS[name]]
        else:
            part[:, k] = samples.algebraic[_OF_ALGEBRAIC[name]]
    return part
