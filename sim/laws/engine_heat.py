"""Brake work of the engine, and the heat it rejects to metal and coolant."""

from __future__ import annotations

import math

from sim.compile import jit
from sim.laws.powers import power


@jit
def brake_work(kmh: float, rolling: float, drag: float, accessory: float, extra: float) -> float:
    """Brake work [kW] at a steady road speed: (F_0 + k v^2) v + accessories + extra.

    kmh v [km/h]; rolling F_0 [N]; drag k [N/(km/h)^2]; accessory, extra [kW]. Range: 0 to 200 km/h, level road. Source:
    road load equation (textbook, M).
    """
    return (rolling + drag * kmh * kmh) * kmh / 3600.0 + accessory + extra


@jit
def coolant_heat(
    rpm: float, work: float, metal: float, at_1000: float, exponent: float, per_work: float, cold_extra: float
) -> float:
    """Heat rejected to metal and coolant [W]: (q (n/1000)^e + k P) (1 + c (80 - T_metal)/100), the last factor at least
    1.

    rpm n [1/min]; work P [kW]; metal T_metal [degC]; at_1000 q [kW]; exponent e, per_work k, cold_extra c [-]. Range:
    500 to 4500 rpm. Source: about 4 kW at idle, 6-8 kW at 50 km/h, 13-15 kW at 100 km/h, warm (P).
    """
    if rpm <= 0.0:
        return 0.0
    cold = 1.0 + cold_extra * min(max((80.0 - metal) / 100.0, 0.0), 1.2)
    return 1000.0 * (at_1000 * power(rpm / 1000.0, exponent) + per_work * work) * cold


@jit
def metal_conductance(flow: float, at_40: float, still: float, wet: float) -> float:
    """Conductance [W/K] from the liners to the coolant: (still^2 + (UA_40 (Q/40)^0.6)^2)^1/2 times the wetted share.

    flow Q [L/min]; at_40 UA_40 [W/K] at 40 L/min; still [W/K] in stagnant coolant; wet [-]. Range: 0 to 150 L/min.
    Source: forced convection in passages scales with Re^0.6 to Re^0.8 (textbook, M).
    """
    moving = at_40 * power(flow / 40.0, 0.6)
    return wet * math.sqrt(still * still + moving * moving)
