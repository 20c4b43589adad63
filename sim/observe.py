"""What a check looks at: true quantities of every vehicle, before any instrument."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim import air, coolant, scan_data
from sim import states as st
from sim.actuators import SENSOR_CONTACT
from sim.circuits import OPEN_OHM
from sim.fleet import Fleet

Quantity = Callable[[Fleet], np.ndarray]


def _state(index: int) -> Quantity:
    return lambda fleet: fleet.state[:, index].copy()


def _field(name: str) -> Quantity:
    return lambda fleet: fleet.quantities[name].copy()


def _parameter(name: str) -> Quantity:
    return lambda fleet: fleet.parameters[name].copy()


def pcm_temperature(fleet: Fleet) -> np.ndarray:
    """Coolant temperature [degC] that the engine computer believes: through the sensor's circuit. Shape (n,)."""
    p, out = fleet.parameters, fleet.quantities["pcm_C"].copy()
    loose = (p["contact_of"] == SENSOR_CONTACT) & (fleet.quantities["contact"] < 0.5)
    for i in np.flatnonzero((p["sensor_ohm_extra"] != 0.0) | (p["sensor_short"] > 0.5) | loose):
        extra = OPEN_OHM if loose[i] else p["sensor_ohm_extra"][i]
        ohm = 0.0 if p["sensor_short"][i] > 0.5 else scan_data.thermistor_resistance(out[i]) + extra
        out[i] = scan_data.temperature_from_voltage(scan_data.sensor_voltage(float(ohm)))
    return out


def gauge_needle(fleet: Fleet) -> np.ndarray:
    """Needle of the dash gauge, 0 cold to 1 hot, flat between 75 and 105 degC as dash gauges are made. Shape (n,).

    Source: common practice, no source.
    """
    p = fleet.parameters
    needle = np.interp(pcm_temperature(fleet), [40.0, 75.0, 105.0, 120.0, 130.0], [0.0, 0.5, 0.5, 0.9, 1.0])
    live = (fleet.controls["ignition"] > 0.5) & (p["gauge_works"] > 0.5)
    return np.where(live, needle, np.where(fleet.controls["ignition"] > 0.5, p["gauge_rest"], 0.0))


def neck_shortfall(fleet: Fleet) -> np.ndarray:
    """Litres that the loop lacks at its filler, the air in the core aside, cold. Shape (n,)."""
    q = fleet.quantities
    return np.maximum(q["missing_L"] - fleet.state[:, st.CORE_AIR], 0.0)


def bottle_level(fleet: Fleet) -> np.ndarray:
    """Litres in the overflow bottle, or in an expansion tank, above its cold-fill line. Shape (n,)."""
    q, p = fleet.quantities, fleet.parameters
    bottle = fleet.state[:, st.BOTTLE] / 1.05 - p["bottle_line_L"]
    tank = p["tank_air_L"] - q["gas_L"] + fleet.state[:, st.CORE_AIR]
    return np.where(p["has_bottle"] > 0.5, bottle, tank)


def coolant_voltage(fleet: Fleet) -> np.ndarray:
    """Voltage [V] of the coolant against battery ground: its own, and what stray current over the ground adds."""
    p, q = fleet.parameters, fleet.quantities
    load = q["blower_A"] + p["base_load_A"] * fleet.controls["ignition"] + 15.0 * (fleet.controls["engine"] > 0.5)
    return p["coolant_V"] + load * p["engine_ground_ohm"]


def valve_stem_travel(fleet: Fleet) -> np.ndarray:
    """Share of its travel that the valve's stem makes when the control is swung from end to end. Shape (n,)."""
    p = fleet.parameters
    moved = p["valve_stem"] * p["valve_linkage"]
    electric = p["valve_drive"] > 1.5
    return np.where(electric, moved * p["valve_coil"] * (fleet.quantities["valve_V"] > 8.0), moved)


def _stub_skin(fleet: Fleet, coolant: np.ndarray) -> np.ndarray:
    """Skin [degC] of a short hose end that holds coolant [degC]: the balance of a heater hose's skin, at rest."""
    p, q = fleet.parameters, fleet.quantities
    film = p["film_still_W_m2K"] + q["air_moves"] * (p["film_moving_W_m2K"] - p["film_still_W_m2K"])
    wall, outside = p["hose_wall_W_K"], film * p["hose_area_m2"]
    return q["bay_C"] + wall / (wall + outside) * (coolant - q["bay_C"])


def valve_inlet_skin(fleet: Fleet) -> np.ndarray:
    """Skin [degC] of the hose end on the engine's side of the heater valve. Shape (n,)."""
    at_engine = fleet.parameters["valve_at_engine"] > 0.5
    return np.where(at_engine, _stub_skin(fleet, fleet.state[:, st.JACKET]), fleet.state[:, st.FEED_SKIN])


def valve_outlet_skin(fleet: Fleet) -> np.ndarray:
    """Skin [degC] of the hose end on the core's side of the heater valve. Shape (n,).

    A valve at the core has only a stub there, which follows the core's coolant.
    """
    at_engine = fleet.parameters["valve_at_engine"] > 0.5
    return np.where(at_engine, fleet.state[:, st.FEED_SKIN], _stub_skin(fleet, fleet.state[:, st.CORE]))


def blend_door_sound(fleet: Fleet) -> np.ndarray:
    """What is heard when the control is swung quickly: 0 one knock, 1 repeated clicking, 2 silence. Shape (n,)."""
    p = fleet.parameters
    motor = p["blend_drive"] > 1.5
    dead = motor & ((p["blend_motor"] < 0.5) | (p["blend_supply"] < 0.5) | (fleet.controls["ignition"] < 0.5))
    stripped = motor & ~dead & (p["blend_linkage"] < 0.7)
    slack = ~motor & (p["blend_linkage"] < 0.5)
    return np.where(dead | slack, 2.0, np.where(stripped, 1.0, 0.0))


def wet_spot(fleet: Fleet) -> np.ndarray:
    """Coolant leaving the loop outside the cabin [g/h at 50 kPa]: what a look for leaks can see. Shape (n,)."""
    p = fleet.parameters
    return (p["leak_hose"] + p["leak_pump"]) * 3600.0 * 50.0


def blower_air(fleet: Fleet) -> np.ndarray:
    """Air at the vents [kg/min]. Shape (n,)."""
    return fleet.quantities["air_kg_s"] * 60.0


def glass_fog(fleet: Fleet) -> np.ndarray:
    """How far the cabin's air lies above what the windscreen's inner face can hold, 0 dry to 1. Shape (n,).

    The glass lies a third of the way from outside to cabin, two thirds with air on the screen (common practice, no
    source); humidity by the Magnus law.
    """
    q, c, y = fleet.quantities, fleet.controls, fleet.state
    out = np.zeros(len(fleet))
    for i in range(len(fleet)):
        share = 0.65 if q["mode"][i] > 1.5 and q["air_kg_s"][i] > 0.01 else 0.35
        glass = c["ambient_C"][i] + share * (max(y[i, st.CABIN], q["vent_C"][i] * 0.3) - c["ambient_C"][i])
        holds = air.saturation_humidity_ratio(float(glass), float(c["atmosphere_kPa"][i]))
        out[i] = min(max((y[i, st.HUMIDITY] / holds - 0.95) / 0.6, 0.0), 1.0)
    return out


CODES = ("none", "P0117", "P0118", "P0217", "P0128")
"""Trouble codes that the engine computer can set here, in the order in which one hides the next; SAE J2012 texts in
``sim.scan_data``."""
REGULATING_C = 85.0  # what the engine computer holds for the thermostat's regulating temperature
MONITOR_K = 11.0  # below it, 20 degF: the thermostat monitor fails (13 CCR 1968.2, M)
MONITOR_S = 900.0  # of running, from cold, after which it is asked (ours)


def trouble_code(fleet: Fleet) -> np.ndarray:
    """Index into CODES of the code that the engine computer would report now. Shape (n,)."""
    believed = pcm_temperature(fleet)
    cold = (fleet.state[:, st.RUN] > MONITOR_S) & (believed < REGULATING_C - MONITOR_K)
    return np.select([believed > 140.0, believed <= -38.0, believed > 118.0, cold], [1.0, 2.0, 3.0, 4.0], 0.0)


def hose_firmness(fleet: Fleet) -> np.ndarray:
    """Pressure in the upper radiator hose [kPa], as a squeeze tells it; below 0 it is sucked flat. Shape (n,)."""
    return fleet.quantities["pressure_kPa"].copy()


def feed_suction(fleet: Fleet) -> np.ndarray:
    """Share of its bore that the feed hose loses as the engine is revved, or has lost by a kink. Shape (n,)."""
    p, q = fleet.parameters, fleet.quantities
    return 1.0 - p["feed_clear"] * (1.0 - p["feed_soft"] * np.minimum(q["rpm"] / 2500.0, 1.0))


def pressure_drop(fleet: Fleet) -> np.ndarray:
    """Fall [kPa] in five minutes of a loop pumped up to the cap's rating, cold, by its leaks. Shape (n,)."""
    p, q = fleet.parameters, fleet.quantities
    leaks = p["leak_hose"] + p["leak_pump"] + p["leak_core"] + p["leak_head"]
    lost_L = leaks * 0.001 * p["cap_kPa"] * 300.0 / 1.05
    give = p["compliance_L_kPa"] + np.maximum(q["gas_L"], 0.0) / (p["cap_kPa"] + 101.0)
    return p["cap_kPa"] * -np.expm1(-lost_L / (give * p["cap_kPa"]))


def cap_opening(fleet: Fleet) -> np.ndarray:
    """Pressure [kPa] at which the cap opens on a cap tester. Shape (n,)."""
    return fleet.parameters["cap_kPa"] * fleet.parameters["cap_seal"]


def freezing_protection(fleet: Fleet) -> np.ndarray:
    """Freezing point [degC] of the coolant, as a refractometer shows it. Shape (n,)."""
    return np.array([coolant.freezing_point(float(x)) for x in fleet.parameters["glycol"]])


def vacuum_at_valve(fleet: Fleet) -> np.ndarray:
    """Vacuum [kPa] at the heater valve's or door's line. Shape (n,)."""
    p, c = fleet.parameters, fleet.controls
    called = np.where(p["valve_drive"] == 1.0, p["valve_supply"] * (c["heater"] < 1.0), p["blend_supply"])
    return fleet.state[:, st.VACUUM] * called


def pump_hand_vacuum(fleet: Fleet) -> np.ndarray:
    """Share of the vacuum of a hand pump that the valve's diaphragm still holds after a minute. Shape (n,)."""
    return fleet.parameters["valve_coil"].copy()


def combustion_gas(fleet: Fleet) -> np.ndarray:
    """Combustion gas that reaches the filler [kPa L/s]: with the engine running only. Shape (n,)."""
    return fleet.parameters["gas_ingress"] * fleet.quantities["runs"]


def belt_state(fleet: Fleet) -> np.ndarray:
    """0 sound, 1 slack or glazed, 2 gone. Shape (n,)."""
    drive = fleet.parameters["pump_drive"]
    return np.where(drive < 0.05, 2.0, np.where(drive < 0.93, 1.0, 0.0))


def fan_turns(fleet: Fleet) -> np.ndarray:
    """Share of its full air that the radiator fan moves. Shape (n,)."""
    return fleet.quantities["fan_share"].copy()


def blower_drop(name: str) -> Quantity:
    """Voltage [V] lost over one part of the blower's circuit, by the name of its resistance."""
    return lambda fleet: fleet.parameters[name] * fleet.quantities["blower_A"]


def fuse_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] behind the blower's fuse. Shape (n,)."""
    return np.where(fleet.parameters["blower_fuse"] > 0.5, fleet.quantities["supply_V"], 0.0)


def valve_coil_ohm(fleet: Fleet) -> np.ndarray:
    """Resistance [ohm] of the heater valve's coil, unplugged; an open one reads above the meter's range. Shape (n,)."""
    return np.where(fleet.parameters["valve_coil"] > 0.5, 12.0, 1e6)


def commanded_door(fleet: Fleet) -> np.ndarray:
    """Share by which the blend door stands short of what is asked of it. Shape (n,)."""
    return np.abs(fleet.controls["heater"] - fleet.quantities["blend"])


def thermostat_in_pot(fleet: Fleet) -> np.ndarray:
    """Temperature [degC] at which the thermostat, pulled and heated in a pot, begins to open. Shape (n,).

    One that is stuck open is open in cold water; one that is stuck closed never opens before the water boils.
    """
    p = fleet.parameters
    closed = p["lift_most"] < 0.05
    return np.where(p["lift_least"] > 0.01, 15.0, np.where(closed, 110.0, p["opens_C"]))


QUANTITIES: dict[str, Quantity] = {
    "coolant temperature": _state(st.JACKET),
    "engine computer's coolant temperature": pcm_temperature,
    "gauge needle": gauge_needle,
    "feed hose skin": _state(st.FEED_SKIN),
    "return hose skin": _state(st.RETURN_SKIN),
    "upper radiator hose skin": _state(st.UPPER_SKIN),
    "lower radiator hose skin": _state(st.LOWER_SKIN),
    "vent temperature": _field("vent_C"),
    "cabin temperature": _state(st.CABIN),
    "ambient temperature": lambda fleet: fleet.controls["ambient_C"].copy(),
    "blower air": blower_air,
    "neck shortfall": neck_shortfall,
    "bottle level": bottle_level,
    "sludge": _parameter("sludge"),
    "valve inlet skin": valve_inlet_skin,
    "valve outlet skin": valve_outlet_skin,
    "valve stem travel": valve_stem_travel,
    "blend door sound": blend_door_sound,
    "valve supply voltage": _field("valve_V"),
    "blower supply voltage": _field("blower_feed_V"),
    "blower ground voltage": _field("blower_ground_V"),
    "battery voltage": _field("supply_V"),
    "blower current": _field("blower_A"),
    "coolant voltage": coolant_voltage,
    "wet spot": wet_spot,
    "carpet wetness": _state(st.CARPET),
    "loop pressure": _field("pressure_kPa"),
    "air in the core": _state(st.CORE_AIR),
    "rear vent temperature": lambda fleet: (
        fleet.state[:, st.CABIN]
        + fleet.quantities["rear_W"]
        / np.maximum(fleet.parameters["rear_air_kg_s"] * fleet.quantities["blower_speed"], 0.005)
        / air.HEAT_CAPACITY
    ),
    "glass fog": glass_fog,
    "trouble code": trouble_code,
    "hose firmness": hose_firmness,
    "feed hose narrowing": feed_suction,
    "pressure drop": pressure_drop,
    "cap opening": cap_opening,
    "freezing protection": freezing_protection,
    "vacuum at the valve": vacuum_at_valve,
    "manifold vacuum": _state(st.VACUUM),
    "hand pump vacuum": pump_hand_vacuum,
    "combustion gas": combustion_gas,
    "belt": belt_state,
    "fan": fan_turns,
    "blower relay drop": blower_drop("blower_relay_ohm"),
    "blower switch drop": blower_drop("blower_switch_ohm"),
    "blower connector drop": blower_drop("blower_joint_ohm"),
    "fuse feed voltage": fuse_feed,
    "valve coil resistance": valve_coil_ohm,
    "door short of command": commanded_door,
    "blend door position": _field("blend"),
    "mode door position": _field("mode"),
    "recirculation door position": _field("recirculation"),
    "filter": _parameter("filter_R"),
    "thermostat in a pot": thermostat_in_pot,
    "engine speed": _field("rpm"),
    "rear heater air": _state(st.REAR_AIR),
    "steam at the tailpipe": lambda fleet: fleet.parameters["leak_head"] * fleet.quantities["runs"],
    "weep hole": lambda fleet: fleet.parameters["leak_pump"] * 3600.0 * 50.0 * 0.001,
    "radiator face": lambda fleet: 1.0 - fleet.parameters["radiator_fins"],
    "core face": lambda fleet: 1.0 - fleet.parameters["core_fins"],
    "wheel grip": _parameter("wheel_grip"),
}
"""Name to function of the fleet, each giving a float64 array (n,)."""
