"""What a check looks at: true quantities of every vehicle, before any instrument."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim import air, coolant, scan_data
from sim import states as st
from sim.actuators import BOOST_CONTACT, SENSOR_CONTACT, vacuum_force
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
    return np.maximum(q["missing_L"] - fleet.state[:, st.CORE_AIR] - fleet.state[:, st.REAR_AIR], 0.0)


def bottle_level(fleet: Fleet) -> np.ndarray:
    """Litres in the overflow bottle, or in an expansion tank, above its cold-fill line. Shape (n,)."""
    q, p = fleet.quantities, fleet.parameters
    bottle = fleet.state[:, st.BOTTLE] / 1.05 - p["bottle_line_L"]
    tank = p["tank_air_L"] - q["gas_L"] + fleet.state[:, st.CORE_AIR] + fleet.state[:, st.REAR_AIR]
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
    power = np.ones(len(fleet))
    for i in np.flatnonzero(p["valve_drive"] == 1.0):
        power[i] = p["valve_coil"][i] * vacuum_force(float(fleet.state[i, st.VACUUM] * p["valve_supply"][i]))
    electric = p["valve_drive"] > 1.5
    return moved * np.where(electric, p["valve_coil"] * (fleet.quantities["valve_V"] > 8.0), power)


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
    unasked = motor & ((p["command"] < 0.3) | ((fleet.quantities["contact"] < 0.5) & (p["contact_of"] == 3.0)))
    slack = ~motor & (p["blend_linkage"] * np.where(p["blend_drive"] == 1.0, p["blend_supply"], 1.0) < 0.5)
    loose = p["blend_most"] < 0.5
    return np.where(dead | slack | unasked | loose, 2.0, np.where(stripped, 1.0, 0.0))


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
    """Share by which the blend door's own feedback stands short of what is asked of it. Shape (n,).

    The feedback sits in the actuator: a door that has broken off it does not show.
    """
    p, asked = fleet.parameters, fleet.controls["heater"]
    off = (p["blend_most"] < 1.0) & (p["blend_motor"] * p["blend_supply"] * p["command"] > 0.5)
    return np.where(off, 0.0, np.abs(asked - fleet.quantities["blend"]))


def thermostat_in_pot(fleet: Fleet) -> np.ndarray:
    """Temperature [degC] at which the thermostat, pulled and heated in a pot, begins to open. Shape (n,).

    One that is stuck open is open in cold water; one that is stuck closed never opens before the water boils.
    """
    p = fleet.parameters
    closed = p["lift_most"] < 0.1
    missing = p["lift_least"] > 0.95
    return np.select([missing], [-20.0], np.where(p["lift_least"] > 0.01, 15.0, np.where(closed, 110.0, p["opens_C"])))


def with_parts(quantity: Quantity, **values: float) -> Quantity:
    """The same quantity at once, with some parameters as given: a like part plugged in, a lead bridged, a hose pinched.

    A fuse blows again at once where the wire behind it is shorted.
    """

    def look(fleet: Fleet) -> np.ndarray:
        tried = fleet.copy()
        for name, value in values.items():
            tried.parameters[name] = value
        shorted = tried.parameters["blower_short"] > 0.5
        tried.parameters["blower_fuse"][shorted] = 0.0
        tried.refresh()
        return quantity(tried)

    return look


def blower_sound(fleet: Fleet) -> np.ndarray:
    """0 silent, 1 whirs and no air follows, 2 labours, 3 runs evenly. Shape (n,)."""
    p, q = fleet.parameters, fleet.quantities
    stands = q["blower_speed"] < 0.05
    labours = p["motor_ohm"] > 0.6
    return np.select([stands, p["wheel_grip"] < 0.5, labours], [0.0, 1.0, 2.0], 3.0)


def actuator_moves(fleet: Fleet) -> np.ndarray:
    """The blend actuator off its box, control swung: 0 turns its shaft, 1 hums and the shaft slips, 2 still."""
    p, c = fleet.parameters, fleet.controls
    held = np.where(p["contact_of"] == 3.0, fleet.quantities["contact"], 1.0)
    still = (p["blend_motor"] * p["blend_supply"] * c["ignition"] * held < 0.5) | (p["command"] < 0.3)
    return np.where(still, 2.0, np.where(p["blend_linkage"] < 0.7, 1.0, 0.0))


def actuator_supply(fleet: Fleet) -> np.ndarray:
    """Voltage [V] at the blend actuator's plug. Shape (n,)."""
    p, q = fleet.parameters, fleet.quantities
    held = np.where(p["contact_of"] == 3.0, q["contact"], 1.0)
    return q["supply_V"] * fleet.controls["ignition"] * p["blend_supply"] * held


def sensor_ohm(fleet: Fleet) -> np.ndarray:
    """Resistance [ohm] that the engine computer's plug sees of the coolant sensor and its wires. Shape (n,)."""
    p, out = fleet.parameters, fleet.quantities["pcm_C"].copy()
    loose = (p["contact_of"] == SENSOR_CONTACT) & (fleet.quantities["contact"] < 0.5)
    for i in range(len(fleet)):
        ohm = scan_data.thermistor_resistance(float(out[i])) + p["sensor_ohm_extra"][i]
        out[i] = 0.0 if p["sensor_short"][i] > 0.5 else (OPEN_OHM if loose[i] else ohm)
    return out


def neck_metal_voltage(fleet: Fleet) -> np.ndarray:
    """Voltage [V] of the radiator's metal against battery ground: what a lead that touches the neck reads instead."""
    p, q = fleet.parameters, fleet.quantities
    load = q["blower_A"] + p["base_load_A"] * fleet.controls["ignition"] + 15.0 * (fleet.controls["engine"] > 0.5)
    return load * p["engine_ground_ohm"]


def radiator_patch(fleet: Fleet) -> np.ndarray:
    """How much colder [K] the coldest part of the radiator's face is than the rest, from blocked tubes. Shape (n,)."""
    hot = np.maximum(fleet.state[:, st.UPPER] - fleet.controls["ambient_C"], 0.0)
    return hot * (1.0 - fleet.parameters["radiator_clear"])


def sweet_smell(fleet: Fleet) -> np.ndarray:
    """Coolant in the cabin to the nose: leaking now [g/min], and a tenth of what lies in the carpet [g]. Shape (n,)."""
    return fleet.quantities["core_leak_kg_s"] * 60000.0 + 100.0 * fleet.state[:, st.CARPET]


def heater_pump_hum(fleet: Fleet) -> np.ndarray:
    """0 the electric heater pump hums, 1 it is silent, heater asked for and ignition at run. Shape (n,)."""
    p, c = fleet.parameters, fleet.controls
    held = np.where(p["contact_of"] == BOOST_CONTACT, fleet.quantities["contact"], 1.0)
    hums = (p["boost_head_kPa"] > 0.0) & (p["boost_works"] * held * c["ignition"] * (c["heater"] > 0.05) > 0.5)
    return np.where(hums, 0.0, 1.0)


def air_heater_current(fleet: Fleet) -> np.ndarray:
    """Current [A] of the electric air heater, asked for full heat. Shape (n,)."""
    p, q = fleet.parameters, fleet.quantities
    asked = np.minimum(1.0, 2.0 * q["heat_asked"]) * np.minimum(1.0, q["air_kg_s"] * air.HEAT_CAPACITY / 30.0)
    return 1000.0 * p["air_heater_kW"] * p["air_heater_works"] * q["runs"] * asked / np.maximum(q["supply_V"], 1.0)


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
    "weep hole": lambda fleet: fleet.parameters["leak_pump"] * 3600.0 * 50.0,
    "radiator face": lambda fleet: 1.0 - fleet.parameters["radiator_fins"],
    "core face": lambda fleet: 1.0 - fleet.parameters["core_fins"],
    "wheel grip": _parameter("wheel_grip"),
    "feed hose coolant": _state(st.FEED),
    "return hose coolant": _state(st.RETURN),
    "flow at the neck": _field("radiator_flow"),
    "neck metal voltage": neck_metal_voltage,
    "radiator cold patch": radiator_patch,
    "sweet smell": sweet_smell,
    "relay click": lambda fleet: 1.0 - fleet.parameters["relay_clicks"] * (fleet.controls["ignition"] > 0.5),
    "blower sound": blower_sound,
    "blower air, relay swapped": with_parts(blower_air, blower_relay_ohm=0.01),
    "blower air, fuse renewed": with_parts(blower_air, blower_fuse=1.0),
    "blower air, motor on a fused lead": with_parts(
        blower_air,
        blower_short=0.0,
        blower_fuse=1.0,
        blower_relay_ohm=0.01,
        blower_switch_ohm=0.01,
        blower_joint_ohm=0.008,
        pack_whole=1.0,
        controller_works=1.0,
        lockout_stuck=0.0,
    ),
    "blower air, ground bridged": with_parts(blower_air, blower_ground_ohm=0.006),
    "blower wire to ground": lambda fleet: np.where(fleet.parameters["blower_short"] > 0.5, 0.1, 1e6),
    "blower motor resistance": _parameter("motor_ohm"),
    "resistor pack resistance": lambda fleet: np.where(
        fleet.parameters["pack_whole"] > 0.5, fleet.parameters["pack_1_ohm"], 1e6
    ),
    "blower command": _field("blower_command"),
    "heat command": lambda fleet: 100.0 * fleet.quantities["heat_asked"],
    "blend actuator": actuator_moves,
    "blend actuator supply": actuator_supply,
    "valve by hand": _parameter("valve_stem"),
    "valve cable end": _parameter("valve_linkage"),
    "blend cable end": _parameter("blend_linkage"),
    "vacuum at the door": lambda fleet: fleet.state[:, st.VACUUM] * fleet.parameters["blend_supply"],
    "sensor circuit resistance": sensor_ohm,
    "pressure drop, heater hoses pinched": with_parts(pressure_drop, leak_core=0.0),
    "feed hose bore": _parameter("feed_clear"),
    "core bore": _parameter("core_clear"),
    "return hose bore": _parameter("return_clear"),
    "fan on a fused lead": _parameter("fan_works"),
    "heater pump hum": heater_pump_hum,
    "air heater current": air_heater_current,
    "air at the blend door seal": _parameter("blend_leak"),
    "belt sound": lambda fleet: (
        (fleet.quantities["runs"] > 0.5)
        * ((fleet.parameters["pump_drive"] > 0.05) & (fleet.parameters["pump_drive"] < 0.93))
    ),
    "handbook": lambda fleet: np.zeros(len(fleet)),
}
"""Name to function of the fleet, each giving a float64 array (n,)."""
