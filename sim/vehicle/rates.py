"""Differential-algebraic equations of the vehicle: algebraic variables, state rates, Jacobian of the fast loop."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws import air, coolant
from sim.laws.engine_heat import coolant_heat
from sim.laws.thermostat import lift_compliance, lift_rate, lift_slopes
from sim.vehicle.actuation import evaluate_actuation
from sim.vehicle.air_side import CABIN_AIR_KG_M3, RAIN_KG_S, RECIRCULATED, evaluate_air, evaluate_glass, evaluate_vents
from sim.vehicle.coolant_side import evaluate_conductances, evaluate_flows, evaluate_inventory, liquid_volume
from sim.vehicle.electric_heat import evaluate_coolant_heater
from sim.vehicle.electrics import evaluate_electrics
from sim.vehicle.states import (
    BAY,
    BLOCK,
    BOTTLE,
    CABIN,
    CARPET,
    CHARGE,
    COOLANT,
    CORE,
    CORE_AIR,
    DUCT,
    FEED,
    FEED_SKIN,
    GAS,
    GLASS_WATER,
    HEAT_HEATER,
    HEAT_IN,
    HEAT_LOSS,
    HEAT_RADIATOR,
    HUMIDITY,
    JACKET,
    LIFT,
    LOST,
    LOWER_SKIN,
    METAL,
    NECK_AIR,
    OVERHEATING,
    RADIATOR,
    REAR,
    REAR_AIR,
    RETURN,
    RETURN_SKIN,
    RUN,
    SENSOR,
    TRIM,
    UPPER,
    UPPER_SKIN,
    VACUUM,
    WAX,
)
from sim.vehicle.surroundings import evaluate_surroundings

HARMFUL_C = 130.0  # metal temperature above which gaskets and heads are damaged (common practice, no source)
BREATH_KG_S = 50.0 / 3.6e6  # water one person gives off at rest, 50 g/h (M)
BODY_W = 100.0  # sensible heat of one person at rest (M)
MIN_COOLANT_KG = (
    # coolant mass below which the heat capacity of the nodes no longer shrinks: their walls, 1.8 kJ/K of metal, remain
    0.5
)
STEAM_SHARE = 0.45  # temperature of a sensor in steam, between coolant (0) and outside air (1) (estimate)
STAGNANT_TO_METAL = (
    0.6  # temperature of stagnant coolant at the sensor, between jacket mean (0) and head metal (1) (estimate)
)
STEAM_LAG = 5.0  # relative increase of the sensor's lag in steam (estimate)


@jit
def evaluate(y: Any, p: Any, c: Any, s: Any, q: Any) -> None:
    """Fill the algebraic variables q from the state y.

    y, p, c, s, q as in ``sim.vehicle.states``. Source: the laws it calls.
    """
    evaluate_actuation(y, p, c, s, q)
    evaluate_electrics(y, p, c, s, q, y[CHARGE])
    evaluate_inventory(y, p, c, q)
    evaluate_surroundings(y, p, c, s, q)
    evaluate_flows(y, p, c, q)
    evaluate_air(y, p, c, q)
    evaluate_conductances(y, p, c, q)
    evaluate_vents(y, p, c, q, y[CORE])
    evaluate_glass(y, p, c, q)

    q.heat_in_W = coolant_heat(
        q.rpm, q.work_kW, y[METAL], p.heat_at_1000, p.heat_speed_exponent, p.heat_per_work, p.cold_extra
    )
    q.coolant_heater_W = 0.0
    if p.coolant_heater_kW > 0.0:
        evaluate_coolant_heater(p, c, s, q)
        q.heat_in_W += q.coolant_heater_W
    q.block_loss_W = p.block_loss_W_K * (1.0 + p.block_loss_per_kmh * c.kmh) * (y[BLOCK] - c.ambient_C)
    # Leaving coolant carries the loop's mean energy, so node temperatures do not depend on where it leaves.
    c0, c1 = coolant.heat_capacity_coefficients(p.glycol)
    mean = mean_energy(y, p, c0, c1, q.freezing_C)
    bottle = energy(q.bay_C, c0, c1, q.freezing_C)
    left = q.cap_liquid_kg_s + q.leak_kg_s + q.steam_kg_s
    q.enthalpy_out_W = left * mean - q.drawn_kg_s * bottle + q.steam_kg_s * coolant.latent_heat(y[JACKET])
    # the heat capacity of the nodes no longer shrinks, so leaving coolant takes none of their heat
    if y[COOLANT] < MIN_COOLANT_KG:
        q.enthalpy_out_W -= (left - q.drawn_kg_s) * mean
    q.hose_loss_W = p.hose_wall_W_K * (y[FEED] - y[FEED_SKIN] + y[RETURN] - y[RETURN_SKIN])
    q.hose_loss_W += p.big_hose_wall_W_K * (y[UPPER] - y[UPPER_SKIN] + y[RADIATOR] - y[LOWER_SKIN])
    q.radiator_W = q.radiator_K * (y[RADIATOR] - c.ambient_C)
    q.loss_W = q.block_loss_W + q.hose_loss_W + q.enthalpy_out_W


@jit
def energy(temperature: float, c0: float, c1: float, freezing: float) -> float:
    """Energy of coolant [J/kg] relative to liquid at 0 degC: c0 T + c1 T^2/2, less the latent heat of its ice.

    c0, c1: coefficients from ``coolant``; temperature, freezing [degC]. Source: integral of cp; ``coolant.ice_share``.
    """
    liquid = (c0 + 0.5 * c1 * temperature) * temperature
    if temperature >= freezing:
        return liquid
    return liquid - coolant.LATENT_ICE * coolant.ice_share(temperature, freezing)


@jit
def energy_slope(temperature: float, c0: float, c1: float, freezing: float) -> float:
    """Derivative of ``energy`` by temperature [J/(kg K)]: apparent heat capacity, freezing included. Source: as
    ``energy``.
    """
    liquid = c0 + c1 * temperature
    if temperature >= freezing:
        return liquid
    return liquid + coolant.LATENT_ICE * coolant.ice_slope(temperature, freezing)


@jit
def mean_energy(y: Any, p: Any, c0: float, c1: float, freezing: float) -> float:
    """Volume-weighted mean energy of the loop's coolant [J/kg].

    y, p as in ``sim.vehicle.states``; c0, c1, freezing as in ``energy``. Source: definition.
    """
    return (
        p.jacket_L * energy(y[JACKET], c0, c1, freezing)
        + p.upper_hose_L * energy(y[UPPER], c0, c1, freezing)
        + p.radiator_L * energy(y[RADIATOR], c0, c1, freezing)
        + p.feed_hose_L * energy(y[FEED], c0, c1, freezing)
        + p.core_L * energy(y[CORE], c0, c1, freezing)
        + p.return_hose_L * energy(y[RETURN], c0, c1, freezing)
        + p.rear_L * energy(y[REAR], c0, c1, freezing)
    ) / liquid_volume(p)


@jit
def stored_heat(y: Any, p: Any) -> float:
    """Heat [J] stored in metal and coolant relative to 0 degC; hose rubber counts as lost.

    y, p as in ``sim.vehicle.states``. Source: definition.
    """
    c0, c1 = coolant.heat_capacity_coefficients(p.glycol)
    coolant_J = max(y[COOLANT], MIN_COOLANT_KG) * mean_energy(y, p, c0, c1, coolant.freezing_point(p.glycol))
    return 1000.0 * (p.metal_kJ_K * y[METAL] + p.block_kJ_K * y[BLOCK]) + coolant_J


@jit
def rates(y: Any, p: Any, c: Any, s: Any, q: Any, dy: Any) -> None:
    """Rates of change dy of the state [its units per s]; fills q on the way.

    One heat balance per node, with flows carrying the coolant's energy u(T), and one mass balance. y, p, c, s, q, dy as
    in ``sim.vehicle.states``. Source: conservation of heat and mass.
    """
    evaluate(y, p, c, s, q)
    c0, c1 = coolant.heat_capacity_coefficients(p.glycol)
    liquid_L = liquid_volume(p)
    kg_per_L = max(y[COOLANT], MIN_COOLANT_KG) / liquid_L
    freezing = q.freezing_C
    u_jacket, u_upper, u_radiator = (
        energy(y[JACKET], c0, c1, freezing),
        energy(y[UPPER], c0, c1, freezing),
        energy(y[RADIATOR], c0, c1, freezing),
    )
    u_feed, u_core, u_return = (
        energy(y[FEED], c0, c1, freezing),
        energy(y[CORE], c0, c1, freezing),
        energy(y[RETURN], c0, c1, freezing),
    )
    mr, mh = q.radiator_kg_s, q.heater_kg_s
    bottle = energy(q.bay_C, c0, c1, freezing)
    mixing = q.drawn_kg_s / liquid_L  # coolant drawn back is spread over the nodes by volume

    to_block = q.metal_block * (y[METAL] - y[BLOCK])
    to_jacket = q.metal_UA * (y[METAL] - y[JACKET])
    dy[METAL] = (q.heat_in_W * (1.0 - p.oil_share) - to_jacket - to_block) / (1000.0 * p.metal_kJ_K)
    dy[BLOCK] = (q.heat_in_W * p.oil_share + to_block - q.block_loss_W) / (1000.0 * p.block_kJ_K)

    creep_feed = q.feed_creep * (y[JACKET] - y[FEED])
    creep_return = q.return_creep * (y[JACKET] - y[RETURN])
    creep_upper = q.upper_creep * (y[JACKET] - y[UPPER])
    rear_J = q.rear_kg_s * (u_jacket - energy(y[REAR], c0, c1, freezing))
    heat = to_jacket + mr * (u_radiator - u_jacket) + mh * (u_return - u_jacket) - rear_J
    heat -= creep_feed + creep_return + creep_upper + q.steam_kg_s * coolant.latent_heat(y[JACKET])
    cp = energy_slope(y[JACKET], c0, c1, freezing)
    dy[JACKET] = node_rate(heat, u_jacket, bottle, mixing, kg_per_L, p.jacket_L, cp)
    heat = mr * (u_jacket - u_upper) + creep_upper - p.big_hose_wall_W_K * (y[UPPER] - y[UPPER_SKIN])
    cp = energy_slope(y[UPPER], c0, c1, freezing)
    dy[UPPER] = node_rate(heat, u_upper, bottle, mixing, kg_per_L, p.upper_hose_L, cp)
    heat = mr * (u_upper - u_radiator) - q.radiator_W - p.big_hose_wall_W_K * (y[RADIATOR] - y[LOWER_SKIN])
    cp = energy_slope(y[RADIATOR], c0, c1, freezing)
    dy[RADIATOR] = node_rate(heat, u_radiator, bottle, mixing, kg_per_L, p.radiator_L, cp)
    heat = mh * (u_jacket - u_feed) + creep_feed - p.hose_wall_W_K * (y[FEED] - y[FEED_SKIN])
    cp = energy_slope(y[FEED], c0, c1, freezing)
    dy[FEED] = node_rate(heat, u_feed, bottle, mixing, kg_per_L, p.feed_hose_L, cp)
    heat = mh * (u_feed - u_core) - q.front_W
    cp = energy_slope(y[CORE], c0, c1, freezing)
    dy[CORE] = node_rate(heat, u_core, bottle, mixing, kg_per_L, p.core_L, cp)
    heat = mh * (u_core - u_return) + creep_return - p.hose_wall_W_K * (y[RETURN] - y[RETURN_SKIN])
    cp = energy_slope(y[RETURN], c0, c1, freezing)
    dy[RETURN] = node_rate(heat, u_return, bottle, mixing, kg_per_L, p.return_hose_L, cp)

    dy[REAR], dy[REAR_AIR] = 0.0, 0.0
    if p.rear_L > 0.0:
        u_rear, cp = energy(y[REAR], c0, c1, freezing), energy_slope(y[REAR], c0, c1, freezing)
        dy[REAR] = node_rate(rear_J - q.rear_W, u_rear, bottle, mixing, kg_per_L, p.rear_L, cp)
        dy[REAR_AIR] = -y[REAR_AIR] / p.purge_s * min(max(q.branch_dp / p.rear_lock_kPa - 1.0, 0.0), 3.0)

    dy[WAX] = (q.sensed_C - y[WAX]) / p.wax_s
    dy[LIFT] = lift_rate(y[LIFT], y[WAX], p.opens_C, p.span_K, p.hysteresis_K, p.lift_s, p.lift_least, p.lift_most)
    dy[LIFT] += dy[WAX] * lift_compliance(y[WAX], p.opens_C, p.span_K, p.hysteresis_K, p.lift_least, p.lift_most)

    film = p.film_still_W_m2K + q.air_moves * (p.film_moving_W_m2K - p.film_still_W_m2K)
    small, big = film * p.hose_area_m2, film * p.big_hose_area_m2
    dy[FEED_SKIN] = skin_rate(y[FEED], y[FEED_SKIN], q.bay_C, p.hose_wall_W_K, small, p.hose_skin_J_K)
    dy[RETURN_SKIN] = skin_rate(y[RETURN], y[RETURN_SKIN], q.bay_C, p.hose_wall_W_K, small, p.hose_skin_J_K)
    dy[UPPER_SKIN] = skin_rate(y[UPPER], y[UPPER_SKIN], q.bay_C, p.big_hose_wall_W_K, big, p.big_hose_skin_J_K)
    dy[LOWER_SKIN] = skin_rate(y[RADIATOR], y[LOWER_SKIN], q.bay_C, p.big_hose_wall_W_K, big, p.big_hose_skin_J_K)

    capacity_rate = q.air_kg_s * air.HEAT_CAPACITY
    shell = p.shell_W_K * (1.0 + p.shell_per_kmh * c.kmh)
    to_trim = p.trim_W_K * (y[CABIN] - y[TRIM])
    to_cabin = p.duct_W_K * (y[DUCT] - y[CABIN])
    cabin = (
        q.rear_W
        + capacity_rate * (q.vent_C - y[CABIN])
        + to_cabin
        - shell * (y[CABIN] - c.ambient_C)
        - to_trim
        + BODY_W * c.occupants
    )
    dy[CABIN] = cabin / (1000.0 * p.cabin_air_kJ_K)
    dy[TRIM] = to_trim / (1000.0 * p.trim_kJ_K)
    dy[DUCT] = (q.duct_W - to_cabin) / (1000.0 * p.duct_kJ_K)
    engine_C = 0.5 * (y[METAL] + y[BLOCK])  # what the air under the bonnet exchanges heat with: head and block
    dy[BAY] = (q.bay_share * (engine_C - c.ambient_C) - q.bay_flush * (y[BAY] - c.ambient_C)) / p.bay_s

    overflowing = q.cap_liquid_kg_s
    if p.has_bottle > 0.5:
        room = min(max((p.bottle_room_L - y[BOTTLE]) / 0.02, 0.0), 1.0)
        overflowing *= 1.0 - room * c.cap
    into_bottle = q.cap_liquid_kg_s - overflowing
    lost = overflowing + q.leak_kg_s + q.steam_kg_s
    dy[BOTTLE] = into_bottle - q.drawn_kg_s
    dy[LOST] = lost
    dy[COOLANT] = -(into_bottle + lost - q.drawn_kg_s)
    dy[GAS] = q.drawn_gas_rate - q.cap_gas_rate + q.combustion_rate
    dy[CORE_AIR] = q.core_air_rate
    dy[NECK_AIR] = q.neck_air_rate
    dy[GLASS_WATER] = q.glass_water_kg_s
    drying = 2e-5 * y[CARPET] * max(y[CABIN] + 10.0, 0.0) / 30.0
    dy[CARPET] = q.core_leak_kg_s + RAIN_KG_S * (2.0 - p.scuttle_drain - p.intake_seal) - drying
    fresh_air = q.air_kg_s * (1.0 - RECIRCULATED * q.recirculation) + 0.002
    moisture = fresh_air * (c.outside_humidity - y[HUMIDITY]) + BREATH_KG_S * c.occupants + drying - q.condensing_kg_s
    if q.dries > 0.5:  # the evaporator leaves air no wetter than saturated
        mixed = c.outside_humidity + RECIRCULATED * q.recirculation * (y[HUMIDITY] - c.outside_humidity)
        moisture -= q.air_kg_s * max(mixed - air.saturation_humidity_ratio(q.intake_C, c.atmosphere_kPa), 0.0)
    dy[HUMIDITY] = moisture / (CABIN_AIR_KG_M3 * p.cabin_m3)

    drawn_A = q.blower_A + q.base_A
    dy[CHARGE] = (30.0 * (1.0 - y[CHARGE]) if q.runs * p.charging_works > 0.5 else -drawn_A) / (60.0 * 3600.0)
    load = min(q.work_kW / 30.0, 1.0)
    manifold = p.vacuum_kPa * (1.0 - 0.85 * load) * q.runs
    dy[VACUUM] = (manifold - y[VACUUM]) / (0.5 if manifold > y[VACUUM] or p.check_valve < 0.5 else 1800.0)
    dy[RUN] = q.runs
    dy[OVERHEATING] = max(y[METAL] - HARMFUL_C, 0.0) / 60.0
    surrounding = y[JACKET] + STAGNANT_TO_METAL * q.stagnation * (y[METAL] - y[JACKET])
    if p.coolant_heater_kW > 0.0:  # the sensor sits in the coolant heater's outlet, away from its elements
        surrounding = y[JACKET]
    sensed = surrounding + STEAM_SHARE * q.sensor_dry * (c.ambient_C - surrounding)
    dy[SENSOR] = (sensed - y[SENSOR]) / (p.sensor_s * (1.0 + STEAM_LAG * q.sensor_dry))

    dy[HEAT_IN] = q.heat_in_W
    dy[HEAT_HEATER] = q.heater_W
    dy[HEAT_RADIATOR] = q.radiator_W
    dy[HEAT_LOSS] = q.loss_W


@jit
def node_rate(heat: float, u: float, bottle: float, mixing: float, kg_per_L: float, litres: float, cp: float) -> float:
    """Rate [K/s] of a coolant node: heat [W] and returning coolant, over its heat capacity.

    u, bottle [J/kg]: energy of its own and of the bottle's coolant; mixing [kg/s per L]; litres [L]; cp [J/(kg K)].
    Source: heat balance.
    """
    return (heat + mixing * litres * (bottle - u)) / (kg_per_L * litres * cp)


@jit
def skin_rate(inner: float, skin: float, outer: float, wall: float, film: float, store: float) -> float:
    """Rate [K/s] of a hose skin between coolant and air.

    inner, skin, outer [degC]; wall, film [W/K]: conductances to either side; store [J/K]: heat capacity. Source: heat
    balance.
    """
    return (wall * (inner - skin) - film * (skin - outer)) / store


@jit
def jacobian(y: Any, p: Any, q: Any, J: Any) -> None:
    """Approximate Jacobian of the fast loop's rates, (STIFF, STIFF) [per s], into J.

    y, p, q as in ``sim.vehicle.states``, q from the last call of ``rates`` at y; J: float64 (STIFF, STIFF). Built from
    the conductances in q; of the flows only the dependence on the thermostat's lift is included. A W-method keeps its
    order with such a Jacobian. Source: derivative of ``rates``.
    """
    J[:, :] = 0.0
    c0, c1 = coolant.heat_capacity_coefficients(p.glycol)
    cp = c0 + c1 * y[JACKET]
    liquid_L = liquid_volume(p)
    store = max(y[COOLANT], MIN_COOLANT_KG) / liquid_L * cp  # J/K per L
    mr, mh = q.radiator_kg_s * cp, q.heater_kg_s * cp
    per_lift = q.radiator_kg_s_per_lift * cp

    metal = 1000.0 * p.metal_kJ_K
    J[METAL, METAL] = -(q.metal_UA + q.metal_block) / metal
    J[METAL, JACKET] = q.metal_UA / metal
    C = store * p.jacket_L
    J[JACKET, METAL] = q.metal_UA / C
    J[JACKET, JACKET] = -(q.metal_UA + mr + mh + q.rear_kg_s * cp + q.feed_creep + q.return_creep + q.upper_creep) / C
    J[JACKET, UPPER] = q.upper_creep / C
    J[JACKET, RADIATOR] = mr / C
    J[JACKET, FEED] = q.feed_creep / C
    J[JACKET, RETURN] = (mh + q.return_creep) / C
    J[JACKET, LIFT] = per_lift * (y[RADIATOR] - y[JACKET]) / C
    C = store * p.upper_hose_L
    J[UPPER, JACKET] = (mr + q.upper_creep) / C
    J[UPPER, UPPER] = -(mr + q.upper_creep + p.big_hose_wall_W_K) / C
    J[UPPER, LIFT] = per_lift * (y[JACKET] - y[UPPER]) / C
    C = store * p.radiator_L
    J[RADIATOR, UPPER] = mr / C
    J[RADIATOR, RADIATOR] = -(mr + q.radiator_K + p.big_hose_wall_W_K) / C
    J[RADIATOR, LIFT] = per_lift * (y[UPPER] - y[RADIATOR]) / C
    C = store * p.feed_hose_L
    J[FEED, JACKET] = (mh + q.feed_creep) / C
    J[FEED, FEED] = -(mh + q.feed_creep + p.hose_wall_W_K) / C
    C = store * p.core_L
    J[CORE, FEED] = mh / C
    J[CORE, CORE] = -(mh + q.core_K) / C
    C = store * p.return_hose_L
    J[RETURN, JACKET] = q.return_creep / C
    J[RETURN, CORE] = mh / C
    J[RETURN, RETURN] = -(mh + q.return_creep + p.hose_wall_W_K) / C

    J[WAX, WAX] = -1.0 / p.wax_s
    if p.at_inlet > 0.5 and q.pump_flow > 0.0:
        J[WAX, JACKET] = q.bypass_flow / q.pump_flow / p.wax_s
        J[WAX, RADIATOR] = q.radiator_flow / q.pump_flow / p.wax_s
        J[WAX, RETURN] = q.heater_flow / q.pump_flow / p.wax_s
    else:
        J[WAX, JACKET] = 1.0 / p.wax_s
    by_wax, by_lift = lift_slopes(
        y[LIFT], y[WAX], p.opens_C, p.span_K, p.hysteresis_K, p.lift_s, p.lift_least, p.lift_most
    )
    J[LIFT, WAX] = by_wax
    J[LIFT, LIFT] = by_lift
    give = lift_compliance(y[WAX], p.opens_C, p.span_K, p.hysteresis_K, p.lift_least, p.lift_most)
    for node in (WAX, JACKET, RADIATOR, RETURN):
        J[LIFT, node] += give * J[WAX, node]
