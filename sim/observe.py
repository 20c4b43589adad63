"""What a check looks at: true quantities of every vehicle, before any instrument."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim import scan_data
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
}
"""Name to function of the fleet, each giving a float64 array (n,)."""
