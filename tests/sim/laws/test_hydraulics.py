"""The split of the pump's flow against a general solver on all network equations, and as mathematics."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import root

from sim.laws import coolant, hydraulics

SOLVED = 1e-6
"""Difference to SciPy's solution [share of the pump's flow]."""

heads = st.floats(0.5, 150.0)
resistances = st.floats(0.001, 0.05)
conductances = st.floats(0.05, 20.0)


def solve_network(head: float, series: float, branches: tuple[float, float, float], boost: float) -> np.ndarray:
    """Flows of bypass, radiator, heater and the difference, from the five equations of the network by SciPy (C).

    Pump and jacket: head - series Q |Q| = dp; three branches: Q_i |Q_i| = G_i^2 (dp + boost_i); node: Q = sum Q_i.
    """

    def equations(x: np.ndarray) -> np.ndarray:
        flow, *branch, dp = x
        losses = [q * abs(q) - g * g * (dp + b) for q, g, b in zip(branch, branches, (0.0, 0.0, boost), strict=True)]
        return np.array([head - series * flow * abs(flow) - dp, flow - sum(branch), *losses])

    guess = 0.5 * head
    flows = [g * math.sqrt(guess) for g in branches]
    solution = root(equations, [sum(flows), *flows, guess], method="hybr", tol=1e-13)
    assert np.abs(solution.fun).max() < 1e-7, solution.message
    return solution.x[1:]


@given(heads, resistances, conductances, conductances, conductances)
def test_split_solves_the_network(head: float, series: float, bypass: float, radiator: float, heater: float) -> None:
    given_flows = hydraulics.split_flow(head, series, bypass, radiator, heater)
    solved = solve_network(head, series, (bypass, radiator, heater), 0.0)
    assert given_flows[:3] == pytest.approx(solved[:3], abs=SOLVED * sum(solved[:3]))
    assert given_flows[3] == pytest.approx(solved[3], rel=1e-6)


@given(heads, resistances, conductances, conductances, conductances, st.floats(0.5, 30.0))
def test_boosted_split_solves_the_network(
    head: float, series: float, bypass: float, radiator: float, heater: float, boost: float
) -> None:
    given_flows = hydraulics.split_flow_boosted(head, series, bypass, radiator, heater, boost)
    flow = given_flows[0] + given_flows[1] + given_flows[2]
    # The equations are put to what is given: near no difference a general solver stalls at the root's infinite slope.
    assert head - series * flow * abs(flow) == pytest.approx(given_flows[3], abs=1e-5 * (head + boost))
    for q, g, b in zip(given_flows, (bypass, radiator, heater), (0.0, 0.0, boost), strict=False):
        assert q * abs(q) == pytest.approx(g * g * (given_flows[3] + b), rel=1e-9, abs=1e-9)
    if given_flows[3] > 0.1:
        solved = solve_network(head, series, (bypass, radiator, heater), boost)
        assert given_flows[:3] == pytest.approx(solved[:3], abs=1e-5 * sum(solved[:3]))


@given(heads, resistances, conductances, conductances, conductances)
def test_boost_of_nothing_changes_nothing(
    head: float, series: float, bypass: float, radiator: float, heater: float
) -> None:
    plain = hydraulics.split_flow(head, series, bypass, radiator, heater)
    assert hydraulics.split_flow_boosted(head, series, bypass, radiator, heater, 0.0) == pytest.approx(plain, rel=1e-8)


@given(heads, resistances, conductances, conductances, conductances, st.floats(0.1, 1.0))
def test_more_restriction_never_gives_more_heater_flow(
    head: float, series: float, bypass: float, radiator: float, heater: float, clear: float
) -> None:
    before = hydraulics.split_flow(head, series, bypass, radiator, heater)
    after = hydraulics.split_flow(head, series, bypass, radiator, heater * clear)
    assert after[2] <= before[2] * (1.0 + 1e-12)
    assert after[0] >= before[0] * (1.0 - 1e-12)
    assert after[3] >= before[3] * (1.0 - 1e-12)
    worn = hydraulics.split_flow(head * clear, series, bypass, radiator, heater)
    assert worn[2] <= before[2] * (1.0 + 1e-12)


@given(st.floats(300.0, 6000.0), st.floats(0.2, 3.0), resistances, conductances, conductances, conductances)
def test_affinity(rpm: float, ratio: float, series: float, bypass: float, radiator: float, heater: float) -> None:
    """Flow ~ n, head ~ n^2 (textbook, M), as long as the passages run turbulent."""
    heads = [hydraulics.pump_head(14.2, n, 1.0, 1.0, 1.0, 1.0) for n in (rpm, ratio * rpm)]
    assert heads[1] == pytest.approx(ratio * ratio * heads[0])
    slow, fast = (hydraulics.split_flow(h, series, bypass, radiator, heater) for h in heads)
    assert fast[:3] == pytest.approx([ratio * q for q in slow[:3]])


def test_laminar_limit() -> None:
    """Far below the laminar head flow falls with head itself, far above with its root (Hagen-Poiseuille, M)."""
    flow = [math.sqrt(hydraulics.driving_head(h)) for h in (1e-4, 2e-4, 1e3, 2e3)]
    assert flow[1] / flow[0] == pytest.approx(2.0, rel=1e-3)
    assert flow[3] / flow[2] == pytest.approx(math.sqrt(2.0), rel=1e-3)
    assert hydraulics.driving_head(0.0) == 0.0


def test_nothing_drives_nothing() -> None:
    assert hydraulics.split_flow(0.0, 0.004, 10.0, 10.0, 3.0) == (0.0, 0.0, 0.0, 0.0)
    assert hydraulics.split_flow(20.0, 0.004, 0.0, 0.0, 0.0) == (0.0, 0.0, 0.0, 20.0)
    assert hydraulics.pump_head(14.2, 0.0, 1.0, 1.0, 1.0, 1.0) == 0.0


@given(st.floats(0.0, 8.0), st.floats(0.0, 8.0))
def test_air_takes_the_pumps_head(some: float, more: float) -> None:
    wet = [hydraulics.liquid_share(air, 3.4, max(1.0 - air / 7.0, 0.0)) for air in sorted((some, more))]
    head = [hydraulics.pump_head(14.2, 1000.0, 1.0, 1.0, 1.0, share) for share in wet]
    assert head[1] <= head[0] <= 14.2
    assert hydraulics.liquid_share(0.0, 3.4, 1.0) == 1.0
    assert hydraulics.liquid_share(7.0, 3.4, 0.0) == 0.0


@given(st.floats(-60.0, 120.0))
def test_slush_only_below_freezing(temperature: float) -> None:
    factor = hydraulics.ice_factor(coolant.ice_share(temperature, -36.0))
    assert factor == 1.0 if temperature >= -36.0 else factor > 1.0


@pytest.mark.parametrize(("ice", "flow_left"), [(0.0, 1.0), (0.1, 0.472), (0.3, 0.1054), (0.5, 0.0235)])
def test_flow_through_slush(ice: float, flow_left: float) -> None:
    """At one pressure flow goes with resistance^-0.5. The rate of exp(15 f) is ours; that more than some 30 % of ice is
    hardly pumped is from memory.
    """
    assert hydraulics.ice_factor(ice) ** -0.5 == pytest.approx(flow_left, rel=2e-3)
