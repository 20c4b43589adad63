"""The mid-size car's heater core, at a stated flow of coolant and air, through the car's own laws."""

from collections.abc import Callable
from functools import cache, partial

from ht import effectiveness_from_NTU
from scipy.optimize import root_scalar

from sim.laws import coolant
from sim.laws.air import HEAT_CAPACITY
from sim.vehicle.coolant_side import evaluate_conductances
from sim.vehicle.states import CORE, FEED, JACKET
from tests.published.driving import standing
from tests.published.value import PublishedValue

AIR_C, COOLANT_C, AIR_KG_S = -10.0, 85.0, 0.10
UA = 180.0  # W/K (P)
GLYCOL = 0.5
SHARE = 0.15
"""Tolerance as a share of the heat [-]."""


@cache
def heat_kW(kg_per_min: float) -> float:
    """Heat [kW] of the car's core in the steady state at a coolant flow [kg/min]."""
    fleet = standing({}, COOLANT_C, AIR_C)
    state, quantities = fleet.state[0], fleet.algebraic[0]
    kg_s = kg_per_min / 60.0
    quantities["heater_kg_s"] = kg_s
    quantities["heater_flow"] = kg_s * 60000.0 / coolant.density(COOLANT_C, GLYCOL)
    quantities["core_air_kg_s"] = quantities["air_kg_s"] = AIR_KG_S
    quantities["intake_C"] = quantities["core_in_C"] = AIR_C
    state[FEED] = state[JACKET] = COOLANT_C
    capacity_W_K = kg_s * coolant.heat_capacity(COOLANT_C, GLYCOL)

    def surplus_W(outlet_C: float) -> float:
        state[CORE] = outlet_C
        evaluate_conductances(state, fleet.parameters[0], fleet.controls[0], quantities)
        return capacity_W_K * (COOLANT_C - outlet_C) - quantities["core_K"] * (outlet_C - AIR_C)

    outlet_C = root_scalar(surplus_W, bracket=(AIR_C + 0.01, COOLANT_C - 0.01)).root
    return capacity_W_K * (COOLANT_C - outlet_C) / 1000.0


def air_C(kg_per_min: float) -> float:
    """Temperature [degC] of the air behind the core."""
    return AIR_C + 1000.0 * heat_kW(kg_per_min) / (AIR_KG_S * HEAT_CAPACITY)


def library_kW(kg_per_min: float) -> float:
    """Heat [kW] by the library's exact effectiveness of a crossflow exchanger, both unmixed."""
    hot, cold = kg_per_min / 60.0 * coolant.heat_capacity(COOLANT_C, GLYCOL), AIR_KG_S * 1006.0
    smaller = min(hot, cold)
    effectiveness = effectiveness_from_NTU(NTU=UA / smaller, Cr=smaller / max(hot, cold), subtype="crossflow")
    assert effectiveness is not None
    return effectiveness * smaller * (COOLANT_C - AIR_C) / 1000.0


def _litres(litres_per_min: float) -> float:
    return litres_per_min * coolant.density(COOLANT_C, GLYCOL) / 1000.0


def _heat(key: str, what: str, source: str, expected: float, compute: Callable[[], float]) -> PublishedValue:
    conditions = f"{what} of coolant at 85 degC, 0.10 kg/s of air at -10 degC"
    letter = "C" if source.startswith("`ht`") else "P"
    return PublishedValue(f"heater-core/{key}", conditions, source, letter, expected, "kW", SHARE * expected, compute)


J1612 = 11.4  # kg/min, heater test flow of SAE J1612 (F)

VALUES = [
    _heat("j1612", "11.4 kg/min, the test flow of SAE J1612 (F),", "`ht`, exact crossflow, UA 180 W/K (P)",
          library_kW(J1612), partial(heat_kW, J1612)),
    *(
        _heat(f"{litres:g}-litres", f"{litres:g} L/min", "the trade, from UA 180 W/K", expected,
              partial(heat_kW, _litres(litres)))
        for litres, expected in ((8.0, 7.4), (2.0, 6.0), (0.5, 2.8))
    ),
    *(
        PublishedValue(f"heater-core/air-{litres:g}-litres", f"the same, {litres:g} L/min: air behind the core",
                       "the trade, from UA 180 W/K", "P", expected, "degC", SHARE * (expected - AIR_C),
                       partial(air_C, _litres(litres)))
        for litres, expected in ((8.0, 64.0), (2.0, 50.0), (0.5, 18.0))
    ),
]  # fmt: skip
