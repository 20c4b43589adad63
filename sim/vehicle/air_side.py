"""Air through blower, filter, core, blend and mode doors into the cabin."""

from __future__ import annotations

import math
from typing import Any

from sim.compile import jit
from sim.laws import air
from sim.laws.circuits import air_heater_ohm, load_share
from sim.vehicle.electric_heat import evaluate_heat_pump
from sim.vehicle.states import CABIN, DUCT, GLASS_WATER, HUMIDITY, JACKET

MIN_FACE = 0.05  # [-] share of the core's face that always stays open (estimate)
DUCT_CLEAN = 1.15  # [-] relative resistance of the duct with a normal filter, the reference of blower_m3_s
CABIN_AIR_KG_M3 = 1.2  # density of cabin air (textbook, M)
GLASS_M2 = 1.3  # [m2] windscreen (estimate)
# inner heat-transfer coefficient, without and with air on the screen (estimate)
GLASS_W_M2K, BLOWN_GLASS_W_M2K = 6.0, 20.0
# outer heat-transfer coefficient at standstill, and its increase per km/h (textbook, M)
OUTER_GLASS_W_M2K, OUTER_PER_KMH = 12.0, 0.6
# [kg] water on the glass: half of the area wet; the most it holds before it runs off (estimate)
HALF_WET_KG, RUN_OFF_KG = 0.001, 0.06
MIST_S = 60.0  # [s] time constant with which mist, water above the saturation of cabin air, settles (estimate)
EVAPORATOR_C = 4.0  # temperature that the evaporator is regulated to, and below which it rests (common practice)
EVAPORATOR = 0.8  # effectiveness of the evaporator [-] (common practice)
LEAST_REFRIGERANT = 0.3  # of a full charge, below which the pressure switch keeps the compressor off (estimate)
RAIN_KG_S = 60.0 / 3.6e6  # water that a blocked drain or an open seal lets in, over wet and dry hours (estimate)
RECIRCULATED = 0.85  # [-] share of cabin air at the intake with the door on recirculation (estimate)


@jit
def air_heater_share(jacket_C: Any) -> Any:
    """Share of its power that an electric air heater is allowed at coolant temperature jacket_C [degC], a float or
    array: 1 up to 65, 0 from 75.

    A warm engine needs no support, and the alternator has other loads. Source: common practice.

    >>> air_heater_share(20.0), air_heater_share(70.0), air_heater_share(80.0)
    (1.0, 0.5, 0.0)
    """
    return min(max((75.0 - jacket_C) / 10.0, 0.0), 1.0)


@jit
def compressor_runs(p: Any, c: Any, q: Any) -> float:
    """Whether the air conditioning's compressor runs [0 or 1]: engine and blower on, set to screen or recirculation.

    p, c, q as in ``sim.vehicle.states``. It stays off in cold air, where the evaporator would freeze, and without
    refrigerant. Source: common practice, no source.
    """
    if p.ac_fitted < 0.5 or q.runs < 0.5 or q.blower_speed < 0.05:
        return 0.0
    asked = c.vents > 1.5 or c.recirculation > 0.5
    works = p.ac_clutch > 0.5 and p.refrigerant > LEAST_REFRIGERANT
    return 1.0 if asked and works and c.ambient_C > EVAPORATOR_C else 0.0


@jit
def duct_resistance(p: Any, q: Any) -> float:
    """Resistance [-] of filter, duct and core face, relative to a clean duct without a filter; needs q.blend.

    p, q as in ``sim.vehicle.states``. Source: resistances in series; the core's share is common practice, no source.
    """
    fins = max(p.core_fins, MIN_FACE)
    return 1.0 + p.filter_R + 0.3 * q.blend * (1.0 / (fins * fins) - 1.0)


@jit
def outlet_share(q: Any) -> float:
    """Air flow [-] at the selected outlet, relative to the floor; needs q.mode. Source: common practice, no source."""
    return 1.1 if abs(q.mode - 1.0) < 0.5 else (1.0 if q.mode < 0.5 else 0.9)


@jit
def flow_share(p: Any, q: Any) -> float:
    """Air flow [-] of the blower wheel, relative to that at the same speed through the normal duct; needs blend and
    mode.

    p, q as in ``sim.vehicle.states``. Source: flow falls with the root of the duct's resistance (textbook, M).
    """
    return outlet_share(q) * math.sqrt(DUCT_CLEAN / duct_resistance(p, q))


@jit
def evaluate_air(y: Any, p: Any, c: Any, q: Any) -> None:
    """Air flow [kg/s], its split at the blend door, and intake temperature [degC], into q.

    y, p, c, q as in ``sim.vehicle.states``. Needs the blower speed and the door positions. Volume flow is proportional
    to wheel speed (fan law) and falls with the root of the duct's resistance; ram air adds a little. Source: fan
    affinity laws (textbook, M).
    """
    duct = duct_resistance(p, q)
    outlet = outlet_share(q)
    wheel = p.blower_m3_s * q.blower_speed * p.wheel_grip
    fresh = 1.0 - RECIRCULATED * q.recirculation
    ram = p.ram_m3_s_kmh * c.kmh * fresh
    volume = outlet * math.sqrt((wheel * wheel + ram * ram) * DUCT_CLEAN / duct)
    q.intake_C = c.ambient_C + (y[CABIN] - c.ambient_C) * (1.0 - fresh)
    q.dries = compressor_runs(p, c, q)
    if q.dries > 0.5:
        q.intake_C -= EVAPORATOR * max(q.intake_C - EVAPORATOR_C, 0.0)
    q.air_kg_s = volume * air.density(q.intake_C, c.atmosphere_kPa)
    hot_share = p.blend_leak + (1.0 - 2.0 * p.blend_leak) * q.blend
    q.core_air_kg_s = hot_share * q.air_kg_s
    q.heat_pump_W, q.core_in_C = 0.0, q.intake_C
    if p.heat_pump_kW > 0.0:
        evaluate_heat_pump(p, c, q)


@jit
def evaluate_vents(y: Any, p: Any, c: Any, q: Any, core_C: float) -> None:
    """Heat to the air [W] and vent temperature [degC], into q; needs q.core_K.

    y, p, c, q as in ``sim.vehicle.states``; core_C [degC]: coolant temperature at the core outlet. The blower's power
    heats the air. The walls of heater box and ducts exchange heat with it; their film coefficient grows nearly with the
    flow, so the exchanged share is independent of it. Source: heat balance of the air.
    """
    blower_W = q.blower_A * q.blower_V
    q.front_W = q.core_K * (core_C - q.core_in_C)
    q.heater_W = q.front_W + q.rear_W
    capacity_rate = q.air_kg_s * air.HEAT_CAPACITY
    if capacity_rate < 0.2:
        q.raw_vent_C = y[CABIN]
        q.vent_C = y[CABIN]
        q.duct_W = 0.0
        return
    air_heater_W = 0.0
    if p.air_heater_kW > 0.0:
        power_share = p.air_heater_works * q.runs * air_heater_share(y[JACKET])
        closed = min(p.air_heater_fuse, p.air_heater_relay)
        volts = load_share(closed, air_heater_ohm(p.air_heater_kW), p.air_heater_ground_ohm)
        air_heater_W = (
            1000.0 * p.air_heater_kW * power_share * min(1.0, q.heat_asked * 2.0) * min(1.0, capacity_rate / 30.0)
        )
        air_heater_W *= volts * volts
    q.raw_vent_C = q.intake_C + (q.front_W + blower_W + air_heater_W + q.heat_pump_W) / capacity_rate
    q.vent_C = q.raw_vent_C - p.duct_share * (q.raw_vent_C - y[DUCT])
    q.duct_W = capacity_rate * (q.raw_vent_C - q.vent_C)


@jit
def evaluate_glass(y: Any, p: Any, c: Any, q: Any) -> None:
    """Inner glass temperature [degC] and condensation or drying [kg/s], into q; needs the vents.

    y, p, c, q as in ``sim.vehicle.states``. The glass lies between outside and cabin, separated from each by its
    heat-transfer film; air on the screen raises the inner coefficient. Water condenses where cabin air is above
    saturation at the glass, and dries where it is below. Mist is water above the saturation of cabin air itself.
    Source: films in series, Lewis analogy of heat and mass transfer (textbook, M).
    """
    on_screen = q.mode > 1.5 and q.air_kg_s > 0.01
    inner = BLOWN_GLASS_W_M2K if on_screen else GLASS_W_M2K
    share = inner / (inner + OUTER_GLASS_W_M2K + OUTER_PER_KMH * c.kmh)
    q.glass_C = c.ambient_C + share * max(y[CABIN] - c.ambient_C, 0.25 * (q.vent_C - c.ambient_C))
    saturation = air.saturation_humidity_ratio(q.glass_C, c.atmosphere_kPa)
    excess = y[HUMIDITY] - saturation
    transfer = GLASS_M2 * inner / air.HEAT_CAPACITY
    water = max(y[GLASS_WATER], 0.0)
    if excess > 0.0:
        wet = max(1.0 - water / RUN_OFF_KG, 0.0)
        q.glass_water_slope = transfer * excess / RUN_OFF_KG
    else:
        wet = water / (water + HALF_WET_KG)
        q.glass_water_slope = -transfer * excess * HALF_WET_KG / ((water + HALF_WET_KG) * (water + HALF_WET_KG))
    q.glass_water_kg_s, q.condensing_slope = transfer * wet * excess, transfer * wet
    q.condensing_kg_s = q.glass_water_kg_s
    if excess > 0.0:
        mist = y[HUMIDITY] - air.saturation_humidity_ratio(y[CABIN], c.atmosphere_kPa)
        if mist > 0.0:
            settling = CABIN_AIR_KG_M3 * p.cabin_m3 / MIST_S
            q.condensing_slope += settling
            q.condensing_kg_s += settling * mist
