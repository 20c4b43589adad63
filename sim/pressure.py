"""Pressure in the loop, and what passes its openings: cap, leaks, combustion gas."""

from __future__ import annotations

import math

from sim.compile import jit

ATMOSPHERE = 101.325  # kPa, standard
ROOM_K = 293.15  # K, at which amounts of gas are stated
STATIC_HEAD = 3.0  # kPa, height of coolant above a typical leak (ours)
STEAM_KG_PER_J = 0.018015 / 8.314  # kg K/J: ideal gas, so p V / T times this is the mass of steam


@jit
def loop_pressure(
    coolant_L: float, capacity_L: float, compliance: float, gas: float, vapour: float, gas_C: float, atmosphere: float
) -> tuple[float, float, float]:
    """Gauge pressure, gas volume and the air's share of pressure in a closed loop.

    The loop holds liquid and gas, its hoses give: V_cap + C p = V_liquid + V_gas; the gas is air, (p + p_atm - p_vap)
    V_gas = N T / T_room, and vapour. Together a quadratic in p whose larger root covers every case: all liquid
    (p = overfill / C), an air cushion, and a pocket of steam alone (p + p_atm = p_vap).
    coolant_L, capacity_L [L]; compliance C [L/kPa]; gas N [kPa L at 20 degC]; vapour [kPa abs]; gas_C [degC];
    atmosphere [kPa]. Returns (p [kPa gauge], V_gas [L], p_air [kPa]). Range: C > 0, N >= 0.
    Source: ideal gas law, Dalton (textbook, M).
    """
    a = atmosphere - vapour
    amount = gas * (gas_C + 273.15) / ROOM_K
    free = capacity_L - coolant_L - compliance * a
    root = math.sqrt(free * free + 4.0 * compliance * amount)
    # of the two products, the sum that does not cancel gives the other by division
    if free > 0.0:
        volume = 0.5 * (root + free)
        air = amount / volume
    else:
        air = (root - free) / (2.0 * compliance)
        volume = amount / air if air > 0.0 else 0.0
    return air - a, volume, air


@jit
def relief(p: float, opens: float, flow: float) -> float:
    """Flow past a spring-loaded valve [unit of flow times kPa]: flow (p - opens), none below.

    p, opens [kPa]. Range: any. Source: linear valve, ours.
    """
    return flow * max(p - opens, 0.0)


@jit
def steam_mass(vapour: float, volume: float, temperature: float) -> float:
    """Mass [kg] of steam at partial pressure vapour [kPa] in volume [L] at temperature [degC].

    Range: below 200 kPa, 5 %. Source: ideal gas law (textbook, M).
    """
    return vapour * volume * STEAM_KG_PER_J / (temperature + 273.15)
