"""Linear solver for the fast loop in a step: (d I - J) u = b with the fixed sparsity pattern of J.

Each node depends on its upstream neighbour and the jacket; only the thermostat's lift and the jacket couple to many.
Elimination in the order metal, feed, core, return, upper hose, radiator, wax, lift, jacket causes almost no fill-in,
and is written out here: dense elimination of nine unknowns took three times as long.
"""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.vehicle.states import CORE, FEED, JACKET, LIFT, METAL, RADIATOR, RETURN, UPPER, WAX

PATTERN = (
    (METAL, JACKET),
    (FEED, JACKET),
    (CORE, FEED),
    (RETURN, CORE),
    (RETURN, JACKET),
    (UPPER, JACKET),
    (UPPER, LIFT),
    (RADIATOR, UPPER),
    (RADIATOR, LIFT),
    (WAX, JACKET),
    (WAX, RADIATOR),
    (WAX, RETURN),
    (WAX, LIFT),
    (LIFT, JACKET),
    (LIFT, RADIATOR),
    (LIFT, RETURN),
    (LIFT, WAX),
    (JACKET, METAL),
    (JACKET, UPPER),
    (JACKET, RADIATOR),
    (JACKET, FEED),
    (JACKET, RETURN),
    (JACKET, LIFT),
)
"""Off-diagonal entries (row, column) of J that may be non-zero; any other entry is ignored."""


@jit
def factorise(J: Any, d: float, W: Any) -> None:
    """Factorise d I - J, d [1/s], into W, with reciprocal pivots. J, W: float64 (STIFF, STIFF). Source: Gaussian
    elimination.
    """
    W[METAL, METAL] = 1.0 / (d - J[METAL, METAL])
    W[METAL, JACKET] = -J[METAL, JACKET]
    W[FEED, FEED] = 1.0 / (d - J[FEED, FEED])
    W[FEED, JACKET] = -J[FEED, JACKET]
    W[CORE, CORE] = 1.0 / (d - J[CORE, CORE])
    W[CORE, FEED] = -J[CORE, FEED] * W[FEED, FEED]
    W[CORE, JACKET] = -W[CORE, FEED] * W[FEED, JACKET]
    W[RETURN, RETURN] = 1.0 / (d - J[RETURN, RETURN])
    W[RETURN, CORE] = -J[RETURN, CORE] * W[CORE, CORE]
    W[RETURN, JACKET] = -J[RETURN, JACKET] - W[RETURN, CORE] * W[CORE, JACKET]
    W[UPPER, UPPER] = 1.0 / (d - J[UPPER, UPPER])
    W[UPPER, JACKET] = -J[UPPER, JACKET]
    W[UPPER, LIFT] = -J[UPPER, LIFT]
    W[RADIATOR, RADIATOR] = 1.0 / (d - J[RADIATOR, RADIATOR])
    W[RADIATOR, UPPER] = -J[RADIATOR, UPPER] * W[UPPER, UPPER]
    W[RADIATOR, JACKET] = -W[RADIATOR, UPPER] * W[UPPER, JACKET]
    W[RADIATOR, LIFT] = -J[RADIATOR, LIFT] - W[RADIATOR, UPPER] * W[UPPER, LIFT]
    W[WAX, WAX] = 1.0 / (d - J[WAX, WAX])
    W[WAX, RETURN] = -J[WAX, RETURN] * W[RETURN, RETURN]
    W[WAX, RADIATOR] = -J[WAX, RADIATOR] * W[RADIATOR, RADIATOR]
    W[WAX, JACKET] = -J[WAX, JACKET] - W[WAX, RETURN] * W[RETURN, JACKET] - W[WAX, RADIATOR] * W[RADIATOR, JACKET]
    W[WAX, LIFT] = -J[WAX, LIFT] - W[WAX, RADIATOR] * W[RADIATOR, LIFT]
    W[LIFT, WAX] = -J[LIFT, WAX] * W[WAX, WAX]
    W[LIFT, RETURN] = -J[LIFT, RETURN] * W[RETURN, RETURN]
    W[LIFT, RADIATOR] = -J[LIFT, RADIATOR] * W[RADIATOR, RADIATOR]
    W[LIFT, JACKET] = -J[LIFT, JACKET] - W[LIFT, RETURN] * W[RETURN, JACKET]
    W[LIFT, JACKET] -= W[LIFT, RADIATOR] * W[RADIATOR, JACKET] + W[LIFT, WAX] * W[WAX, JACKET]
    pivot = d - J[LIFT, LIFT] - W[LIFT, RADIATOR] * W[RADIATOR, LIFT] - W[LIFT, WAX] * W[WAX, LIFT]
    W[LIFT, LIFT] = 1.0 / pivot
    W[JACKET, METAL] = -J[JACKET, METAL] * W[METAL, METAL]
    W[JACKET, FEED] = -J[JACKET, FEED] * W[FEED, FEED]
    W[JACKET, RETURN] = -J[JACKET, RETURN] * W[RETURN, RETURN]
    W[JACKET, UPPER] = -J[JACKET, UPPER] * W[UPPER, UPPER]
    W[JACKET, RADIATOR] = -J[JACKET, RADIATOR] * W[RADIATOR, RADIATOR]
    by_lift = -J[JACKET, LIFT] - W[JACKET, UPPER] * W[UPPER, LIFT] - W[JACKET, RADIATOR] * W[RADIATOR, LIFT]
    W[JACKET, LIFT] = by_lift * W[LIFT, LIFT]
    pivot = d - J[JACKET, JACKET] - W[JACKET, METAL] * W[METAL, JACKET] - W[JACKET, FEED] * W[FEED, JACKET]
    pivot -= W[JACKET, RETURN] * W[RETURN, JACKET] + W[JACKET, UPPER] * W[UPPER, JACKET]
    pivot -= W[JACKET, RADIATOR] * W[RADIATOR, JACKET] + W[JACKET, LIFT] * W[LIFT, JACKET]
    W[JACKET, JACKET] = 1.0 / pivot


@jit
def solve(W: Any, b: Any) -> None:
    """Solve the factorised equations in place of the right-hand side b, float64 (STATES,) [s times its unit].

    W from ``factorise``. Source: substitution.
    """
    b[CORE] -= W[CORE, FEED] * b[FEED]
    b[RETURN] -= W[RETURN, CORE] * b[CORE]
    b[RADIATOR] -= W[RADIATOR, UPPER] * b[UPPER]
    b[WAX] -= W[WAX, RETURN] * b[RETURN] + W[WAX, RADIATOR] * b[RADIATOR]
    b[LIFT] -= W[LIFT, RETURN] * b[RETURN] + W[LIFT, RADIATOR] * b[RADIATOR] + W[LIFT, WAX] * b[WAX]
    jacket = b[JACKET] - W[JACKET, METAL] * b[METAL] - W[JACKET, FEED] * b[FEED] - W[JACKET, RETURN] * b[RETURN]
    jacket -= W[JACKET, UPPER] * b[UPPER] + W[JACKET, RADIATOR] * b[RADIATOR] + W[JACKET, LIFT] * b[LIFT]
    jacket *= W[JACKET, JACKET]
    lift = (b[LIFT] - W[LIFT, JACKET] * jacket) * W[LIFT, LIFT]
    b[JACKET], b[LIFT] = jacket, lift
    b[WAX] = (b[WAX] - W[WAX, JACKET] * jacket - W[WAX, LIFT] * lift) * W[WAX, WAX]
    b[RADIATOR] = (b[RADIATOR] - W[RADIATOR, JACKET] * jacket - W[RADIATOR, LIFT] * lift) * W[RADIATOR, RADIATOR]
    b[UPPER] = (b[UPPER] - W[UPPER, JACKET] * jacket - W[UPPER, LIFT] * lift) * W[UPPER, UPPER]
    b[RETURN] = (b[RETURN] - W[RETURN, JACKET] * jacket) * W[RETURN, RETURN]
    b[CORE] = (b[CORE] - W[CORE, JACKET] * jacket) * W[CORE, CORE]
    b[FEED] = (b[FEED] - W[FEED, JACKET] * jacket) * W[FEED, FEED]
    b[METAL] = (b[METAL] - W[METAL, JACKET] * jacket) * W[METAL, METAL]
