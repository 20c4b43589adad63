"""The independent rates integrated by SciPy's LSODA, the electric fan's switch located and the integrator restarted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

import numpy as np
from scipy.integrate import LSODA
from scipy.optimize import brentq

from tests.reference.rates import Vehicle

EVENT_S = 1e-4
"""How exactly a switching moment is found [s]."""
SMALL: Any = np.array([1.0] * 16 + [1.0, 1.0, 1.0, 100.0, 0.1, 0.1, 0.01, 1.0, 10.0, 1.0] + [1e5] * 4 + [1.0, 0.1, 1e3])
"""Size of each state that counts as large [its unit]: absolute tolerance over the relative one."""


@dataclass
class Path:
    """A drive integrated: states at the times asked for, moments at which the fan switched, work done."""

    states: np.ndarray
    switched: list[float] = field(default_factory=list)
    nearest: float = -np.inf
    """Least by which the fan's sensor turned back before its threshold [K], below 0; close to 0: it grazes."""
    evaluations: int = 0
    fan: float = 0.0


def integrate(
    p: Mapping[str, float],
    c: Mapping[str, float],
    fan: float,
    blend_left: float,
    y0: np.ndarray,
    start: float,
    end: float,
    times: np.ndarray,
    rtol: float = 1e-9,
    asked: float = 0.0,
) -> Path:
    """One vehicle from start to end [s] under fixed controls p, c by name; times [s]: rising, within; rest: Vehicle."""
    vehicle = Vehicle(p, c, fan, blend_left, asked)
    path = Path(np.zeros((len(times), len(y0))))
    y, t, wanted = np.array(y0, dtype=float), start, 0
    if margin(vehicle, y) > 0.0:
        vehicle.fan = 1.0 - vehicle.fan

    def rates(moment: float, state: np.ndarray) -> list[float]:
        path.evaluations += 1
        return vehicle.rates(moment, state.tolist())

    while t < end:
        solver = LSODA(rates, t, y, end, rtol=rtol, atol=rtol * SMALL, first_step=min(1e-3, end - t))
        switched = False
        before = margin(vehicle, y)
        rising = False
        while solver.status == "running" and not switched:
            message = solver.step()
            if solver.status == "failed":
                raise RuntimeError(f"LSODA failed at {solver.t} s: {message}")
            now, dense = solver.t, None
            after = margin(vehicle, solver.y)
            if after > 0.0:
                dense = solver.dense_output()
                low = float(t if solver.t_old is None else solver.t_old)
                if before < 0.0:
                    now = cast(float, brentq(lambda m, d=dense: margin(vehicle, d(m)), low, now, xtol=EVENT_S))
                else:
                    now = low
                switched = True
                path.switched.append(now)
            else:
                if rising and after < before:
                    path.nearest = max(path.nearest, before)
                rising = after > before
            before = after
            while wanted < len(times) and (times[wanted] <= now):
                dense = dense or solver.dense_output()
                path.states[wanted] = dense(times[wanted])
                wanted += 1
            t = now
            y = np.array(dense(now)) if switched and dense else solver.y.copy()
        if switched:
            vehicle.fan = 1.0 - vehicle.fan
    path.states[wanted:] = y
    path.fan = vehicle.fan
    return path


def margin(vehicle: Vehicle, y: np.ndarray) -> float:
    """Positive once the electric fan's switch must change over [K]."""
    p = vehicle.p
    if p["fan_viscous"] > 0.5:
        return -np.inf
    sensed = vehicle.sensor(y.tolist())
    return p["fan_on_C"] - p["fan_off_K"] - sensed if vehicle.fan > 0.5 else sensed - p["fan_on_C"]
