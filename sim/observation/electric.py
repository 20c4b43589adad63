"""Quantities of an electric vehicle's heating, before any instrument; each function returns an array (n,)."""

from __future__ import annotations

import numpy as np

from sim.compile import jit
from sim.fleet import Fleet
from sim.laws.electric_heat import LEAST_ISOLATION_KOHM, refrigerant_pressure
from sim.vehicle import states as st

CONDENSES_K = 10.0  # [K] by which refrigerant condenses above the air that it has heated (estimate)
ANSWERS_V = 9.0  # [V] supply from which a coolant heater's control answers (data sheets)
NO_ANSWER_KW = 1000.0  # [kW] value for a power that is not reported
POOR_POWER = 0.8  # share of its elements below which a coolant heater reports too little power (estimate)

CODES = (
    "none",
    "interlock",
    "isolation",
    "dc-dc converter",
    "no answer",
    "outlet sensor",
    "cut out",
    "too little power",
)
"""Codes of the drive and its coolant heater, in the order in which a scan tool shows them."""


def not_at_ready(fleet: Fleet) -> np.ndarray:
    """0 at READY, 1 otherwise. Shape (n,)."""
    return 1.0 - fleet.algebraic["runs"]


def drive_code(fleet: Fleet) -> np.ndarray:
    """Index into CODES of the first code that drive and coolant heater hold, 0 for none. Shape (n,).

    All but the cut-out are tested whenever the ignition is on.
    """
    p, q, s = fleet.parameters, fleet.algebraic, fleet.switches
    held = [
        p["interlock"] < 0.5,
        p["isolation_kohm"] < LEAST_ISOLATION_KOHM,
        p["charging_works"] < 0.5,
        q["heater_plug_V"] < ANSWERS_V,
        q["sensor_ok"] < 0.5,
        s["heater_code"] > 0.5,
        p["coolant_heater_works"] < POOR_POWER,
    ]
    index = np.select(held, [float(k) for k in range(1, len(CODES))], 0.0)
    return np.where(fleet.controls["ignition"] > 0.5, index, 0.0)


def heater_request(fleet: Fleet) -> np.ndarray:
    """Power that the climate control asks of the coolant heater [%]. Shape (n,)."""
    return 100.0 * fleet.algebraic["coolant_heater_asked"]


def heater_power(fleet: Fleet) -> np.ndarray:
    """Power that the coolant heater takes, as it reports itself [kW]; NO_ANSWER_KW without its 12 V. Shape (n,)."""
    q = fleet.algebraic
    return np.where(q["heater_plug_V"] < ANSWERS_V, NO_ANSWER_KW, q["coolant_heater_W"] / 1000.0)


def heater_fuse_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] downstream of the fuse of the coolant heater's 12 V supply. Shape (n,)."""
    return fleet.algebraic["supply_V"] * fleet.controls["ignition"] * fleet.parameters["coolant_heater_fuse"]


def high_side_pressure(fleet: Fleet) -> np.ndarray:
    """Absolute pressure [bar] on the high side of the heat pump. Shape (n,).

    Condensing, it is the vapour pressure somewhat above the heated air's temperature; at rest, that of the air outside.
    """
    q, ambient = fleet.algebraic, fleet.controls["ambient_C"]
    heats = q["heat_pump_W"] > 50.0
    out = np.where(heats, q["core_in_C"] + CONDENSES_K, ambient)
    _pressures(out)
    return out


@jit
def _pressures(temperatures: np.ndarray) -> None:
    for i in range(len(temperatures)):
        temperatures[i] = refrigerant_pressure(temperatures[i])


def heater_outlet(fleet: Fleet) -> np.ndarray:
    """Coolant temperature [degC] at the coolant heater's outlet. Shape (n,)."""
    return fleet.state[:, st.JACKET].copy()


def heater_inlet(fleet: Fleet) -> np.ndarray:
    """Coolant temperature [degC] at the coolant heater's inlet: what comes back from the core. Shape (n,)."""
    return fleet.state[:, st.RETURN].copy()
