"""Pressure in the loop, and flow through its openings: cap, leaks, combustion gas."""

from __future__ import annotations

import math

from sim.compile import jit

ATMOSPHERE = 101.325  # kPa, standard
ROOM_K = 293.15  # [K] reference temperature for amounts of gas
STATIC_HEAD = 3.0  # [kPa] height of coolant above a typical leak (estimate)
COLLAPSE_KPA = 15.0  # [kPa] vacuum at which the radiator hoses start to collapse (estimate; they are soft when hot)
COLLAPSED_KPA = 30.0  # [kPa] vacuum at which they are flat
COLLAPSED_SHARE = 1.2  # [-] volume both lose by then, relative to the upper hose (estimate)
# [kPa] vacuum above which hose joints and the pump seal, made for positive pressure, let air in (estimate)
SEALS_KPA = 35.0
SEALS_L_S_KPA = 0.002  # [L/s per kPa] air through them above that (estimate)
# [L/kg] air that passes a leak per kg of coolant at the same pressure: root of the density ratio (M)
AIR_OVER_LIQUID_L = 29.0
STEAM_KG_PER_J = 0.018015 / 8.314  # [kg K/J] ideal gas: p V / T times this is the mass of steam


@jit
def _gas_cushion(empty_L: float, give: float, amount: float, a: float) -> tuple[float, float, float]:
    """Solve (p + a)(empty_L + give p) = amount. Returns p, the gas volume empty_L + give p, the air pressure p + a."""
    free = empty_L - give * a
    root = math.sqrt(free * free + 4.0 * give * amount)
    # Take the root that does not cancel; the other quantity follows by division.
    if free > 0.0:
        volume = 0.5 * (root + free)
        air = amount / volume
    else:
        air = (root - free) / (2.0 * give)
        volume = amount / air if air > 0.0 else 0.0
    return air - a, volume, air


@jit
def hose_volume(p: float, compliance: float, flat_L: float) -> float:
    """Volume change [L] of the hoses relative to zero gauge pressure, at p [kPa gauge].

    compliance [L/kPa] of round hoses; flat_L [L]: volume lost on collapsing between COLLAPSE_KPA and COLLAPSED_KPA of
    vacuum. Piecewise linear. Range: any. Source: common practice, no source.
    """
    collapse = min(max((-p - COLLAPSE_KPA) / (COLLAPSED_KPA - COLLAPSE_KPA), 0.0), 1.0)
    return compliance * p - collapse * flat_L


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
    """Pressure of a closed loop, its gas volume, the partial pressure of air and the slope of the hose volume there.

    Liquid and gas fill the loop and its compliant hoses: V_cap + V_hoses(p) = V_liquid + V_gas. The gas is air, (p +
    p_atm - p_vap) V_gas = N T / T_room, and vapour. Together a quadratic in p whose larger root covers every case:
    liquid only (p = overfill / C), an air cushion, and a pocket of steam only (p + p_atm = p_vap). Collapsing hoses
    have their own linear piece; p falls monotonically with the missing volume, so the first piece that fits is the
    solution.

    coolant_L, capacity_L [L]; compliance C [L/kPa], flat_L [L]: as in ``hose_volume``; gas N [kPa L at 20 degC]; vapour
    p_vap [kPa abs]; gas_C [degC]; atmosphere p_atm [kPa]. Returns (p [kPa gauge], V_gas [L], p_air [kPa], dV_hoses/dp
    [L/kPa]). Range: C > 0, N >= 0. Source: ideal gas law, Dalton (textbook, M).
    """
    a = atmosphere - vapour
    amount = gas * (gas_C + 273.15) / ROOM_K
    empty_L = capacity_L - coolant_L
    p, volume, air = _gas_cushion(empty_L, compliance, amount, a)
    if p >= -COLLAPSE_KPA or flat_L <= 0.0:
        return p, volume, air, compliance
    collapsing = compliance + flat_L / (COLLAPSED_KPA - COLLAPSE_KPA)
    p, volume, air = _gas_cushion(empty_L + (collapsing - compliance) * COLLAPSE_KPA, collapsing, amount, a)
    if p >= -COLLAPSED_KPA:
        return p, volume, air, collapsing
    p, volume, air = _gas_cushion(empty_L - flat_L, compliance, amount, a)
    return p, volume, air, compliance


@jit
def relief(p: float, opens: float, flow: float) -> float:
    """Flow past a spring-loaded valve [flow coefficient times kPa]: flow (p - opens), 0 below.

    p, opens [kPa]. Range: any. Source: linear valve, own estimate.
    """
    return flow * max(p - opens, 0.0)


@jit
def seep(p: float, opens: float, flow: float) -> float:
    """Flow past a lip or crack [flow coefficient times kPa] that opens smoothly over a kilopascal: flow d^2 / (d + 1).

    d = p - opens, both [kPa]; 0 below. Approaches ``relief``. Range: any. Source: own estimate.
    """
    beyond = p - opens
    return flow * beyond * beyond / (beyond + 1.0) if beyond > 0.0 else 0.0


@jit
def seep_slope(p: float, opens: float, flow: float) -> float:
    """Derivative of ``seep`` by p [flow coefficient]; p, opens [kPa]. Range: any. Source: as ``seep``."""
    beyond = p - opens
    return flow * (1.0 - 1.0 / ((beyond + 1.0) * (beyond + 1.0))) if beyond > 0.0 else 0.0


@jit
def combustion_gas(ingress: float, holds_kW: float, work: float) -> float:
    """Combustion gas past a damaged head gasket [kPa L/s at 20 degC]: ingress (P - P_h) / 10, 0 below.

    ingress [kPa L/s]: at 10 kW above holds_kW P_h [kW], the brake work up to which the clamped gasket still seals; work
    P [kW] of a running engine. Cylinder pressure rises with load, so a small leak opens only under load and a large one
    also at idle (P_h below 0). Range: any. Source: common practice, no source.
    """
    return ingress * max(work - holds_kW, 0.0) / 10.0


@jit
def steam_mass(vapour: float, volume: float, temperature: float) -> float:
    """Mass [kg] of steam at partial pressure vapour [kPa] in volume [L] at temperature [degC].

    Range: below 200 kPa, 5 %. Source: ideal gas law (textbook, M).
    """
    return vapour * volume * STEAM_KG_PER_J / (temperature + 273.15)
