"""The W-methods: order conditions of ROS34PW2, and orders as measured, with a true Jacobian and with none."""

from collections.abc import Callable

import numpy as np
import pytest

from sim.solver import rosenbrock, slow_block
from sim.vehicle import rates as rates_law
from sim.vehicle import states as st
from tests.reference.draw import row
from tests.reference.lsoda import integrate
from tests.sim.vehicles import driving, record

ROUNDING = 1e-13
"""Error allowed in a condition [-]: coefficients have sixteen digits."""
a = np.array(rosenbrock.ALPHA)
g = np.array(rosenbrock.GAMMAS)
b = np.array(rosenbrock.B)
low = np.array(rosenbrock.B_LOW)


@pytest.mark.parametrize(
    ("name", "given", "wanted"),
    [
        ("f", b.sum(), 1.0),
        ("f'f", b @ a.sum(1), 1 / 2),
        ("A f", b @ g.sum(1), 0.0),
        ("f''ff", b @ a.sum(1) ** 2, 1 / 3),
        ("f'f'f", b @ a @ a.sum(1), 1 / 6),
        ("f'A f", b @ a @ g.sum(1), 0.0),
        ("A f'f", b @ g @ a.sum(1), 0.0),
        ("A A f", b @ g @ g.sum(1), 0.0),
        ("f of the embedded one", low.sum(), 1.0),
        ("f'f of the embedded one", low @ a.sum(1), 1 / 2),
        ("A f of the embedded one", low @ g.sum(1), 0.0),
    ],
)
def test_order_conditions_of_a_w_method(name: str, given: float, wanted: float) -> None:
    """Conditions of order 3, and 2 of the embedded method, for any matrix A as Jacobian (Steihaug & Wolfbrandt, M)."""
    assert given == pytest.approx(wanted, abs=ROUNDING), name


def test_stiff_accuracy() -> None:
    """The last stage ends at the step's end, so that R(infinity) = 0 (Rang & Angermann, M)."""
    assert b == pytest.approx(a[3] + g[3])
    assert np.diag(g) == pytest.approx(rosenbrock.GAMMA)


def test_variables_without_products() -> None:
    """With u = Gamma k it is the same method: A Gamma = alpha, C = I/gamma - Gamma^-1, m Gamma = b."""
    assert np.array(rosenbrock.A) @ g == pytest.approx(a)
    assert np.array(rosenbrock.C) == pytest.approx(np.eye(4) / rosenbrock.GAMMA - np.linalg.inv(g), abs=1e-12)
    assert np.array(rosenbrock.M) @ g == pytest.approx(b)
    assert (np.array(rosenbrock.M) - np.array(rosenbrock.E)) @ g == pytest.approx(low)


def _solve(rates: str, steps: int, jacobian: float) -> float:
    """Error at t = 1 of a pendulum or a relaxation with `steps` steps, the method written as in a textbook."""

    def f(y: np.ndarray) -> np.ndarray:
        return np.array([y[1], -np.sin(y[0])]) if rates == "pendulum" else np.array([y[1] - y[0] ** 3, -5.0 * y[1]])

    def slope(y: np.ndarray) -> np.ndarray:
        if rates == "pendulum":
            return np.array([[0.0, 1.0], [-np.cos(y[0]), 0.0]])
        return np.array([[-3.0 * y[0] ** 2, 1.0], [0.0, -5.0]])

    def run(n: int) -> np.ndarray:
        y, h = np.array([1.0, 0.5]), 1.0 / n
        for _ in range(n):
            J, k = jacobian * slope(y), np.zeros((4, 2))
            for i in range(4):
                known = f(y + h * a[i] @ k) + h * J @ (g[i] @ k)
                k[i] = np.linalg.solve(np.eye(2) - h * rosenbrock.GAMMA * J, known)
            y = y + h * b @ k
        return y

    return float(np.abs(run(steps) - run(64 * steps)).max())


@pytest.mark.parametrize("rates", ["pendulum", "relaxation"])
@pytest.mark.parametrize("jacobian", [1.0, 0.0, 0.6])
def test_measured_order(rates: str, jacobian: float) -> None:
    """Halving the step takes seven eighths of the error, whatever share of the Jacobian is used."""
    order = np.log2(_solve(rates, 16, jacobian) / _solve(rates, 32, jacobian))
    assert 2.7 < order < 3.6


@pytest.mark.parametrize("known", [True, False], ids=["own Jacobian", "no Jacobian"])
@pytest.mark.parametrize(
    ("step", "least", "most"),
    [(rosenbrock.step_order_3, 2.5, 3.7), (rosenbrock.step_order_2, 1.7, 2.5)],
    ids=["ROS34PW2", "ROS2"],
)
def test_measured_order_on_a_vehicle(step: Callable[..., float], least: float, most: float, known: bool) -> None:
    """The compiled step on the vehicle's own rates, in a smooth stretch, against LSODA."""
    fleet = driving(ambient=10.0, kmh=50.0, heater=1.0, blower=2.0)
    fleet.advance(0.0, 200.0)
    start, seconds = fleet.state[0].copy(), 8.0
    parameters, controls, switches = (record(x) for x in (fleet.parameters, fleet.controls, fleet.switches))
    true = integrate(parameters, controls, switches, start, 0.0, seconds, np.array([seconds]), 1e-11)
    p, c, s, q = (row(x) for x in (fleet.parameters, fleet.controls, fleet.switches, fleet.algebraic))
    J, W, D = np.zeros((st.STIFF, st.STIFF)), np.zeros((st.STIFF, st.STIFF)), np.zeros((slow_block.ROWS, st.STATES))
    work, f0 = np.zeros((8, st.STATES)), np.zeros(st.STATES)
    errors = []
    for steps in (16, 32):
        y = start.copy()
        for _ in range(steps):
            rates_law.rates(y, p, c, s, q, f0)
            if known:
                rates_law.jacobian(y, p, q, J)
                slow_block.slow_jacobian(y, p, c, q, f0, D)
                slow_block.refine_jacobian(y, p, c, q, D, J)
            step(y, p, c, s, q, f0, seconds / steps, J, D, W, work, 1.0)
            y[:] = work[4]
        errors.append(np.abs(y - true.states[0])[: st.LIFT].max())
    assert least < np.log2(errors[0] / errors[1]) < most
