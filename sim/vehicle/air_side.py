"""Air through blower, filter, core, blend and mode doors into the cabin at one moment."""

from __future__ import annotations

import math
from typing import Any

from sim.compile import jit
from sim.laws import air
from sim.vehicle.states import CABIN, DUCT, GLASS_WATER, HUMIDITY, JACKET

MIN_FACE = 0.05  # share of the core's face that air always finds (ours)
DUCT_CLEAN = 1.15  # what the duct's resistances sum to with a usual filter, where blower_m3_s is stated
CABIN_AIR_KG_M3 = 1.2  # air of the cabin (textbook, M)
GLASS_M2 = 1.3  # windscreen (ours)
GLASS_W_M2K, BLOWN_GLASS_W_M2K = 6.0, 20.0  # its inner film, and with the air on the screen (ours)
OUTER_GLASS_W_M2K, OUTER_PER_KMH = 12.0, 0.6  # its outer film standing, and more per km/h (textbook, M)
HALF_WET_KG, RUN_OFF_KG = 0.001, 0.06  # film of which half of the glass is wet, and which runs down (ours)
MIST_S = 60.0  # how fast mist, water beyond what the cabin's air can hold, settles [s] (ours)
RECIRCULATED = 0.85  # share of cabin air at the intake with the door on recirculation (ours)


@jit
def air_heater_share(jacket_C: Any) -> Any:
    """Share of its power that an electric air heater gets at a coolant temperature [degC]: all to 65, none from 75.

    An engine that can warm the air needs no help, and the alternator has other work. Source: common practice.

    >>> air_heater_share(20.0), air_heater_share(70.0), air_heater_share(80.0)
    (1.0, 0.5, 0.0)
    """
    return min(max((75.0 - jacket_C) / 10.0, 0.0), 1.0)


@jit
def duct_resistance(p: Any, q: Any) -> float:
    """Resistance [-] of filter, duct and the core's face, of a clean duct without a filter; needs q.blend.

    Source: resistances in series; the core's share of the duct is common practice, no source.
    """
    fins = max(p.core_fins, MIN_FACE)
    return 1.0 + p.filter_R + 0.3 * q.blend * (1.0 / (fins * fins) - 1.0)


@jit
def outlet_share(q: Any) -> float:
    """Air [-] at the outlet chosen, of that at the floor; needs q.mode. Source: common practice, no source."""
    return 1.1 if abs(q.mode - 1.0) < 0.5 else (1.0 if q.mode < 0.5 else 0.9)


@jit
def flow_share(p: Any, q: Any) -> float:
    """Air [-] that the blower's wheel moves, of that at the same speed through the usual duct; needs blend and mode.

    Source: flow falls with the root of the duct's resistance (textbook, M).
    """
    return outlet_share(q) * math.sqrt(DUCT_CLEAN / duct_resistance(p, q))


@jit
def evaluate_air(y: Any, p: Any, c: Any, q: Any) -> None:
    """Air flow [kg/s], its split by the blend door and the intake temperature [degC], into q.

    Needs the blower's speed and the door positions. Volume flow follows the wheel's speed (fan law) and falls with the
    root of the duct's resistance; road speed adds a little. Source: fan affinity laws (textbook, M).
    """
    duct = duct_resistance(p, q)
    outlet = outlet_share(q)
    wheel = p.blower_m3_s * q.blower_speed * p.wheel_grip
    fresh = 1.0 - RECIRCULATED * q.recirculation
    ram = p.ram_m3_s_kmh * c.kmh * fresh
    volume = outlet * math.sqrt((wheel * wheel + ram * ram) * DUCT_CLEAN / duct)
    q.intake_C = c.ambient_C + (y[CABIN] - c.ambient_C) * (1.0 - fresh)
    q.air_kg_s = volume * air.density(q.intake_C, c.atmosphere_kPa)
    hot = p.blend_leak + (1.0 - 2.0 * p.blend_leak) * q.blend
    q.core_air_kg_s = hot * q.air_kg_s


@jit
def evaluate_vents(y: Any, p: Any, c: Any, q: Any, core_C: float) -> None:
    """Heat to the air [W] and the temperature [degC] it leaves the vents with, into q; needs q.core_K.

    core_C [degC] is the coolant's temperature as it leaves the core. Motor and wheel warm the air by the blower's
    power. The walls of heater box and ducts take heat from it, or give it back; as their film grows nearly with the
    flow, by a share that does not depend on it. Source: heat balance of the air.
    """
    blown = q.blower_A * q.blower_V
    q.front_W = q.core_K * (core_C - q.intake_C)
    q.heater_W = q.front_W + q.rear_W
    stream = q.air_kg_s * air.HEAT_CAPACITY
    if stream < 0.2:
        q.raw_vent_C = y[CABIN]
        q.vent_C = y[CABIN]
        q.duct_W = 0.0
        return
    let = p.air_heater_works * q.runs * air_heater_share(y[JACKET])
    extra = 1000.0 * p.air_heater_kW * let * min(1.0, q.heat_asked * 2.0) * min(1.0, stream / 30.0)
    q.raw_vent_C = q.intake_C + (q.front_W + blown + extra) / stream
    q.vent_C = q.raw_vent_C - p.duct_share * (q.raw_vent_C - y[DUCT])
    q.duct_W = stream * (q.raw_vent_C - q.vent_C)


@jit
def evaluate_glass(y: Any, p: Any, c: Any, q: Any) -> None:
    """Temperature of the glass's inner face [degC] and the water it takes from the air or gives back [kg/s], into q.

    The glass lies between outside and cabin by its two films; air on the screen makes the inner one thicker by far.
    Where the air holds more than saturates it there, water condenses on the glass; where it holds less, the film dries.
    What the cabin's air itself cannot hold is mist. Needs the vents. Source: films in series, Lewis's analogy of heat
    and mass transfer (textbook, M).
    """
    on_screen = q.mode > 1.5 and q.air_kg_s > 0.01
    inner = BLOWN_GLASS_W_M2K if on_screen else GLASS_W_M2K
    share = inner / (inner + OUTER_GLASS_W_M2K + OUTER_PER_KMH * c.kmh)
    q.glass_C = c.ambient_C + share * max(y[CABIN] - c.ambient_C, 0.25 * (q.vent_C - c.ambient_C))
    holds = air.saturation_humidity_ratio(q.glass_C, c.atmosphere_kPa)
    excess = y[HUMIDITY] - holds
    passes = GLASS_M2 * inner / air.HEAT_CAPACITY
    film = max(y[GLASS_WATER], 0.0)
    if excess > 0.0:
        wet = max(1.0 - film / RUN_OFF_KG, 0.0)
        q.glass_water_slope = passes * excess / RUN_OFF_KG
    else:
        wet = film / (film + HALF_WET_KG)
        q.glass_water_slope = -passes * excess * HALF_WET_KG / ((film + HALF_WET_KG) * (film + HALF_WET_KG))
    q.glass_water_kg_s, q.condensing_slope = passes * wet * excess, passes * wet
    q.condensing_kg_s = q.glass_water_kg_s
    if excess > 0.0:
        mist = y[HUMIDITY] - air.saturation_humidity_ratio(y[CABIN], c.atmosphere_kPa)
        if mist > 0.0:
            settles = CABIN_AIR_KG_M3 * p.cabin_m3 / MIST_S
            q.condensing_slope += settles
            q.condensing_kg_s += settles * mist
