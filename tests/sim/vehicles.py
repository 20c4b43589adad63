"""Vehicles for the tests of the physics: one of the usual car, cold, then driven."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet
from sim.vehicle.parameters import healthy
from tests.reference.draw import record

__all__ = ["driving", "record"]


def driving(parameters: dict[str, float] | None = None, ambient: float = 20.0, n: int = 1, **controls: float) -> Fleet:
    """A cold fleet of n equal vehicles at ambient [degC], engine running, further controls by name."""
    fleet = Fleet.cold(healthy(n, parameters), ambient)
    for name, value in {"ignition": 1.0, "engine": 1.0, **controls}.items():
        fleet.controls[name] = value
    fleet.apply_controls()
    return fleet


def path(fleet: Fleet, seconds: float, every: float = 1.0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Advance a fleet of one: moments (m,), its states there (m, STATES), its quantities there, structured (m,)."""
    times = np.arange(0.0, seconds + 1e-9, every)
    states, switches = fleet.advance_with_switches(0.0, seconds, times)
    return times, states[0], fleet.evaluate(states[0], switches=switches[0])
