"""Circuits of heater pump, electric heater valve and electric air heater; each function returns an array (n,)."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet
from sim.laws import air
from sim.laws.actuators import BOOST_CONTACT, VALVE_CONTACT
from sim.laws.circuits import PUMP_OHM, STALLS_BELOW, VALVE_COIL_OHM, air_heater_ohm
from sim.vehicle import states as st

GROUND_WIRE_OHM = 0.04  # two metres of 0.75 mm2 copper wire (M)


def heater_pump_hum(fleet: Fleet) -> np.ndarray:
    """0 the electric heater pump hums, 1 it is silent, at heater demand and ignition on. Shape (n,)."""
    p, c = fleet.parameters, fleet.controls
    held = np.where(p["contact_of"] == BOOST_CONTACT, fleet.algebraic["contact"], 1.0)
    share = PUMP_OHM / (PUMP_OHM + p["boost_ground_ohm"])
    fed = (pump_feed(fleet) > 0.0) & (share > STALLS_BELOW)
    hums = (p["boost_head_kPa"] > 0.0) & (p["boost_works"] * held * c["ignition"] * (c["heater"] > 0.05) > 0.5) & fed
    return np.where(hums, 0.0, 1.0)


def pump_fuse_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] behind the fuse of the electric heater pump. Shape (n,)."""
    return fleet.algebraic["supply_V"] * fleet.parameters["boost_fuse"]


def pump_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] at the plug of the electric heater pump against battery minus, heat asked for. Shape (n,)."""
    p, c = fleet.parameters, fleet.controls
    closed = p["boost_fuse"] * p["boost_relay"] * p["boost_wire"]
    return fleet.algebraic["supply_V"] * closed * c["ignition"] * (c["heater"] > 0.05)


def pump_ground_drop(fleet: Fleet) -> np.ndarray:
    """Voltage [V] from the ground pin of the electric heater pump to battery minus, while current flows. Shape (n,)."""
    p = fleet.parameters
    ground = p["boost_ground_ohm"]
    return pump_feed(fleet) * p["boost_works"] * (GROUND_WIRE_OHM + ground) / (PUMP_OHM + ground)


def coil_conducts(fleet: Fleet) -> np.ndarray:
    """1 where the heater valve's coil, or its diaphragm, is intact and in contact now. Shape (n,)."""
    p = fleet.parameters
    return p["valve_coil"] * np.where(p["contact_of"] == VALVE_CONTACT, fleet.algebraic["contact"], 1.0)


def valve_coil_ohm(fleet: Fleet) -> np.ndarray:
    """Resistance [ohm] of the heater valve's coil, unplugged; an open one reads above the meter's range. Shape (n,)."""
    return np.where(coil_conducts(fleet) > 0.5, VALVE_COIL_OHM, 1e6)


def valve_ground_drop(fleet: Fleet) -> np.ndarray:
    """Voltage [V] from the heater valve's ground pin to battery ground: drop of its current over the wire and a bad
    ground. Shape (n,).
    """
    ground = fleet.parameters["valve_ground_ohm"]
    current = fleet.algebraic["valve_V"] / (VALVE_COIL_OHM + ground) * coil_conducts(fleet)
    return current * (GROUND_WIRE_OHM + ground)


def valve_fuse_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] behind the heater valve's fuse. Shape (n,)."""
    return fleet.algebraic["supply_V"] * fleet.controls["ignition"] * fleet.parameters["valve_fuse"]


def air_heater_current(fleet: Fleet) -> np.ndarray:
    """Current [A] of the electric air heater at full demand. Shape (n,)."""
    return air_heater_current_with_relay(fleet) * fleet.parameters["air_heater_relay"]


def air_heater_current_with_relay(fleet: Fleet) -> np.ndarray:
    """The same with a relay that works: its state changes nothing else. Shape (n,)."""
    p, q = fleet.parameters, fleet.algebraic
    asked = 1000.0 * p["air_heater_kW"] * p["air_heater_works"] * q["runs"] * _heat_demand(fleet)
    return asked / np.maximum(q["supply_V"], 1.0) * p["air_heater_fuse"] * _air_heater_share(p)


def _heat_demand(fleet: Fleet) -> np.ndarray:
    """Share of its power that the electric air heater is asked for. Shape (n,)."""
    q = fleet.algebraic
    allowed = np.clip((75.0 - fleet.state[:, st.JACKET]) / 10.0, 0.0, 1.0)  # as sim.vehicle.air_side has it
    return allowed * np.minimum(1.0, 2.0 * q["heat_asked"]) * np.minimum(1.0, q["air_kg_s"] * air.HEAT_CAPACITY / 30.0)


def _air_heater_share(p: np.ndarray) -> np.ndarray:
    """Share of the supply voltage across the electric air heater, with its ground in series. Shape (n,)."""
    powers, which = np.unique(p["air_heater_kW"], return_inverse=True)  # vehicles of one type have the same
    load = np.array([air_heater_ohm(float(power)) if power > 0.0 else 1.0 for power in powers])[which]
    return load / (load + p["air_heater_ground_ohm"])


def air_heater_fuse_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] behind the fuse of the electric air heater. Shape (n,)."""
    return fleet.algebraic["supply_V"] * fleet.parameters["air_heater_fuse"]


def air_heater_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] at the electric air heater's lead against battery minus, while it is asked to heat. Shape (n,)."""
    p = fleet.parameters
    asked = _heat_demand(fleet) > 0.1
    return fleet.algebraic["supply_V"] * p["air_heater_fuse"] * p["air_heater_relay"] * fleet.algebraic["runs"] * asked


def air_heater_ground_drop(fleet: Fleet) -> np.ndarray:
    """Voltage [V] from the ground of the electric air heater to battery minus, while current flows. Shape (n,)."""
    p = fleet.parameters
    return air_heater_feed(fleet) * p["air_heater_works"] * (1.0 - _air_heater_share(p))
