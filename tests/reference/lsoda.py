"""The independent rates integrated by SciPy's LSODA: every switch's moment located, the integrator restarted there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

import numpy as np
from scipy.integrate import LSODA
from scipy.optimize import brentq

from tests.reference.rates import Vehicle
from tests.reference.switches import leave_door, margins, toggle, vehicle_of

EVENT_S = 1e-4
"""How exactly a switching moment is found [s]."""
LONGEST_S, NARROW = 1.0, 0.1
"""Longest step [s] where the thermostat has less travel than this [-]."""
SMALL: Any = np.array(
    [1.0] * 16
    + [1.0, 1.0, 1.0, 100.0, 0.1, 0.1, 0.01, 1.0, 10.0, 1.0]
    + [1e5] * 4
    + [1.0, 0.1, 1e3, 1.0, 1.0, 1.0, 0.1, 0.01]
)
"""Size of each state that counts as large [its unit]: absolute tolerance over the relative one."""


@dataclass
class Path:
    """A drive integrated: states at the times asked for, switches at its end by name, what changed over and when."""

    states: np.ndarray
    switches: dict[str, float]
    changes: list[tuple[float, str]] = field(default_factory=list)
    nearest: float = -np.inf
    """Least by which a sensor turned back before its switch's threshold [K], below 0; close to 0: it grazes."""
    evaluations: int = 0


def integrate(
    p: Mapping[str, float],
    c: Mapping[str, float],
    switches: Mapping[str, float],
    y0: np.ndarray,
    start: float,
    end: float,
    times: np.ndarray,
    rtol: float = 1e-9,
) -> Path:
    """One vehicle from start to end [s] under fixed controls p, c and switches by name; times [s]: rising, within."""
    path = Path(np.zeros((len(times), len(y0))), dict(switches))
    y, t, wanted = np.array(y0, dtype=float), start, 0
    until = toggle(p, c, path.switches, t)
    while t < end:
        vehicle = vehicle_of(p, c, path.switches)
        before = margins(vehicle, path.switches, y.tolist())
        late = [name for name, margin in before.items() if margin > 0.0]
        if late and not (path.changes and path.changes[-1][0] == t):
            for name in late:
                _change(path, name, t, vehicle)
            continue

        def rates(moment: float, state: np.ndarray, vehicle: Any = vehicle) -> list[float]:
            path.evaluations += 1
            return vehicle.rates(moment, state.tolist())

        stop = min(end, until)
        # a valve that can hardly move follows its wax for a few seconds only, which a long step would not see
        longest = LONGEST_S if p["lift_most"] - p["lift_least"] < NARROW else np.inf
        solver = LSODA(
            rates, t, y, stop, rtol=rtol, atol=rtol * SMALL, first_step=min(1e-3, stop - t), max_step=longest
        )
        rising = dict.fromkeys(before, False)
        due: list[str] = []
        while solver.status == "running" and not due:
            message = solver.step()
            if solver.status == "failed":
                raise RuntimeError(f"LSODA failed at {solver.t} s: {message}")
            after = margins(vehicle, path.switches, solver.y.tolist())
            now, dense = solver.t, solver.dense_output()
            crossed = {}
            for name, margin in after.items():
                if margin > 0.0 >= before[name]:

                    def beyond(moment: float, name: str = name, dense: Any = dense, vehicle: Any = vehicle) -> float:
                        return margins(vehicle, path.switches, dense(moment).tolist())[name]

                    low = float(t if solver.t_old is None else solver.t_old)
                    crossed[name] = cast(float, brentq(beyond, low, now, xtol=EVENT_S)) if before[name] < 0.0 else low
                elif rising[name] and margin < before[name] < 0.0:
                    path.nearest = max(path.nearest, before[name])
                rising[name] = margin > before[name]
            if crossed:
                now = min(crossed.values())
                due = [name for name, moment in crossed.items() if moment <= now]
            before = after
            while wanted < len(times) and times[wanted] <= now:
                path.states[wanted] = dense(times[wanted])
                wanted += 1
            t, y = now, np.array(dense(now)) if crossed else solver.y.copy()
        for name in due:
            _change(path, name, t, vehicle)
        if t >= until:
            until = toggle(p, c, path.switches, t)
            path.changes.append((t, "contact"))
    path.states[wanted:] = y
    return path


def _change(path: Path, name: str, now: float, vehicle: Vehicle) -> None:
    if name == "open":
        leave_door(vehicle, path.switches)
    path.switches[name] = 1.0 - path.switches[name]
    path.changes.append((now, name))
