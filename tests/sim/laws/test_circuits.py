"""The blower's circuit against a general solver on Kirchhoff's laws, and what a broken one shows."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import root

from sim.laws import circuits
from sim.vehicle import states as st_
from tests.sim.vehicles import driving

SOLVED = 1e-7
"""Difference to SciPy's solution [share]."""


def solve_circuit(volts: float, before: float, motor: float, ground: float, back: float, torque: float) -> np.ndarray:
    """Voltage at the motor's plug and at its ground [V], current [A], speed [-], by SciPy from four laws (C)."""

    def equations(x: np.ndarray) -> np.ndarray:
        plug, low, current, speed = x
        return np.array(
            [
                volts - plug - current * before,
                plug - low - current * motor - back * speed,
                low - current * ground,
                back * current - torque * speed * speed,
            ]
        )

    solution = root(equations, [0.9 * volts, 0.1, 5.0, 0.5], tol=1e-14)
    assert np.abs(solution.fun).max() < 1e-8, solution.message
    return solution.x


@given(st.floats(6.0, 15.0), st.floats(0.0, 4.0), st.floats(0.1, 2.0), st.floats(0.0, 2.0), st.floats(5.0, 11.0))
def test_motor_against_kirchhoff(volts: float, before: float, motor: float, ground: float, back: float) -> None:
    torque = back * (13.5 - back) / 0.25
    speed = circuits.motor_speed(volts, before + motor + ground, back, torque)
    assert speed == pytest.approx(solve_circuit(volts, before, motor, ground, back, torque)[3], rel=SOLVED)


@given(st.integers(1, 4), st.booleans(), st.floats(0.005, 1.5), st.floats(0.005, 1.5), st.floats(0.3, 1.0))
def test_voltages_of_a_vehicle(command: int, runs: bool, relay: float, ground: float, charge: float) -> None:
    """Every node of the vehicle's own circuit, with a bad relay and a bad ground."""
    bad = {"blower_relay_ohm": relay, "blower_ground_ohm": ground}
    fleet = driving(bad, engine=float(runs), blower=float(command))
    fleet.state[:, 23] = charge
    fleet.refresh()
    p, q = fleet.parameters[0], fleet.algebraic[0]
    volts, inner = p["charging_V"], 0.0
    if not runs:
        inner = p["battery_ohm"]
        alive = 1.0 / (1.0 + (0.01 / charge) ** 2)
        volts = alive * (p["battery_V"] - 3.0 * (1.0 - charge) - inner * p["base_load_A"])
    pack = 0.0 if command == 4 else p[f"pack_{command}_ohm"]
    before = inner + relay + p["blower_switch_ohm"] + pack + p["blower_joint_ohm"]
    plug, low, current, speed = solve_circuit(
        volts, before, p["motor_ohm"], ground, p["motor_back_V"], p["motor_torque"]
    )
    assert q["blower_A"] == pytest.approx(current, rel=1e-6)
    assert q["blower_speed"] == pytest.approx(speed, rel=1e-6)
    assert q["blower_feed_V"] == pytest.approx(plug, rel=1e-6)
    assert q["blower_ground_V"] == pytest.approx(low, rel=1e-6, abs=1e-9)
    assert q["blower_V"] == pytest.approx(plug - low, rel=1e-6)
    assert q["supply_V"] == pytest.approx(volts - inner * current, rel=1e-6)


@pytest.mark.parametrize(
    "broken", [{"blower_fuse": 0.0}, {"blower_relay_ohm": 1e9}, {"motor_ohm": 1e9}, {"blower_ground_ohm": 1e9}]
)
def test_an_open_circuit_carries_nothing(broken: dict[str, float]) -> None:
    q = driving(broken, blower=4.0).algebraic
    assert q["blower_A"] == pytest.approx(0.0, abs=1e-6)
    assert q["blower_speed"] == pytest.approx(0.0, abs=1e-3)


def test_where_full_voltage_stands_tells_where_the_break_is() -> None:
    """Full voltage before the break, none behind it (textbook, M)."""
    plug = {
        part: float(driving({part: 1e9}, blower=4.0).algebraic["blower_feed_V"][0])
        for part in ("blower_relay_ohm", "motor_ohm", "blower_ground_ohm")
    }
    assert plug["blower_relay_ohm"] == pytest.approx(0.0, abs=1e-2)
    assert plug["motor_ohm"] == pytest.approx(14.1, abs=1e-2)
    assert plug["blower_ground_ohm"] == pytest.approx(14.1, abs=1e-2)
    lifted = driving({"blower_ground_ohm": 1e9}, blower=4.0).algebraic
    assert lifted["blower_ground_V"][0] == pytest.approx(14.1, abs=1e-2)


def test_an_open_pack_leaves_the_highest_speed() -> None:
    current = [float(driving({"pack_whole": 0.0}, blower=float(n)).algebraic["blower_A"][0]) for n in range(5)]
    assert current[:4] == pytest.approx([0.0] * 4, abs=1e-6)
    assert current[4] > 15.0


@given(st.floats(0.0, 16.0), st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_more_resistance_never_turns_faster(volts: float, some: float, more: float) -> None:
    less, most = sorted((some, more))
    assert circuits.motor_speed(volts, most, 8.5, 170.0) <= circuits.motor_speed(volts, less, 8.5, 170.0) + 1e-12


@given(st.floats(0.5, 4.0), st.floats(0.5, 4.0))
def test_an_electronic_controller_gives_more_for_more(some: float, more: float) -> None:
    less, most = sorted((some, more))
    assert 0.0 < circuits.controller_share(less) <= circuits.controller_share(most) <= 1.0 + 1e-12


def test_a_battery_left_on_dies_and_cranks_no_engine() -> None:
    """Its charge ends at nothing, then it has neither voltage nor current, and the engine stays as it is (P)."""
    fleet = driving(engine=0.0, blower=4.0)
    fleet.advance(0.0, 1800.0)
    assert 0.6 < fleet.state[0, st_.CHARGE] < 0.95
    assert fleet.algebraic["battery_V"][0] > 11.0
    fleet.advance(0.0, 40.0 * 3600.0)
    assert 0.0 <= fleet.state[0, st_.CHARGE] < 0.003
    assert fleet.algebraic["supply_V"][0] < 1.0
    assert fleet.algebraic["blower_A"][0] < 0.5
    fleet.controls["engine"] = 1.0
    fleet.advance(0.0, 600.0)
    assert fleet.switches["drained"][0] == 1.0
    assert fleet.algebraic["rpm"][0] == 0.0
    assert fleet.state[0, st_.RUN] == 0.0
    fleet.controls["engine"] = 0.0
    fleet.state[:, st_.CHARGE] = 0.8
    fleet.refresh()
    fleet.controls["engine"] = 1.0
    fleet.advance(0.0, 60.0)
    assert fleet.state[0, st_.RUN] == pytest.approx(60.0)


def test_without_an_alternator_the_engine_runs_until_the_battery_is_flat() -> None:
    fleet = driving({"charging_works": 0.0}, blower=4.0)
    fleet.advance(0.0, 6.0 * 3600.0)
    assert fleet.switches["drained"][0] == 1.0
    assert 1.0 < fleet.state[0, st_.RUN] / 3600.0 < 4.0
