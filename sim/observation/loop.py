"""Quantities at the coolant loop and its sensor, before any instrument; each function returns an array (n,)."""

from __future__ import annotations

import numpy as np

from sim.compile import jit
from sim.fleet import Fleet
from sim.laws import coolant
from sim.laws.actuators import SENSOR_CONTACT
from sim.laws.circuits import OPEN_OHM
from sim.observation import scan_data
from sim.vehicle import states as st


def pcm_temperature(fleet: Fleet) -> np.ndarray:
    """Coolant temperature [degC] as the engine computer sees it and sends to gauge and scan tool. Shape (n,).

    Resistance in the sensor circuit makes it read low; without a valid signal it is the computer's default value.
    """
    p, out = fleet.parameters, fleet.algebraic["pcm_C"].copy()
    _through_circuit(out, np.where(fleet.algebraic["sensor_ok"] > 0.5, p["sensor_ohm_extra"], 0.0))
    return out


@jit
def _through_circuit(believed: np.ndarray, extra: np.ndarray) -> None:
    for i in range(len(believed)):
        if extra[i] != 0.0:
            ohm = scan_data.thermistor_resistance(believed[i]) + extra[i]
            believed[i] = scan_data.temperature_from_voltage(scan_data.sensor_voltage(ohm))


def gauge_needle(fleet: Fleet) -> np.ndarray:
    """Position of the dash gauge, 0 cold to 1 hot, with the usual plateau between 75 and 105 degC. Shape (n,).

    Source: common practice, no source.
    """
    p = fleet.parameters
    needle = np.interp(pcm_temperature(fleet), [40.0, 75.0, 105.0, 120.0, 130.0], [0.0, 0.5, 0.5, 0.9, 1.0])
    live = (fleet.controls["ignition"] > 0.5) & (p["gauge_works"] > 0.5)
    return np.where(live, needle, np.where(fleet.controls["ignition"] > 0.5, p["gauge_rest"], 0.0))


def neck_shortfall(fleet: Fleet) -> np.ndarray:
    """Coolant missing at the filler [L], cap off and hoses relaxed, without the air in the cores. Shape (n,)."""
    locked = fleet.state[:, st.CORE_AIR] + fleet.state[:, st.REAR_AIR]
    return np.maximum(fleet.algebraic["void_L"] - locked, 0.0)


def bottle_level(fleet: Fleet) -> np.ndarray:
    """Level of the overflow bottle, or of an expansion tank, above its cold-fill line [L]. Shape (n,)."""
    q, p = fleet.algebraic, fleet.parameters
    bottle = fleet.state[:, st.BOTTLE] / 1.05 - p["bottle_line_L"]
    tank = p["tank_air_L"] - q["gas_L"] + fleet.state[:, st.CORE_AIR] + fleet.state[:, st.REAR_AIR]
    return np.where(p["has_bottle"] > 0.5, bottle, tank)


COOLANT_J_KG_K = 3500.0  # heat capacity of normal coolant, warm (CoolProp)
STUB_W_K = 2.5  # heat exchange of coolant in a stub hose with the adjacent core (estimate)


def _stub_skin(fleet: Fleet, coolant: np.ndarray) -> np.ndarray:
    """Skin [degC] of a short hose end that holds coolant [degC]: steady heat balance of a heater hose's skin."""
    p, q = fleet.parameters, fleet.algebraic
    film = p["film_still_W_m2K"] + q["air_moves"] * (p["film_moving_W_m2K"] - p["film_still_W_m2K"])
    wall, outside = p["hose_wall_W_K"], film * p["hose_area_m2"]
    return q["bay_C"] + wall / (wall + outside) * (coolant - q["bay_C"])


def valve_inlet_skin(fleet: Fleet) -> np.ndarray:
    """Skin [degC] of the hose end on the engine side of the heater valve. Shape (n,)."""
    at_engine = fleet.parameters["valve_at_engine"] > 0.5
    return np.where(at_engine, _stub_skin(fleet, fleet.state[:, st.JACKET]), fleet.state[:, st.FEED_SKIN])


def valve_outlet_skin(fleet: Fleet) -> np.ndarray:
    """Skin [degC] of the hose end on the core side of the heater valve. Shape (n,).

    A valve at the core has only a stub hose there. Flow keeps it as warm as the feed hose; stagnant coolant in it
    follows the core.
    """
    at_engine = fleet.parameters["valve_at_engine"] > 0.5
    capacity_rate = fleet.algebraic["heater_kg_s"] * COOLANT_J_KG_K
    share = capacity_rate / (capacity_rate + STUB_W_K)
    stub = fleet.state[:, st.CORE] + share * (fleet.state[:, st.FEED] - fleet.state[:, st.CORE])
    return np.where(at_engine, fleet.state[:, st.FEED_SKIN], _stub_skin(fleet, stub))


def coolant_on_paper(fleet: Fleet) -> np.ndarray:
    """Coolant in the carpet [kg of normal mixture], by its dye: plain water has none. Shape (n,)."""
    return _coolant_in_carpet(fleet) * fleet.parameters["glycol"] / 0.5


def _coolant_in_carpet(fleet: Fleet) -> np.ndarray:
    return fleet.state[:, st.CARPET] * (1.0 - fleet.parameters["carpet_rain"])


def hose_firmness(fleet: Fleet) -> np.ndarray:
    """Pressure in the upper radiator hose [kPa], felt by squeezing it; below 0 the hose is sucked flat. Shape (n,)."""
    return fleet.algebraic["pressure_kPa"].copy()


def feed_suction(fleet: Fleet) -> np.ndarray:
    """Share of its bore that the feed hose loses when revved, or to a kink. Shape (n,)."""
    p, q = fleet.parameters, fleet.algebraic
    return 1.0 - p["feed_clear"] * (1.0 - p["feed_soft"] * np.minimum(q["rpm"] / 2500.0, 1.0))


def cap_opening(fleet: Fleet) -> np.ndarray:
    """Opening pressure [kPa] of the cap on a cap tester. Shape (n,)."""
    return fleet.parameters["cap_kPa"] * fleet.parameters["cap_seal"]


def freezing_protection(fleet: Fleet) -> np.ndarray:
    """Freezing point [degC] of the coolant. Shape (n,)."""
    out = fleet.parameters["glycol"].copy()
    _freezing_points(out)
    return out


@jit
def _freezing_points(glycol: np.ndarray) -> None:
    for i in range(len(glycol)):
        glycol[i] = coolant.freezing_point(glycol[i])


def combustion_gas(fleet: Fleet) -> np.ndarray:
    """Combustion gas reaching the filler [kPa L/s], only with the engine running. Shape (n,)."""
    return fleet.algebraic["combustion_rate"].copy()


def belt_state(fleet: Fleet) -> np.ndarray:
    """0 sound, 1 slack or glazed, 2 gone. Shape (n,)."""
    drive = fleet.parameters["pump_drive"]
    return np.where(drive < 0.05, 2.0, np.where(drive < 0.93, 1.0, 0.0))


def fan_turns(fleet: Fleet) -> np.ndarray:
    """Air flow of the radiator fan, relative to its maximum. Shape (n,)."""
    return fleet.algebraic["fan_share"].copy()


def thermostat_in_pot(fleet: Fleet) -> np.ndarray:
    """Opening temperature [degC] of the thermostat, removed and heated in a pot. Shape (n,).

    Stuck open: already open in cold water; stuck closed: never opens below boiling.
    """
    p = fleet.parameters
    closed = p["lift_most"] < 0.1
    missing = p["lift_least"] > 0.95
    return np.select([missing], [-20.0], np.where(p["lift_least"] > 0.01, 15.0, np.where(closed, 110.0, p["opens_C"])))


def sensor_ohm(fleet: Fleet) -> np.ndarray:
    """Resistance [ohm] of the coolant sensor and its wires, at the engine computer's connector. Shape (n,)."""
    p, q = fleet.parameters, fleet.algebraic
    out = q["sensor_C"] + p["sensor_offset_K"]
    loose = (p["contact_of"] == SENSOR_CONTACT) & (q["contact"] < 0.5)
    _resistances(out)
    return np.where(p["sensor_short"] > 0.5, 0.0, np.where(loose, OPEN_OHM, out + p["sensor_ohm_extra"]))


@jit
def _resistances(temperatures: np.ndarray) -> None:
    for i in range(len(temperatures)):
        temperatures[i] = scan_data.thermistor_resistance(temperatures[i])


def radiator_patch(fleet: Fleet) -> np.ndarray:
    """Temperature difference [K] between the coldest part of the radiator face and the rest, from blocked tubes. Shape
    (n,).
    """
    hot = np.maximum(fleet.state[:, st.UPPER] - fleet.controls["ambient_C"], 0.0)
    return hot * (1.0 - fleet.parameters["radiator_clear"])


def sweet_smell(fleet: Fleet) -> np.ndarray:
    """Smell of coolant in the cabin: leaking now [g/min], plus a tenth of what is in the carpet [g]. Shape (n,)."""
    return fleet.algebraic["core_leak_kg_s"] * 60000.0 + 100.0 * _coolant_in_carpet(fleet)
