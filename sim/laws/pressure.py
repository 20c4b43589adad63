"""Pressure in the loop, and what passes its openings: cap, leaks, combustion gas."""

from __future__ import annotations

import math

from sim.compile import jit

ATMOSPHERE = 101.325  # kPa, standard
ROOM_K = 293.15  # K, at which amounts of gas are stated
STATIC_HEAD = 3.0  # kPa, height of coolant above a typical leak (ours)
COLLAPSE_KPA = 15.0  # vacuum at which the big hoses begin to flatten (ours; they are soft when hot)
COLLAPSED_KPA = 30.0  # vacuum at which they lie flat
COLLAPSED_SHARE = 1.2  # what both give up by then, of the upper hose's volume (ours)
SEALS_KPA = 35.0  # vacuum beyond which hose ends and the pump's seal, made to hold pressure, let air in (ours)
SEALS_L_S_KPA = 0.002  # how much, beyond that [L/s per kPa] (ours)
AIR_OVER_LIQUID_L = 29.0  # L of air that pass a leak for a kg of coolant, at one pressure: root of the densities (M)
STEAM_KG_PER_J = 0.018015 / 8.314  # kg K/J: ideal gas, so p V / T times this is the mass of steam


@jit
def _gas_cushion(empty_L: float, give: float, amount: float, a: float) -> tuple[float, float, float]:
    """Root of (p + a)(empty_L + give p) = amount, the gas volume empty_L + give p and the air's pressure p + a."""
    free = empty_L - give * a
    root = math.sqrt(free * free + 4.0 * give * amount)
    # of the two products, the sum that does not cancel gives the other by division
    if free > 0.0:
        volume = 0.5 * (root + free)
        air = amount / volume
    else:
        air = (root - free) / (2.0 * give)
        volume = amount / air if air > 0.0 else 0.0
    return air - a, volume, air


@jit
def hose_volume(p: float, compliance: float, flat_L: float) -> float:
    """Volume [L] by which the hoses are wider than at no pressure, at p [kPa gauge].

    compliance [L/kPa] of round hoses, swollen or drawn in; flat_L [L] that they give up between COLLAPSE_KPA and COLLAPSED_KPA
    of vacuum. Straight between. Range: any. Source: common practice, no source.
    """
    limp = min(max((-p - COLLAPSE_KPA) / (COLLAPSED_KPA - COLLAPSE_KPA), 0.0), 1.0)
    return compliance * p - limp * flat_L


@jit
def loop_pressure(
    coolant_L: float,
    capacity_L: float,
    compliance: float,
    flat_L: float,
    gas: float,
    vapour: float,
    gas_C: float,
    atmosphere: float,
) -> tuple[float, float, float, float]:
    """Gauge pressure, gas volume, the air's share of pressure and how the hoses give there, of a closed loop.

    The loop holds liquid and gas, its hoses give: V_cap + V_hoses(p) = V_liquid + V_gas; the gas is air, (p + p_atm -
    p_vap) V_gas = N T / T_room, and vapour. Together a quadratic in p whose larger root covers every case: all liquid
    (p = overfill / C), an air cushion, and a pocket of steam alone (p + p_atm = p_vap). Hoses that go flat have their
    own straight piece, and p falls with every litre that is missing, so that the first piece that fits is the one.
    coolant_L, capacity_L [L]; compliance C [L/kPa], flat_L [L]: as in ``hose_volume``; gas N [kPa L at 20 degC];
    vapour [kPa abs]; gas_C [degC]; atmosphere [kPa].
    Returns (p [kPa gauge], V_gas [L], p_air [kPa], dV_hoses/dp [L/kPa]). Range: C > 0, N >= 0.
    Source: ideal gas law, Dalton (textbook, M).
    """
    a = atmosphere - vapour
    amount = gas * (gas_C + 273.15) / ROOM_K
    empty_L = capacity_L - coolant_L
    p, volume, air = _gas_cushion(empty_L, compliance, amount, a)
    if p >= -COLLAPSE_KPA or flat_L <= 0.0:
        return p, volume, air, compliance
    limp = compliance + flat_L / (COLLAPSED_KPA - COLLAPSE_KPA)
    p, volume, air = _gas_cushion(empty_L + (limp - compliance) * COLLAPSE_KPA, limp, amount, a)
    if p >= -COLLAPSED_KPA:
        return p, volume, air, limp
    p, volume, air = _gas_cushion(empty_L - flat_L, compliance, amount, a)
    return p, volume, air, compliance


@jit
def relief(p: float, opens: float, flow: float) -> float:
    """Flow past a spring-loaded valve [unit of flow times kPa]: flow (p - opens), none below.

    p, opens [kPa]. Range: any. Source: linear valve, ours.
    """
    return flow * max(p - opens, 0.0)


@jit
def seep(p: float, opens: float, flow: float) -> float:
    """Flow past a lip or crack [unit of flow times kPa] that gives way over a kilopascal: flow d^2 / (d + 1).

    d = p - opens, both [kPa]; none below. Range: any. Source: ours; ``relief`` once it has given way.
    """
    beyond = p - opens
    return flow * beyond * beyond / (beyond + 1.0) if beyond > 0.0 else 0.0


@jit
def seep_slope(p: float, opens: float, flow: float) -> float:
    """Derivative of ``seep`` by p [unit of flow]; p, opens [kPa]. Range: any. Source: there."""
    beyond = p - opens
    return flow * (1.0 - 1.0 / ((beyond + 1.0) * (beyond + 1.0))) if beyond > 0.0 else 0.0


@jit
def combustion_gas(ingress: float, holds_kW: float, work: float) -> float:
    """Combustion gas past a damaged head gasket [kPa L/s at 20 degC]: ingress (P - P_h) / 10, none below.

    ingress [kPa L/s] 10 kW beyond holds_kW P_h [kW], the brake work up to which the clamped gasket still holds; work P
    [kW] of a running engine. Cylinder pressure rises with load, so a small leak opens under load only and a large one
    at idle too: P_h below 0. Range: any. Source: common practice, no source.
    """
    return ingress * max(work - holds_kW, 0.0) / 10.0


@jit
def steam_mass(vapour: float, volume: float, temperature: float) -> float:
    """Mass [kg] of steam at partial pressure vapour [kPa] in volume [L] at temperature [degC].

    Range: below 200 kPa, 5 %. Source: ideal gas law (textbook, M).
    """
    return vapour * volume * STEAM_KG_PER_J / (temperature + 273.15)
