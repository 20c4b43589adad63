"""Approximate Jacobian of the states outside the fast loop.

Each of them is coupled to at most one other state, so one division solves for it once that one is known. The exception
is the loop's inventory: coolant and gas flow by the pressure, which depends on both of them and on the temperatures.
That coupling is stored as the derivatives of the pressure and of the flows by it.

Arguments as in ``sim.vehicle.states``; D: float64 (ROWS, STATES).
"""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws import air, coolant
from sim.laws.pressure import AIR_OVER_LIQUID_L, ATMOSPHERE, ROOM_K, SEALS_KPA, SEALS_L_S_KPA, STATIC_HEAD, seep_slope
from sim.vehicle.air_side import CABIN_AIR_KG_M3, RECIRCULATED
from sim.vehicle.coolant_side import LAST_KG, NECK_L, SMALL_L, liquid_volume, mean_temperature, outer_leaks
from sim.vehicle.rates import MIN_COOLANT_KG, STAGNANT_TO_METAL, STEAM_LAG, STEAM_SHARE
from sim.vehicle.states import (
    BAY,
    BLOCK,
    BOTTLE,
    CABIN,
    CARPET,
    COOLANT,
    CORE,
    CORE_AIR,
    DUCT,
    FEED,
    FEED_SKIN,
    GAS,
    GLASS_WATER,
    HEAT_HEATER,
    HEAT_RADIATOR,
    HUMIDITY,
    JACKET,
    LIFT,
    LOST,
    LOWER_SKIN,
    METAL,
    NECK_AIR,
    RADIATOR,
    REAR,
    REAR_AIR,
    RETURN,
    RETURN_SKIN,
    SENSOR,
    STATES,
    STIFF,
    TRIM,
    UPPER,
    UPPER_SKIN,
    VACUUM,
    WAX,
)

NEARLY_OPEN_KPA, SOON_S = 1.0, 1.0
"""The cap counts as open if gas entering the loop would open it within so many seconds, from so little below."""
COUPLED = (
    (BLOCK, METAL),
    (FEED_SKIN, FEED),
    (RETURN_SKIN, RETURN),
    (UPPER_SKIN, UPPER),
    (LOWER_SKIN, RADIATOR),
    (CABIN, CORE),
    (TRIM, CABIN),
    (HEAT_HEATER, CORE),
    (HEAT_RADIATOR, RADIATOR),
    (REAR, JACKET),
    (SENSOR, JACKET),
    (BAY, BLOCK),
    (DUCT, CORE),
)
"""Slow states and the state each is coupled to: one of the fast loop, or one solved before."""

DAMPING, COUPLING, FLOW_BY_PRESSURE, PRESSURE_BY_STATE, INVERSE = range(5)
NEGLIGIBLE_DAMPING = 1.0
"""Damping [1/s] of the gas by flow past the cap below which it is left out; slower modes cost no steps."""
ROWS = 5
"""Rows of D: own damping [1/s], coupling, flow by pressure, pressure by state, and the inverse [s] by
``invert_damping``."""


@jit
def slow_jacobian(y: Any, p: Any, c: Any, q: Any, f: Any, D: Any) -> None:
    """Partial derivatives of the slow rates f into D, rows as in ``ROWS``; q belongs to y.

    Small terms are omitted, which a W-method allows. Source: derivatives of ``sim.vehicle.rates.rates``.
    """
    D[:, :] = 0.0
    block = 1000.0 * p.block_kJ_K
    D[COUPLING, BLOCK] = q.metal_block / block
    D[DAMPING, BLOCK] = D[COUPLING, BLOCK] + p.block_loss_W_K * (1.0 + p.block_loss_per_kmh * c.kmh) / block

    film = p.film_still_W_m2K + q.air_moves * (p.film_moving_W_m2K - p.film_still_W_m2K)
    D[COUPLING, FEED_SKIN] = p.hose_wall_W_K / p.hose_skin_J_K
    D[DAMPING, FEED_SKIN] = D[COUPLING, FEED_SKIN] + film * p.hose_area_m2 / p.hose_skin_J_K
    D[COUPLING, RETURN_SKIN], D[DAMPING, RETURN_SKIN] = D[COUPLING, FEED_SKIN], D[DAMPING, FEED_SKIN]
    D[COUPLING, UPPER_SKIN] = p.big_hose_wall_W_K / p.big_hose_skin_J_K
    D[DAMPING, UPPER_SKIN] = D[COUPLING, UPPER_SKIN] + film * p.big_hose_area_m2 / p.big_hose_skin_J_K
    D[COUPLING, LOWER_SKIN], D[DAMPING, LOWER_SKIN] = D[COUPLING, UPPER_SKIN], D[DAMPING, UPPER_SKIN]

    capacity_rate = q.air_kg_s * air.HEAT_CAPACITY
    fresh = 1.0 - RECIRCULATED * q.recirculation
    shell = p.shell_W_K * (1.0 + p.shell_per_kmh * c.kmh)
    cabin = 1000.0 * p.cabin_air_kJ_K
    D[COUPLING, CABIN] = q.core_K / cabin
    D[DAMPING, CABIN] = (capacity_rate * fresh + q.core_K * (1.0 - fresh) + shell + p.trim_W_K) / cabin
    D[COUPLING, BAY], D[DAMPING, BAY] = 0.5 * q.bay_share / p.bay_s, q.bay_flush / p.bay_s
    if capacity_rate >= 0.2:
        exchanged = capacity_rate * p.duct_share
        D[COUPLING, DUCT] = exchanged * min(q.core_K / capacity_rate, 1.0) / (1000.0 * p.duct_kJ_K)
        D[DAMPING, DUCT] = (exchanged + p.duct_W_K) / (1000.0 * p.duct_kJ_K)
    else:
        D[DAMPING, DUCT] = p.duct_W_K / (1000.0 * p.duct_kJ_K)
    D[COUPLING, TRIM] = p.trim_W_K / (1000.0 * p.trim_kJ_K)
    D[DAMPING, TRIM] = D[COUPLING, TRIM]
    D[COUPLING, HEAT_HEATER], D[COUPLING, HEAT_RADIATOR] = q.core_K, q.radiator_K
    D[DAMPING, HUMIDITY] = (q.air_kg_s * fresh + 0.002 + q.condensing_slope) / (CABIN_AIR_KG_M3 * p.cabin_m3)
    D[DAMPING, SENSOR] = 1.0 / (p.sensor_s * (1.0 + STEAM_LAG * q.sensor_dry))
    D[COUPLING, SENSOR] = (
        (1.0 - STAGNANT_TO_METAL * q.stagnation) * (1.0 - STEAM_SHARE * q.sensor_dry) * D[DAMPING, SENSOR]
    )
    D[DAMPING, VACUUM] = 2.0 if f[VACUUM] > 0.0 or p.check_valve < 0.5 else 0.0
    if y[CORE_AIR] > 1e-9 and f[CORE_AIR] < 0.0:
        D[DAMPING, CORE_AIR] = -f[CORE_AIR] / y[CORE_AIR]
    D[DAMPING, NECK_AIR] = q.neck_air_slope
    D[DAMPING, GLASS_WATER] = q.glass_water_slope
    if p.rear_L > 0.0:
        c0, c1 = coolant.heat_capacity_coefficients(p.glycol)
        cp = c0 + c1 * y[REAR]
        store = max(y[COOLANT], MIN_COOLANT_KG) * cp * p.rear_L / liquid_volume(p)
        D[COUPLING, REAR] = q.rear_kg_s * cp / store
        D[DAMPING, REAR] = D[COUPLING, REAR] + q.rear_K / store
        if y[REAR_AIR] > 1e-9 and f[REAR_AIR] < 0.0:
            D[DAMPING, REAR_AIR] = -f[REAR_AIR] / y[REAR_AIR]
    _inventory_jacobian(y, p, c, q, f, D)


@jit
def _inventory_jacobian(y: Any, p: Any, c: Any, q: Any, f: Any, D: Any) -> None:
    opens = p.cap_kPa * p.cap_seal * c.cap
    vents = q.pressure_kPa > opens
    if not vents and q.pressure_kPa > opens - NEARLY_OPEN_KPA:
        # Without the cap's flow in the Jacobian every step from here would overshoot, and end here again.
        give = q.gas_L + q.hose_compliance_L_kPa * q.air_kPa
        warmed = (mean_temperature(y, p) + 273.15) / ROOM_K
        vents = f[GAS] * warmed > 0.0 and q.pressure_kPa + SOON_S * f[GAS] * warmed / max(give, 1e-6) > opens
    draws_in = -q.pressure_kPa > p.cap_vacuum_kPa * c.cap
    leak_sum = outer_leaks(p) + p.leak_core + q.head_leak
    if not (vents or draws_in or leak_sum > 0.0 or -q.pressure_kPa > SEALS_KPA):
        return
    # Sensitivity of the pressure to liquid [L], gas [kPa L] and vapour [kPa].
    give = q.gas_L + q.hose_compliance_L_kPa * q.air_kPa
    if give <= 0.0:
        return
    by_litre = q.air_kPa / give
    mass = max(y[COOLANT], 0.05)
    liquid_L, mean = liquid_volume(p), mean_temperature(y, p)
    D[PRESSURE_BY_STATE, COOLANT] = by_litre * q.coolant_L / mass
    D[PRESSURE_BY_STATE, GAS] = (mean + 273.15) / ROOM_K / give
    swell = 0.5 * (coolant.density(mean - 1.0, p.glycol) - coolant.density(mean + 1.0, p.glycol))  # kg/(m3 K)
    by_mean = by_litre * q.coolant_L * q.coolant_L / (1000.0 * mass) * swell + max(y[GAS], 0.0) / ROOM_K / give
    for node, litres in (
        (JACKET, p.jacket_L),
        (UPPER, p.upper_hose_L),
        (RADIATOR, p.radiator_L),
        (FEED, p.feed_hose_L),
        (CORE, p.core_L),
        (RETURN, p.return_hose_L),
        (REAR, p.rear_L),
    ):
        D[PRESSURE_BY_STATE, node] = by_mean * litres / liquid_L
    present = min(max(y[COOLANT], 0.0) / LAST_KG, 1.0)
    vapour = present * coolant.saturation_pressure(y[JACKET] + 1.0, p.glycol)
    D[PRESSURE_BY_STATE, JACKET] += q.gas_L / give * (vapour - q.vapour_kPa)
    if 0.0 < y[COOLANT] < LAST_KG:  # the last coolant makes steam in proportion to its mass: thousands of kPa per kg
        D[PRESSURE_BY_STATE, COOLANT] += q.gas_L / give * q.vapour_kPa / y[COOLANT]

    lost_slope, bottle_slope, gas_slope = 0.0, 0.0, 0.0
    if vents:
        air_L = max(y[GAS], 0.0) / ATMOSPHERE
        neck = q.gas_L * max(1.0 - (y[CORE_AIR] + y[REAR_AIR]) / max(air_L, q.gas_L, 1e-6), 0.0)
        share = neck / (neck + NECK_L)
        escaping_by_share = p.cap_gas_flow * max(q.pressure_kPa - p.cap_kPa * p.cap_seal * c.cap, 0.0)
        escaping = escaping_by_share * share
        spill = p.cap_flow * (1.0 - share) * present
        if p.has_bottle > 0.5:
            bottle_slope = spill * c.cap * min(max((p.bottle_room_L - y[BOTTLE]) / 0.02, 0.0), 1.0)
        lost_slope = spill - bottle_slope
        if escaping > 0.0:
            lost_slope += q.steam_kg_s / escaping * p.cap_gas_flow * share
        if y[GAS] > 0.0:  # the smaller the pocket, the smaller the gas share of what leaves
            D[DAMPING, GAS] = q.cap_gas_rate * (1.0 - share) / y[GAS]
            # With nearly all air trapped in the cores, a little more opens the neck to gas and steam.
            trapped = 1.0 - neck / q.gas_L if neck > 0.0 else 0.0
            neck_opening = escaping_by_share * (1.0 - share) * (1.0 - share) * q.gas_L / NECK_L * trapped / y[GAS]
            neck_damping = neck_opening * q.air_kPa * ROOM_K / (mean + 273.15)
            if neck_damping > NEGLIGIBLE_DAMPING:
                D[DAMPING, GAS] += neck_damping
            gas_slope = -(escaping + q.air_kPa * p.cap_gas_flow * share) * ROOM_K / (mean + 273.15)
    if draws_in:
        flow = q.neck_flow
        wet = p.has_bottle * c.cap * y[BOTTLE] / (max(y[BOTTLE], 0.0) + SMALL_L)
        bottle_slope += flow * wet
        gas_slope -= flow * (1.0 - wet) * c.atmosphere_kPa
    seepage = seep_slope(-q.pressure_kPa, SEALS_KPA, SEALS_L_S_KPA)
    seepage += seep_slope(-q.pressure_kPa, STATIC_HEAD, 0.001 * AIR_OVER_LIQUID_L * leak_sum)
    gas_slope -= seepage * c.atmosphere_kPa
    if q.pressure_kPa > -STATIC_HEAD:
        leak_factor = 0.001 * min(max(y[COOLANT], 0.0), 1.0)
        lost_slope += leak_sum * leak_factor
        D[FLOW_BY_PRESSURE, CARPET] = p.leak_core * leak_factor
    D[FLOW_BY_PRESSURE, BOTTLE], D[FLOW_BY_PRESSURE, LOST], D[FLOW_BY_PRESSURE, COOLANT], D[FLOW_BY_PRESSURE, GAS] = (
        bottle_slope,
        lost_slope,
        -(bottle_slope + lost_slope),
        gas_slope,
    )


@jit
def refine_jacobian(y: Any, p: Any, c: Any, q: Any, D: Any, J: Any) -> None:
    """Add to the fast loop's Jacobian J the steam loss of the jacket and the effect of lift on a sensor at the inlet.

    Source: derivatives of ``sim.vehicle.rates.rates``.
    """
    if q.steam_kg_s > 0.0:
        c0, c1 = coolant.heat_capacity_coefficients(p.glycol)
        store = max(y[COOLANT], MIN_COOLANT_KG) * (c0 + c1 * y[JACKET]) * p.jacket_L
        liquid_L = liquid_volume(p)
        over = max(q.pressure_kPa - p.cap_kPa * p.cap_seal * c.cap, 1e-3)
        steam = q.steam_kg_s / over * D[PRESSURE_BY_STATE, JACKET] * coolant.latent_heat(y[JACKET])
        J[JACKET, JACKET] -= steam * liquid_L / store
    if p.at_inlet > 0.5 and q.pump_flow > 0.0:
        kg_s = q.pump_flow * coolant.density(y[JACKET], p.glycol) / 60000.0
        J[WAX, LIFT] = q.radiator_kg_s_per_lift * (y[RADIATOR] - y[JACKET]) / kg_s / p.wax_s


@jit
def invert_damping(D: Any, per_step: float) -> None:
    """Store 1/(per_step + damping) [s] in D, used by all stages of a step; per_step [1/s]. Source: definition."""
    for i in range(STIFF, STATES):
        D[INVERSE, i] = 1.0 / (per_step + D[DAMPING, i])


@jit
def solve_slow(D: Any, per_step: float, u: Any) -> None:
    """Solve (per_step I - D) x = u in place for the slow states, the fast loop's part of u being solved; D prepared.

    u: float64 (STATES,); per_step [1/s]. Coolant, bottle, losses and gas respond to one pressure w: u_i = (b_i + r_i w)
    / per_step with w = sum of PRESSURE_BY_STATE times u. What one loses another gains by the same number, so mass is
    conserved to rounding. Source: rank-one update of a diagonal matrix.
    """
    for i in range(STIFF, STATES):
        u[i] *= D[INVERSE, i]
    for i, source in COUPLED:
        u[i] += D[INVERSE, i] * D[COUPLING, i] * u[source]
    if D[FLOW_BY_PRESSURE, COOLANT] != 0.0 or D[FLOW_BY_PRESSURE, GAS] != 0.0:
        w = D[PRESSURE_BY_STATE, COOLANT] * u[COOLANT] + D[PRESSURE_BY_STATE, GAS] * u[GAS]
        for i in range(METAL, STIFF):
            w += D[PRESSURE_BY_STATE, i] * u[i]
        w /= per_step - (
            D[PRESSURE_BY_STATE, COOLANT] * D[FLOW_BY_PRESSURE, COOLANT]
            + D[PRESSURE_BY_STATE, GAS] * D[FLOW_BY_PRESSURE, GAS]
        )
        for i in range(COOLANT, CARPET + 1):
            u[i] += D[FLOW_BY_PRESSURE, i] * w
