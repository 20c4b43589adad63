"""Random vehicles, states and controls for comparing the two texts of the rates: seeded, faults of every kind."""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.compile import compiled
from sim.vehicle import states as st
from sim.vehicle.parameters import PARAMETERS, healthy

SWITCHED = [
    "at_inlet",
    "bleed_line",
    "fan_viscous",
    "fan_works",
    "fan_forced",
    "valve_at_engine",
    "cap_breathes",
    "air_heater_works",
    "has_valve",
    "valve_coil",
    "blend_motor",
    "mode_moves",
    "recirculation_moves",
    "check_valve",
    "blower_fuse",
    "pack_whole",
    "blower_electronic",
    "controller_works",
    "boost_works",
    "charging_works",
    "mode_vacuum",
    "automatic",
    "contact_shake",
    "sensor_short",
    "valve_stays",
    "ac_fitted",
    "ac_clutch",
    "boost_fuse",
    "boost_relay",
    "boost_wire",
    "valve_fuse",
    "air_heater_fuse",
    "air_heater_relay",
    "pump_motor",
    "pump_free",
    "pump_fuse",
    "pump_relay",
    "pump_wire",
    "pump_command",
]
"""Parameters that are 0 or 1."""
SHARES = [
    "pump_grip",
    "pump_drive",
    "pump_vanes",
    "radiator_clear",
    "core_clear",
    "feed_clear",
    "return_clear",
    "radiator_fins",
    "core_fins",
    "cap_seal",
    "wheel_grip",
    "valve_linkage",
    "valve_supply",
    "blend_linkage",
    "blend_supply",
    "valve_stem",
    "blend_learned",
    "scuttle_drain",
    "intake_seal",
    "refrigerant",
]
"""Parameters from 0 to 1 that a fault lowers."""
FAULTS: dict[str, tuple[float, float]] = {
    "lift_least": (0.0, 0.8),
    "lift_most": (0.0, 1.0),
    "leak_hose": (0.0, 20.0),
    "leak_pump": (0.0, 5.0),
    "leak_core": (0.0, 5.0),
    "leak_radiator": (0.0, 5.0),
    "leak_housing": (0.0, 5.0),
    "leak_tee": (0.0, 5.0),
    "leak_tank": (0.0, 5.0),
    "boost_ground_ohm": (0.0, 20.0),
    "valve_ground_ohm": (0.0, 30.0),
    "air_heater_ground_ohm": (0.0, 1.0),
    "leak_head": (0.0, 5.0),
    "gas_ingress": (0.0, 20.0),
    "gasket_holds_kW": (-6.0, 6.0),
    "glycol": (0.0, 0.7),
    "boost_head_kPa": (0.0, 15.0),
    "air_heater_kW": (0.0, 1.5),
    "blower_relay_ohm": (0.01, 2.0),
    "blower_ground_ohm": (0.0, 1.0),
    "valve_least": (0.0, 0.5),
    "valve_most": (0.3, 1.0),
    "blend_least": (0.0, 0.5),
    "blend_most": (0.5, 1.0),
    "blend_rest": (0.0, 1.0),
    "valve_rest": (0.0, 1.0),
    "mode_rest": (0.0, 2.0),
    "recirculation_rest": (0.0, 1.0),
    "feed_soft": (0.0, 1.0),
    "command": (0.0, 1.0),
    "lockout_stuck": (0.0, 1.0),
    "lockout_C": (0.0, 80.0),
    "contact_of": (0.0, 6.0),
    "brush_ohm": (0.0, 2.0),
    "sensor_ohm_extra": (0.0, 3e6),
    "sensor_default_C": (-40.0, 90.0),
    "bearing_drag": (0.0, 200.0),
    "coolant_heater_kW": (0.0, 6.0),
    "coolant_heater_works": (0.0, 1.0),
    "coolant_heater_supply": (0.0, 1.0),
    "drive_charge": (0.0, 0.3),
    "heat_pump_kW": (0.0, 5.0),
    "refrigerant": (0.0, 1.0),
    "isolation_kohm": (0.0, 1000.0),
    "pump_ground_ohm": (0.0, 20.0),
    "electric_rpm": (0.0, 6000.0),
}
"""What a fault changes, between bounds."""


def parameters(rng: np.random.Generator) -> np.ndarray:
    """One vehicle, shape (1,): every number moved by a tenth, and a handful of faults and kinds."""
    p = healthy(1)
    for name, parameter in PARAMETERS.items():
        if parameter.spread:
            p[name] *= np.exp(0.1 * rng.standard_normal())
    for name in ("valve_drive", "blend_drive"):
        p[name] = float(rng.integers(3))
    if rng.random() < 0.4:
        p["has_bottle"], p["tank_air_L"], p["bottle_L"] = 0.0, rng.uniform(0.3, 1.0), 0.0
    for name in rng.permutation(SWITCHED)[: rng.integers(8)]:
        p[name] = 1.0 - p[name]
    for name in rng.permutation(SHARES)[: rng.integers(5)]:
        p[name] = rng.choice([0.0, rng.random()])
    for name in rng.permutation(list(FAULTS))[: rng.integers(6)]:
        p[name] = rng.uniform(*FAULTS[name])
    p["mode_rest"], p["contact_of"] = np.round(p["mode_rest"]), np.round(p["contact_of"])
    if rng.random() < 0.3:
        p["rear_L"], p["rear_G"] = 0.5, 1.5
    return p


def controls(rng: np.random.Generator) -> np.ndarray:
    """Controls, shape (1,)."""
    c = np.zeros(1, st.CONTROLS)
    c["ignition"] = float(rng.random() < 0.8)
    c["engine"] = c["ignition"] * float(rng.random() < 0.8)
    c["rpm"], c["kmh"] = rng.choice([0.0, rng.uniform(0.0, 5000.0)]), rng.choice([0.0, rng.uniform(0.0, 160.0)])
    c["load_kW"], c["heater"] = rng.uniform(0.0, 20.0), rng.choice([0.0, 1.0, rng.random()])
    c["blower"], c["vents"], c["recirculation"] = float(rng.integers(5)), float(rng.integers(3)), float(rng.integers(2))
    c["bonnet"], c["cap"] = float(rng.integers(2)), float(rng.random() < 0.85)
    c["ambient_C"], c["atmosphere_kPa"] = rng.uniform(-35.0, 45.0), rng.uniform(65.0, 104.0)
    c["outside_humidity"], c["occupants"] = rng.uniform(0.0, 0.02), float(rng.integers(4))
    return c


def state(rng: np.random.Generator, p: np.ndarray, ambient: float) -> np.ndarray:
    """A state (STATES,) that such a vehicle might be in, or a solver's trial step."""
    y = np.zeros(st.STATES)
    low, high = sorted(rng.uniform(ambient - 5.0, 135.0, 2))
    y[: st.TEMPERATURES] = rng.uniform(low, high, st.TEMPERATURES)
    y[st.LIFT] = rng.choice([0.0, 1.0, rng.random(), rng.uniform(-0.01, 1.01)])
    y[st.WAX] = rng.choice([y[st.JACKET], rng.uniform(75.0, 105.0)])
    litres = sum(
        float(p[k][0]) for k in ("jacket_L", "upper_hose_L", "radiator_L", "feed_hose_L", "core_L", "return_hose_L")
    )
    y[st.COOLANT] = rng.choice([1.05 * litres, litres, rng.uniform(0.0, 1.05) * litres])
    y[st.BOTTLE] = rng.choice([0.0, rng.uniform(0.0, 1.7)]) * float(p["has_bottle"][0])
    y[st.GAS] = rng.choice([0.0, rng.uniform(0.0, 400.0)])
    y[st.CORE_AIR] = rng.choice([0.0, rng.uniform(0.0, 0.4)])
    y[st.CARPET], y[st.HUMIDITY] = rng.uniform(0.0, 0.5), rng.uniform(0.0005, 0.02)
    y[st.CHARGE] = rng.choice([0.0, 0.005, rng.uniform(0.0, 1.0)], p=[0.05, 0.05, 0.9])
    y[st.VACUUM] = rng.uniform(0.0, 70.0)
    y[st.REAR], y[st.REAR_AIR] = y[st.CORE], rng.choice([0.0, rng.uniform(0.0, 0.6)]) * float(p["rear_L"][0] > 0.0)
    y[st.OVERHEATING] = rng.choice([0.0, 250.0, 380.0, 700.0], p=[0.7, 0.1, 0.1, 0.1])
    y[st.SENSOR] = rng.uniform(ambient, 130.0)
    y[st.BAY], y[st.DUCT] = rng.uniform(ambient, 60.0), rng.uniform(ambient, 70.0)
    y[st.NECK_AIR] = rng.choice([0.0, rng.uniform(0.0, 0.6)])
    y[st.GLASS_WATER] = rng.choice([0.0, rng.uniform(0.0, 0.07)])
    y[st.RUN] = rng.choice([10.0, 33.0, 500.0])
    return y


def record(one: np.ndarray) -> dict[str, float]:
    """Fields of a structured array of shape (1,) by name."""
    return {name: float(one[name][0]) for name in one.dtype.names or ()}


def row(array: np.ndarray) -> Any:
    """The one record of a structured array of shape (1,), its fields attributes also where nothing is compiled."""
    return array[0] if compiled() else array.view(np.recarray)[0]
