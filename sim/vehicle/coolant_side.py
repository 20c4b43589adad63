"""Flows, pressure and thermal conductances of the coolant loop."""

from __future__ import annotations

import math
from typing import Any

from sim.compile import jit
from sim.laws import coolant
from sim.laws.actuators import BOOST_CONTACT
from sim.laws.circuits import PUMP_OHM, STALLS_BELOW, load_share
from sim.laws.engine_heat import metal_conductance
from sim.laws.exchangers import bounded_outlet_conductance, inlet_over_outlet, overall_conductance
from sim.laws.gasket import BLOWN_HOLDS_KW, BLOWN_INGRESS, BLOWN_LEAK, gasket_damage
from sim.laws.hydraulics import (
    driving_head,
    ice_factor,
    liquid_share,
    pump_head,
    series_conductance,
    split_flow,
    split_flow_boosted,
    viscosity_factor,
)
from sim.laws.powers import power
from sim.laws.pressure import (
    AIR_OVER_LIQUID_L,
    ATMOSPHERE,
    COLLAPSED_SHARE,
    SEALS_KPA,
    SEALS_L_S_KPA,
    STATIC_HEAD,
    combustion_gas,
    loop_pressure,
    relief,
    seep,
    steam_mass,
)
from sim.vehicle.air_side import MIN_FACE
from sim.vehicle.states import (
    BOTTLE,
    CABIN,
    COOLANT,
    CORE,
    CORE_AIR,
    FEED,
    GAS,
    JACKET,
    LIFT,
    NECK_AIR,
    OVERHEATING,
    RADIATOR,
    REAR,
    REAR_AIR,
    RETURN,
    UPPER,
)

LOG_VISCOSITY_WARM = math.log(0.82)  # [-] logarithm of mPa s, 50 % glycol at 90 degC: the reference of the resistances
RADIATOR_L_MIN = 60.0  # [L/min] reference flow of the radiator's coolant-side conductance
LAMINAR_SHARE = 0.15  # [-] of that conductance, remaining as the flow goes to 0 (textbook, M: constant laminar Nu)
STAGNANT_L_MIN = 5.0  # [L/min] pump flow below which coolant in the engine begins to stagnate (estimate)
# [-] of the exchange of head and block, remaining while the head heats stagnant coolant (estimate)
STAGNANT_BLOCK = 0.1
# into the upper hose without pump flow, by buoyancy and by steam (estimate)
BUOYANCY_W_K, STEAM_CONVECTION_W_K = 8.0, 25.0
BOILS_KPA = 10.0  # [kPa] partial pressure of air below which steam bubbles persist (estimate)
CORE_DRAINS_S = 15.0  # [s] time constant with which the core drains when the loop lacks coolant (estimate)
NECK_AIR_LEAVES_S = 60.0  # [s] time constant with which the neck loses air that has left the loop (estimate)
LAST_KG = 0.1  # [kg] coolant below which outflow tapers off, so that no more is lost than there is (estimate)
NECK_L = 0.05  # [L] gas under the cap at which half of the flow past it is gas (estimate)
SMALL_L = 0.02  # [L, kg] smoothing: content of the bottle at which half of what is drawn back is air (estimate)


@jit
def liquid_volume(p: Any) -> float:
    """Coolant volume of the full loop [L], cold. p as in ``sim.vehicle.states``. Source: sum of its parts."""
    return p.jacket_L + p.upper_hose_L + p.radiator_L + p.feed_hose_L + p.core_L + p.return_hose_L + p.rear_L


@jit
def outer_leaks(p: Any) -> float:
    """Leak [g/s/kPa] of hoses, pump, radiator, thermostat housing and tank. p as in ``sim.vehicle.states``. Source: sum
    of its parts.
    """
    return p.leak_hose + p.leak_pump + p.leak_radiator + p.leak_housing + p.leak_tee + p.leak_tank


@jit
def capacity(p: Any) -> float:
    """Volume [L] of the loop at zero gauge pressure, including an expansion tank's air. Source: sum of its parts."""
    return liquid_volume(p) + p.tank_air_L


@jit
def mean_temperature(y: Any, p: Any) -> float:
    """Volume-weighted mean temperature of the loop's coolant [degC]. y, p as in ``sim.vehicle.states``. Source:
    definition.
    """
    total = y[JACKET] * p.jacket_L + y[UPPER] * p.upper_hose_L + y[RADIATOR] * p.radiator_L + y[FEED] * p.feed_hose_L
    return (total + y[CORE] * p.core_L + y[RETURN] * p.return_hose_L + y[REAR] * p.rear_L) / liquid_volume(p)


@jit
def evaluate_inventory(y: Any, p: Any, c: Any, q: Any) -> None:
    """Volume, pressure, air lock, and flow through cap and leaks, into q.

    y, p, c, q as in ``sim.vehicle.states``. Air collects in the heater core, commonly the highest place, at low flow,
    and is pushed out once the pressure across the branch exceeds the lock head (common practice, no source). Source:
    mass balance; laws in ``sim.laws.pressure``.
    """
    full = capacity(p)
    mass = max(y[COOLANT], 0.05)
    mean = mean_temperature(y, p)
    q.coolant_L = 1000.0 * mass / coolant.density(mean, p.glycol)
    present = min(max(y[COOLANT], 0.0) / LAST_KG, 1.0)
    q.vapour_kPa = coolant.saturation_pressure(y[JACKET], p.glycol) * present
    gas = max(y[GAS], 0.0)
    q.pressure_kPa, q.gas_L, q.air_kPa, q.hose_compliance_L_kPa = loop_pressure(
        q.coolant_L,
        full,
        p.compliance_L_kPa,
        COLLAPSED_SHARE * p.upper_hose_L,
        gas,
        q.vapour_kPa,
        mean,
        c.atmosphere_kPa,
    )
    q.missing_L = max(q.gas_L - p.tank_air_L, 0.0)
    q.void_L = full - p.tank_air_L - q.coolant_L
    q.wetted = liquid_share(q.missing_L, p.pump_dry_L, max(y[COOLANT], 0.0) / mass * q.coolant_L / full)
    q.freezing_C = coolant.freezing_point(p.glycol)
    q.core_air_lock = min(max(y[CORE_AIR] / p.core_L, 0.0), 1.0)

    air_L = gas / ATMOSPHERE
    at_neck = q.gas_L * max(1.0 - (y[CORE_AIR] + y[REAR_AIR]) / max(air_L, q.gas_L, 1e-6), 0.0)
    gas_share = at_neck / (at_neck + NECK_L)
    opens_kPa = p.cap_kPa * p.cap_seal * c.cap
    excess_kPa = max(q.pressure_kPa - opens_kPa, 0.0)
    q.cap_liquid_kg_s = p.cap_flow * excess_kPa * (1.0 - gas_share) * present
    escaping = p.cap_gas_flow * excess_kPa * gas_share
    q.cap_gas_rate = q.air_kPa * escaping * 293.15 / (mean + 273.15)
    q.steam_kg_s = steam_mass(q.vapour_kPa, escaping, y[JACKET])

    q.neck_flow = p.cap_vacuum_flow * p.cap_breathes
    if c.cap < 0.5:  # Air enters as freely as it leaves; a kink there would stall every solver.
        outflow = p.cap_gas_flow * gas_share * q.air_kPa / c.atmosphere_kPa * 293.15 / (mean + 273.15)
        q.neck_flow = max(p.cap_vacuum_flow, outflow)
    suction = relief(-q.pressure_kPa, p.cap_vacuum_kPa * c.cap, q.neck_flow)
    from_bottle = p.has_bottle * c.cap * y[BOTTLE] / (max(y[BOTTLE], 0.0) + SMALL_L)
    q.drawn_kg_s = suction * from_bottle
    damage = gasket_damage(y[OVERHEATING])
    q.head_leak = p.leak_head + BLOWN_LEAK * damage
    leaks = outer_leaks(p) + p.leak_core + q.head_leak
    seepage = seep(-q.pressure_kPa, SEALS_KPA, SEALS_L_S_KPA)
    seepage += seep(-q.pressure_kPa, STATIC_HEAD, 0.001 * AIR_OVER_LIQUID_L * leaks)
    q.drawn_gas_rate = (suction * (1.0 - from_bottle) + seepage) * c.atmosphere_kPa
    q.combustion_rate = combustion_gas(p.gas_ingress, p.gasket_holds_kW, q.work_kW) * q.runs
    q.combustion_rate += damage * combustion_gas(BLOWN_INGRESS, BLOWN_HOLDS_KW, q.work_kW) * q.runs

    head = max(q.pressure_kPa + STATIC_HEAD, 0.0) * 0.001 * min(max(y[COOLANT], 0.0), 1.0)
    q.core_leak_kg_s = p.leak_core * head
    q.leak_kg_s = leaks * head


@jit
def evaluate_flows(y: Any, p: Any, c: Any, q: Any) -> None:
    """Pump head and flow split, into q; needs q.valve, q.rpm and the inventory.

    y, p, c, q as in ``sim.vehicle.states``. Also the derivative of the radiator flow by the thermostat's lift, in
    closed form, for the Jacobian. Source: laws in ``sim.laws.hydraulics``.
    """
    viscous = viscosity_factor(coolant.log_viscosity(y[JACKET], p.glycol) - LOG_VISCOSITY_WARM, p.stiff_exponent)
    conductance_factor = 1.0 / math.sqrt(viscous)
    shaft_rpm, suction = q.rpm, min(q.rpm / 2500.0, 1.0)
    if p.electric_rpm > 0.0:
        shaft_rpm, suction = p.electric_rpm * q.pump_speed, q.pump_speed
    head = driving_head(pump_head(p.pump_head_kPa, shaft_rpm, p.pump_grip, p.pump_drive, p.pump_vanes, q.wetted))
    lift = min(max(y[LIFT], 0.0), 1.0)

    bypass_G = p.bypass_G * (1.0 - p.bypass_plate * lift) * conductance_factor
    full_G = p.radiator_G * p.radiator_clear * conductance_factor
    full_G /= math.sqrt(ice_factor(coolant.ice_share(y[RADIATOR], q.freezing_C)))
    radiator_G = full_G * lift + p.thermostat_weep * conductance_factor
    feed_bore = p.feed_clear * (1.0 - p.feed_soft * suction)
    clear_core, clear_feed, clear_return = max(p.core_clear, 1e-3), max(feed_bore, 1e-3), max(p.return_clear, 1e-3)
    heater_R = (
        p.core_R / (clear_core * clear_core)
        + p.heater_feed_R / (clear_feed * clear_feed)
        + p.heater_return_R / (clear_return * clear_return)
    )
    if p.has_valve > 0.5:
        valve_G = p.valve_weep + p.valve_G * q.valve
        heater_R += 1.0 / (valve_G * valve_G)
    unlocked = 1.0 - q.core_air_lock
    heater_R *= viscous * ice_factor(coolant.ice_share(y[CORE], q.freezing_C))
    heater_G = series_conductance(heater_R) * unlocked * math.sqrt(unlocked)

    rear_G = 0.0
    if p.rear_L > 0.0:
        rear_unlocked = 1.0 - min(max(y[REAR_AIR] / p.rear_L, 0.0), 1.0)
        rear_G = p.rear_G * conductance_factor * rear_unlocked * math.sqrt(rear_unlocked)
    front_share = heater_G / (heater_G + rear_G) if heater_G + rear_G > 0.0 else 0.0
    heater_G += rear_G

    series_R = p.jacket_R * viscous * ice_factor(coolant.ice_share(y[JACKET], q.freezing_C)) + p.pump_droop
    boost = p.boost_head_kPa * p.boost_works * c.ignition * min(1.0, c.heater * 10.0)
    if boost > 0.0:
        share = load_share(min(p.boost_fuse, p.boost_relay, p.boost_wire), PUMP_OHM, p.boost_ground_ohm)
        boost *= share * share if share > STALLS_BELOW else 0.0
    if p.contact_of == BOOST_CONTACT:
        boost *= q.contact
    if boost > 0.0:
        bypass, radiator, heater, dp = split_flow_boosted(head, series_R, bypass_G, radiator_G, heater_G, boost)
        bypass, radiator = max(bypass, 0.0), max(radiator, 0.0)
    else:
        bypass, radiator, heater, dp = split_flow(head, series_R, bypass_G, radiator_G, heater_G)
    # Gas that the pump draws circulates too; the reported flows are coolant only.
    bypass, radiator, heater = q.wetted * bypass, q.wetted * radiator, q.wetted * heater
    flow = bypass + radiator + heater
    rear, heater = heater * (1.0 - front_share), heater * front_share
    q.bypass_flow, q.radiator_flow, q.heater_flow, q.branch_dp, q.pump_flow = bypass, radiator, heater, dp, flow
    q.rear_flow = rear

    kg_s = coolant.density(y[JACKET], p.glycol) / 60000.0
    q.radiator_kg_s, q.heater_kg_s, q.rear_kg_s = radiator * kg_s, heater * kg_s, rear * kg_s
    if flow > 0.0:
        q.sensed_C = y[JACKET]
        if p.at_inlet > 0.5:
            q.sensed_C = (bypass * y[JACKET] + radiator * y[RADIATOR] + heater * y[RETURN] + rear * y[REAR]) / flow
        total_G = bypass_G + radiator_G + heater_G
        slope = 1.0 / total_G - radiator_G / (total_G * total_G)
        slope += radiator_G / (total_G * total_G * (series_R * total_G * total_G + 1.0))
        q.radiator_kg_s_per_lift = flow * slope * full_G * kg_s
    else:
        q.sensed_C = y[JACKET]
        q.radiator_kg_s_per_lift = 0.0

    stagnant = max(1.0 - flow / STAGNANT_L_MIN, 0.0)
    q.stagnation = stagnant * stagnant  # squared to begin without a kink, which a step would detect late
    q.metal_block = p.metal_block_W_K * (1.0 - q.runs * q.stagnation * (1.0 - STAGNANT_BLOCK))
    # Air that is neither in a core nor separated circulates; steam and missing coolant count once the neck is empty.
    air_L = max(y[GAS], 0.0) / ATMOSPHERE
    loop_air_L = max(air_L - p.tank_air_L, 0.0)
    void_L = max(q.missing_L - loop_air_L - max(p.neck_free_L - y[NECK_AIR], 0.0), 0.0)
    circulating_L = max(loop_air_L - y[CORE_AIR] - y[REAR_AIR] - y[NECK_AIR], 0.0)
    hoses_wet = 1.0 - min((circulating_L + void_L) / (p.feed_hose_L + p.return_hose_L), 1.0)

    exchange = min(flow / 30.0, 2.0) * p.creep_W_K
    opening = q.valve if p.has_valve * p.valve_at_engine > 0.5 else 1.0
    q.feed_creep = exchange * hoses_wet * opening * clear_feed
    q.return_creep = 0.05 * exchange * unlocked
    q.upper_creep = (2.0 if p.at_inlet > 0.5 else 0.15) * exchange
    if q.stagnation > 0.0 and y[JACKET] > y[UPPER]:
        # Without pump flow, hot coolant and steam rise past the open thermostat.
        boils = 1.0 - min(max(q.air_kPa / BOILS_KPA, 0.0), 1.0)
        q.upper_creep += q.stagnation * lift * (BUOYANCY_W_K + boils * STEAM_CONVECTION_W_K)

    # Air in the core: pushed out by pressure across the open branch, collecting again at low flow.
    branch_open = q.valve / (q.valve + 0.05) if p.has_valve > 0.5 else 1.0
    push = (dp + boost) * branch_open / p.lock_head_kPa
    pushed_out = y[CORE_AIR] / p.purge_s * min(max(push - 1.0, 0.0), 3.0)
    collecting = (circulating_L / p.settle_s / (1.0 + push * push) + void_L / CORE_DRAINS_S) * max(
        1.0 - q.core_air_lock, 0.0
    )
    vanishing = max(y[CORE_AIR] - max(air_L, q.missing_L), 0.0) / 10.0
    q.core_air_rate = collecting - pushed_out - vanishing
    # Air drawn in collects at the neck; circulating air gets there only through a bleed line.
    room = max(p.neck_free_L - y[NECK_AIR], 0.0)
    separating = p.bleed_line * circulating_L / p.part_s * min(flow / 10.0, 1.0) + q.drawn_gas_rate / ATMOSPHERE
    excess_L = max(y[NECK_AIR] - max(loop_air_L - y[CORE_AIR] - y[REAR_AIR], 0.0) - SMALL_L, 0.0)
    q.neck_air_rate = separating * room / (room + SMALL_L) - excess_L / NECK_AIR_LEAVES_S
    q.neck_air_slope = separating * SMALL_L / ((room + SMALL_L) * (room + SMALL_L)) if room > 0.0 else 0.0
    if excess_L > 0.0:
        q.neck_air_slope += 1.0 / NECK_AIR_LEAVES_S


@jit
def evaluate_conductances(y: Any, p: Any, c: Any, q: Any) -> None:
    """Conductances [W/K] liners to coolant, radiator to air and core to air, into q; needs flows and air side.

    y, p, c, q as in ``sim.vehicle.states``. A partly empty radiator works with its wetted share. The heat is limited to
    what the hotter of inlet and content could give, which holds in every steady state and, when the flow has just
    stopped, is the heat of stagnant coolant. Source: effectiveness-NTU, ``sim.laws.exchangers``.
    """
    wet = 1.0 / (1.0 + q.missing_L / p.jacket_L * (q.missing_L / p.jacket_L))
    q.metal_UA = metal_conductance(q.pump_flow, p.metal_coolant_W_K, p.metal_still_W_K, wet)
    ram = p.ram_kg_s_kmh * c.kmh
    fan = p.fan_kg_s * q.fan_share
    air = p.radiator_fins * math.sqrt(p.still_kg_s * p.still_kg_s + fan * fan + ram * ram)
    if air != q.radiator_film_kg_s:  # cached: constant for minutes at a time, and a power is expensive
        q.radiator_film_kg_s, q.radiator_film = air, power(air / 1.8, 0.6)
    tubes = p.radiator_coolant_UA * (LAMINAR_SHARE + (1.0 - LAMINAR_SHARE) * q.radiator_flow / RADIATOR_L_MIN)
    ua = overall_conductance(p.radiator_UA * p.radiator_fins * q.radiator_film, tubes) * wet
    c_hot = q.radiator_kg_s * coolant.heat_capacity(y[RADIATOR], p.glycol)
    ratio = inlet_over_outlet(y[UPPER], y[RADIATOR], c.ambient_C)
    q.radiator_K = bounded_outlet_conductance(ua, c_hot, air * 1006.0, ratio)
    if q.core_air_kg_s > 1e-6:
        face = max(p.core_fins, MIN_FACE)
        face_flow = q.core_air_kg_s / face  # the open part of the face takes all of the air, at higher speed
        if face_flow != q.core_film_kg_s:
            q.core_film_kg_s, q.core_film = face_flow, power(face_flow / 0.10, 0.6)
        air_UA = p.core_air_UA * face * q.core_film
        coolant_UA = p.core_coolant_UA * power(max(q.heater_flow, 0.02) / 8.0, 0.3)
        ua = overall_conductance(air_UA, coolant_UA) * (1.0 - q.core_air_lock)
        c_hot = q.heater_kg_s * coolant.heat_capacity(y[CORE], p.glycol)
        ratio = inlet_over_outlet(y[FEED], y[CORE], q.core_in_C)
        q.core_K = bounded_outlet_conductance(ua, c_hot, q.core_air_kg_s * 1006.0, ratio)
    else:
        q.core_K = 0.0
    rear_air = p.rear_air_kg_s * q.blower_speed
    if p.rear_L > 0.0 and rear_air > 1e-6:
        ua = p.rear_UA * power(rear_air / 0.06, 0.6) * (1.0 - min(max(y[REAR_AIR] / p.rear_L, 0.0), 1.0))
        c_hot = q.rear_kg_s * coolant.heat_capacity(y[REAR], p.glycol)
        ratio = inlet_over_outlet(y[JACKET], y[REAR], y[CABIN])
        q.rear_K = bounded_outlet_conductance(ua, c_hot, rear_air * 1006.0, ratio)
    else:
        q.rear_K = 0.0
    q.rear_W = q.rear_K * (y[REAR] - y[CABIN])
