"""Quantities at heater, blower, doors and their circuits, before any instrument; each function returns an array
(n,).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.fleet import Fleet
from sim.laws.actuators import BLEND_CONTACT, BRUSH_CONTACT, CABLE, vacuum_force
from sim.laws.circuits import OPEN_OHM, VALVE_COIL_OHM, motor_current, motor_speed
from sim.observation.heater_circuits import coil_conducts
from sim.vehicle import states as st
from sim.vehicle.records import copy_records

FOGGED_KG = 0.002  # [kg] water on 1.3 m2 of glass that blocks the view: breath on a mirror, 1.5 g/m2 (estimate)
AUDIBLE_DRAG = 20.0  # [V A] bearing friction that becomes audible (estimate)
AUDIBLE_BRUSH_OHM = 0.2  # [ohm] brush resistance at which sparking becomes audible (estimate)
BURNT_W = 100.0  # [W] value for a connector with burnt wiring: brown beyond doubt (estimate)
CLUTCH_OHM = 3.6  # coil of a compressor's clutch (common practice)


def coolant_voltage(fleet: Fleet) -> np.ndarray:
    """Voltage [V] of the coolant against battery ground: its own, plus the drop of the load current over the engine
    ground.
    """
    p, q = fleet.parameters, fleet.algebraic
    load = q["blower_A"] + p["base_load_A"] * fleet.controls["ignition"] + 15.0 * (fleet.controls["engine"] > 0.5)
    return p["coolant_V"] + load * p["engine_ground_ohm"]


def valve_stem_travel(fleet: Fleet) -> np.ndarray:
    """Travel of the valve stem [share] when the control is swung from end to end. Shape (n,).

    A cable passes on the movement of the hand; vacuum and electric drives follow the commanded position.
    """
    p = fleet.parameters
    moved = p["valve_stem"] * p["valve_linkage"]
    moved = moved * np.where(p["valve_drive"] == CABLE, 1.0, np.minimum(1.5 * p["command"], 1.0))
    power = np.ones(len(fleet))
    for i in np.flatnonzero(p["valve_drive"] == 1.0):
        power[i] = p["valve_coil"][i] * vacuum_force(float(fleet.state[i, st.VACUUM] * p["valve_supply"][i]))
    electric = p["valve_drive"] > 1.5
    across = fleet.algebraic["valve_V"] * VALVE_COIL_OHM / (VALVE_COIL_OHM + p["valve_ground_ohm"])
    return moved * np.where(electric, coil_conducts(fleet) * (across > 8.0), power)


def blend_door_sound(fleet: Fleet) -> np.ndarray:
    """Sound when the control is swung quickly: 0 one knock, 1 repeated clicking, 2 silence. Shape (n,)."""
    p = fleet.parameters
    motor = p["blend_drive"] > 1.5
    dead = motor & ((p["blend_motor"] < 0.5) | (p["blend_supply"] < 0.5) | (fleet.controls["ignition"] < 0.5))
    slipping = motor & ~dead & (p["blend_linkage"] < 0.7)
    uncommanded = motor & (
        (p["command"] < 0.3) | ((fleet.algebraic["contact"] < 0.5) & (p["contact_of"] == BLEND_CONTACT))
    )
    detached = ~motor & (p["blend_linkage"] * np.where(p["blend_drive"] == 1.0, p["blend_supply"], 1.0) < 0.5)
    broken = p["blend_most"] < 0.5
    return np.where(dead | detached | uncommanded | broken, 2.0, np.where(slipping, 1.0, 0.0))


def blower_air(fleet: Fleet) -> np.ndarray:
    """Air at the vents [kg/min]. Shape (n,)."""
    return fleet.algebraic["air_kg_s"] * 60.0


def glass_fog(fleet: Fleet) -> np.ndarray:
    """Water on the inside of the windscreen relative to what blocks the view, 0 to 1. Shape (n,)."""
    return np.clip(fleet.state[:, st.GLASS_WATER] / FOGGED_KG, 0.0, 1.0)


def vacuum_at_valve(fleet: Fleet) -> np.ndarray:
    """Vacuum [kPa] at the line of the heater valve or door. Shape (n,)."""
    p, c = fleet.parameters, fleet.controls
    called = np.where(p["valve_drive"] == 1.0, p["valve_supply"] * (c["heater"] < 1.0), p["blend_supply"])
    return fleet.state[:, st.VACUUM] * called


def pump_hand_vacuum(fleet: Fleet) -> np.ndarray:
    """Share of a hand pump's vacuum that the valve's diaphragm still holds after a minute. Shape (n,)."""
    return fleet.parameters["valve_coil"].copy()


def blower_drop(name: str) -> Callable[[Fleet], np.ndarray]:
    """Voltage drop [V] over one part of the blower circuit, given by the name of its resistance."""
    return lambda fleet: fleet.parameters[name] * fleet.algebraic["blower_A"]


def fuse_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] downstream of the blower fuse. Shape (n,)."""
    whole = (fleet.parameters["blower_fuse"] > 0.5) & (fleet.parameters["loom_burnt"] < 0.5)
    return np.where(whole, fleet.algebraic["supply_V"], 0.0)


def commanded_door(fleet: Fleet) -> np.ndarray:
    """Deviation of the blend door's own feedback from its command, as a share of travel. Shape (n,).

    The feedback sensor is in the actuator: a door broken off it goes unnoticed, and so do end stops that it has lost.
    """
    p, asked = fleet.parameters, fleet.controls["heater"]
    astray = (p["blend_most"] < 1.0) | (p["blend_learned"] < 1.0)
    off = astray & (p["blend_motor"] * p["blend_supply"] * p["command"] > 0.5)
    return np.where(off, 0.0, np.abs(asked - fleet.algebraic["blend"]))


def blower_sound(fleet: Fleet) -> np.ndarray:
    """0 silent, 1 motor whirs without air, 2 labours, 3 runs evenly, 4 falters and sparks. Shape (n,)."""
    p, q = fleet.parameters, fleet.algebraic
    stands = q["blower_speed"] < 0.05
    labours, falters = p["bearing_drag"] > AUDIBLE_DRAG, p["brush_ohm"] > AUDIBLE_BRUSH_OHM
    return np.select([stands, p["wheel_grip"] < 0.5, labours, falters], [0.0, 1.0, 2.0, 4.0], 3.0)


def plug_heat(fleet: Fleet) -> np.ndarray:
    """Heat [W] in the blower connector at the highest speed, which browns its plastic. Shape (n,)."""
    p = fleet.parameters
    out = np.empty(len(fleet))
    for i in range(len(fleet)):
        joint, back = float(p["blower_joint_ohm"][i]), float(p["motor_back_V"][i])
        rest = float(sum(p[name][i] for name in ("blower_switch_ohm", "blower_ground_ohm", "motor_ohm")))
        torque, drag = float(p["motor_torque"][i]), float(p["bearing_drag"][i])
        series = float(p["charging_V"][i]), joint + rest, back, torque, drag
        out[i] = joint * motor_current(*series, motor_speed(*series)) ** 2
    return np.where(p["loom_burnt"] > 0.5, BURNT_W, out)


def gain_by_knock(fleet: Fleet) -> np.ndarray:
    """Speed gain [share of rated] of the blower from a knock on its motor, which seats worn brushes. Shape (n,)."""
    view = fleet.what_if_view()
    view.parameters = copy_records(fleet.parameters)
    view.parameters["brush_ohm"] = 0.0
    view.parameters["contact_of"][view.parameters["contact_of"] == BRUSH_CONTACT] = 0.0
    view.refresh()
    return view.algebraic["blower_speed"] - fleet.algebraic["blower_speed"]


def motor_resistance(fleet: Fleet) -> np.ndarray:
    """Resistance [ohm] of the unplugged blower motor: winding and brushes, open while the brushes lift. Shape (n,)."""
    p = fleet.parameters
    lifted = (p["contact_of"] == BRUSH_CONTACT) & (fleet.algebraic["contact"] < 0.5)
    return p["motor_ohm"] + p["brush_ohm"] + np.where(lifted, OPEN_OHM, 0.0)


def actuator_moves(fleet: Fleet) -> np.ndarray:
    """Blend actuator removed from its box, control swung: 0 turns its shaft, 1 hums with the shaft slipping, 2 does not
    move.
    """
    p, c = fleet.parameters, fleet.controls
    held = np.where(p["contact_of"] == BLEND_CONTACT, fleet.algebraic["contact"], 1.0)
    still = (p["blend_motor"] * p["blend_supply"] * c["ignition"] * held < 0.5) | (p["command"] < 0.3)
    return np.where(still, 2.0, np.where(p["blend_linkage"] < 0.7, 1.0, 0.0))


def actuator_supply(fleet: Fleet) -> np.ndarray:
    """Voltage [V] at the blend actuator's connector. Shape (n,)."""
    p, q = fleet.parameters, fleet.algebraic
    held = np.where(p["contact_of"] == BLEND_CONTACT, q["contact"], 1.0)
    return q["supply_V"] * fleet.controls["ignition"] * p["blend_supply"] * held


def neck_metal_voltage(fleet: Fleet) -> np.ndarray:
    """Voltage [V] of the radiator's metal against battery ground: the reading of a lead that touches the neck by
    mistake.
    """
    p, q = fleet.parameters, fleet.algebraic
    load = q["blower_A"] + p["base_load_A"] * fleet.controls["ignition"] + 15.0 * (fleet.controls["engine"] > 0.5)
    return load * p["engine_ground_ohm"]


def clutch_coil_ohm(fleet: Fleet) -> np.ndarray:
    """Resistance [ohm] of the coil of the compressor's clutch, unplugged. Shape (n,)."""
    return np.where(fleet.parameters["ac_clutch"] > 0.5, CLUTCH_OHM, 1e6)


def refrigerant_pressure(fleet: Fleet) -> np.ndarray:
    """Pressure [kPa] in the refrigerant circuit at rest. Shape (n,).

    With liquid left it is the saturation pressure of R134a at ambient temperature, 293 kPa absolute at 0 degC and 572
    kPa at 20 degC, here a parabola (textbook, M); below a fifth of a charge no liquid is left (estimate).
    """
    ambient = fleet.controls["ambient_C"]
    saturated = 293.0 + 10.6 * ambient + 0.17 * ambient**2 - 101.0
    return np.maximum(saturated, 0.0) * np.minimum(fleet.parameters["refrigerant"] / 0.2, 1.0)
