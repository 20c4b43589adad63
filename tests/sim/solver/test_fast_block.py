"""Elimination written out against a general solver, and the pattern it rests on against every kind of vehicle."""

import numpy as np
import pytest

from sim.solver import fast_block, slow_block
from sim.vehicle import rates as rates_law
from sim.vehicle import states as st
from sim.vehicle.algebraic import DTYPE as ALGEBRAIC
from tests.reference import draw

ROUNDING = 1e-10
"""Difference to NumPy's solution [share]."""
PLACES = {(i, i) for i in range(st.STIFF)} | set(fast_block.PATTERN)


def test_solution_is_that_of_a_general_solver() -> None:
    rng = np.random.default_rng(4)
    for _ in range(50):
        J, W = np.zeros((st.STIFF, st.STIFF)), np.zeros((st.STIFF, st.STIFF))
        for place in PLACES:
            J[place] = rng.uniform(-1.0, 1.0)
        J[np.diag_indices(st.STIFF)] -= 2.0
        b, d = rng.standard_normal(st.STIFF), rng.uniform(0.1, 20.0)
        wanted = np.linalg.solve(d * np.eye(st.STIFF) - J, b)
        fast_block.factorise(J, d, W)
        fast_block.solve(W, b)
        assert b == pytest.approx(wanted, rel=ROUNDING, abs=ROUNDING)


def test_the_loops_jacobian_keeps_to_the_pattern() -> None:
    met = set()
    for seed in range(1500):
        rng = np.random.default_rng(seed)
        p, c = draw.parameters(rng), draw.controls(rng)
        y = draw.state(rng, p, float(c["ambient_C"][0]))
        s, q, f = np.zeros(1, st.SWITCHES), np.zeros(1, ALGEBRAIC), np.zeros(st.STATES)
        J, D = np.zeros((st.STIFF, st.STIFF)), np.zeros((slow_block.ROWS, st.STATES))
        rates_law.rates(y, draw.row(p), draw.row(c), draw.row(s), draw.row(q), f)
        rates_law.jacobian(y, draw.row(p), draw.row(q), J)
        slow_block.slow_jacobian(y, draw.row(p), draw.row(c), draw.row(q), f, D)
        slow_block.refine_jacobian(y, draw.row(p), draw.row(c), draw.row(q), D, J)
        met |= {(int(i), int(j)) for i, j in zip(*np.nonzero(J), strict=True)}
    assert met == PLACES
