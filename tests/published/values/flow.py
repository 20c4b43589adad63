"""Coolant flow of the mid-size car against SciPy on its network, the affinity laws and the trade's ranges."""

from functools import cache

import numpy as np
from scipy.optimize import root

from sim.laws import hydraulics
from sim.vehicle import states
from tests.published.value import Letter, PublishedValue
from tests.sim.vehicles import driving

WARM_C = 90.0
NETWORK = {"head": 26.0, "series": 0.007, "bypass": 10.0, "radiator": 3.0, "heater": 2.4}
"""Head [kPa], resistance [kPa/(L/min)^2] and conductances [L/min/kPa^0.5] of a pump at 1350 rpm and its branches."""
BOOST = 9.0
"""Head [kPa] of the electric pump in the heater's branch, where there is one."""
SOLVED = 1e-4
"""Tolerance of a flow against SciPy [L/min]."""


@cache
def _solved(boost: float) -> tuple[float, ...]:
    """Flows [L/min] by bypass, radiator and heater, from the network's five equations by ``scipy.optimize.root``."""
    conductances = [NETWORK[name] for name in ("bypass", "radiator", "heater")]

    def equations(x: np.ndarray) -> list[float]:
        flow, *branches, across = x
        pushes = (0.0, 0.0, boost)
        drops = [q * abs(q) - g * g * (across + b) for q, g, b in zip(branches, conductances, pushes, strict=True)]
        return [NETWORK["head"] - NETWORK["series"] * flow * abs(flow) - across, flow - sum(branches), *drops]

    return tuple(float(x) for x in root(equations, [40.0, 30.0, 8.0, 6.0, 10.0], tol=1e-12).x[1:4])


def _ours(boost: float) -> tuple[float, ...]:
    head, series, bypass, radiator, heater = NETWORK.values()
    if boost:
        return hydraulics.split_flow_boosted(head, series, bypass, radiator, heater, boost)
    return hydraulics.split_flow(head, series, bypass, radiator, heater)


@cache
def _flow(rpm: float, quantity: str) -> float:
    """A flow [L/min] of the warm mid-size car, thermostat a little open, heater on."""
    fleet = driving(heater=1.0, blower=2.0, rpm=rpm)
    fleet.state[:, : states.LIFT] = WARM_C
    fleet.state[:, states.LIFT] = 0.1
    fleet.refresh()
    return float(fleet.algebraic[quantity][0])


def _network(branch: str, index: int, boost: float) -> PublishedValue:
    boosted = f", electric pump of {boost:g} kPa in the heater's branch" if boost else ""
    return PublishedValue(
        key=f"flow/network {branch}{' boosted' if boost else ''}",
        what=f"flow by the {branch}, head {NETWORK['head']:g} kPa{boosted}",
        source="`scipy.optimize.root` on all equations of the network",
        letter="C",
        expected=_solved(boost)[index],
        unit="L/min",
        tolerance=SOLVED,
        compute=lambda: _ours(boost)[index],
    )


def _range(key: str, what: str, letter: Letter, low: float, high: float, rpm: float, quantity: str) -> PublishedValue:
    return PublishedValue(
        key=f"flow/{key}",
        what=f"{what}, mid-size car, warm (usual: {low:g} to {high:g})",
        source="vehicle figures",
        letter=letter,
        expected=0.5 * (low + high),
        unit="L/min",
        tolerance=0.5 * (high - low),
        compute=lambda: _flow(rpm, quantity),
    )


def _affinity(rpm: float) -> PublishedValue:
    def ours() -> float:
        head = hydraulics.pump_head(14.2, rpm, 1.0, 1.0, 1.0, 1.0)
        slow = hydraulics.pump_head(14.2, 1000.0, 1.0, 1.0, 1.0, 1.0)
        _, series, bypass, radiator, heater = NETWORK.values()
        flows = [sum(hydraulics.split_flow(h, series, bypass, radiator, heater)[:3]) for h in (head, slow)]
        return flows[0] * head / (flows[1] * slow)

    return PublishedValue(
        key=f"flow/affinity {rpm:g}",
        what=f"hydraulic power of the pump at {rpm:g} rpm over that at 1000 rpm: n^3",
        source="affinity laws, textbook",
        letter="M",
        expected=(rpm / 1000.0) ** 3,
        unit="-",
        tolerance=1e-9 * (rpm / 1000.0) ** 3,
        compute=ours,
    )


VALUES = [
    *(_network(name, i, 0.0) for i, name in enumerate(("bypass", "radiator", "heater"))),
    *(_network(name, i, BOOST) for i, name in enumerate(("bypass", "radiator", "heater"))),
    _affinity(750.0),
    _affinity(3000.0),
    PublishedValue(
        key="flow/shut-off head",
        what="shut-off head of the coolant pump at 750 rpm",
        source="vehicle figures",
        letter="P",
        expected=8.0,
        unit="kPa",
        tolerance=0.5,
        compute=lambda: hydraulics.pump_head(
            float(driving().parameters["pump_head_kPa"][0]), 750.0, 1.0, 1.0, 1.0, 1.0
        ),
    ),
    _range("pump at idle", "coolant pump at idle", "P", 20.0, 30.0, 750.0, "pump_flow"),
    _range("pump at 2500", "coolant pump at 2500 rpm", "P", 80.0, 100.0, 2500.0, "pump_flow"),
    _range("pump at 3000", "coolant pump at 3000 rpm", "P", 80.0, 100.0, 3000.0, "pump_flow"),
    _range("heater at idle", "heater at idle", "M", 4.0, 8.0, 750.0, "heater_flow"),
    _range("heater at 2500", "heater at 2500 rpm", "M", 10.0, 18.0, 2500.0, "heater_flow"),
]
