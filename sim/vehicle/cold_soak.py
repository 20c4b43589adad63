"""Cold soak: the state of a vehicle after a night's standing, everything at ambient, filled as its parameters say."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws import coolant
from sim.laws.pressure import ATMOSPHERE, COLLAPSED_SHARE, ROOM_K, SEALS_KPA, hose_volume
from sim.vehicle import states as st
from sim.vehicle.coolant_side import capacity


@jit
def cold_soak(y: Any, p: Any, ambient: float, atmosphere: float, humidity: float) -> None:
    """Write into y the state of a vehicle that has stood at ambient [degC] overnight.

    y: state, p: parameters, as in ``sim.vehicle.states``; atmosphere [kPa]; humidity [kg/kg]. Missing coolant is
    replaced by air, first at the top of the radiator, the rest in the heater core, at atmospheric pressure plus what
    trapped gas holds. Source: ideal gas law.
    """
    for i in range(st.STATES):
        y[i] = ambient if i < st.TEMPERATURES else 0.0
    y[st.REAR] = y[st.SENSOR] = y[st.BAY] = y[st.DUCT] = ambient
    y[st.LIFT] = p.lift_least
    y[st.CHARGE], y[st.HUMIDITY] = 0.95, humidity
    y[st.CARPET] = p.carpet_g / 1000.0
    kg_per_L = coolant.density(ambient, p.glycol) / 1000.0
    trapped, rear_air = p.core_air_share * p.core_L, p.rear_air_share * p.rear_L
    air_L = max(p.missing_L, 0.0) + trapped + rear_air
    vapour = coolant.saturation_pressure(ambient, p.glycol)
    y[st.COOLANT] = (capacity(p) - p.tank_air_L - air_L) * kg_per_L
    y[st.BOTTLE] = p.bottle_L * kg_per_L * p.has_bottle
    swell_L = p.compliance_L_kPa * p.morning_kPa
    y[st.GAS] = (
        (max(p.missing_L, 0.0) * p.cap_breathes + trapped + rear_air + p.tank_air_L + swell_L)
        * max(atmosphere + p.morning_kPa - vapour, 0.0)
        * ROOM_K
        / (ambient + 273.15)
    )
    # With a stuck vacuum valve in the cap, cooling has left a vacuum, limited by the air its seals let in.
    held_L = air_L + p.tank_air_L + hose_volume(-SEALS_KPA, p.compliance_L_kPa, COLLAPSED_SHARE * p.upper_hose_L)
    least_gas = max(held_L, 0.0) * max(atmosphere - SEALS_KPA - vapour, 0.0) * ROOM_K / (ambient + 273.15)
    if p.cap_breathes < 0.5:
        y[st.GAS] = max(y[st.GAS], least_gas)
    y[st.REAR_AIR] = rear_air
    spilled = max(p.missing_L * p.cap_breathes - p.neck_free_L, 0.0)
    y[st.CORE_AIR] = min(trapped + spilled, p.core_L)
    y[st.NECK_AIR] = max(y[st.GAS] / ATMOSPHERE - p.tank_air_L - y[st.CORE_AIR] - rear_air, 0.0)


@jit
def cold_soak_fleet(Y: Any, P: Any, ambient: float, atmosphere: float, humidity: float) -> None:
    """``cold_soak`` for every vehicle: Y, P as in ``sim.vehicle.states``. Source: there."""
    for i in range(len(Y)):
        cold_soak(Y[i], P[i], ambient, atmosphere, humidity)
