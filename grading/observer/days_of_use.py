"""Arrival of particles in jobs that give the days driven with the fault.

Simulating those days for every particle would take longer than everything else. A few vehicles of each worsening fault
are simulated, and each particle arrives like the one whose severity is nearest to its own.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from scenarios.daily_use import ARRIVAL, drive_days_of_all
from scenarios.model import Fault, Job, Vehicle
from scenarios.planting import on_first_day, plant
from sim.laws.air import standard_atmosphere_pressure
from sim.vehicle.tolerances import draw

DRIVEN = 24
"""Simulated vehicles of a fault."""
TOLERANCE_FACTOR = 2000.0
"""Relaxed: only volumes in litres are needed."""


def arrive_after_days(parameters: np.ndarray, vehicle: Vehicle, fault: Fault, severity: np.ndarray, job: Job) -> None:
    """Set missing coolant, trapped air and wet carpet after a job's days in parameters (n,), in place.

    severity (n,): quantile between the fault's bounds, 0..1.
    """
    assert job.days is not None
    good = tuple(sorted(vehicle.parameters.items()))
    weather = job.ambient_C, standard_atmosphere_pressure(job.altitude_m)
    arrived = _driven(good, on_first_day(fault), job.days, *weather)
    nearest = np.clip(np.round(severity * DRIVEN - 0.5).astype(int), 0, DRIVEN - 1)
    for name in ARRIVAL:
        parameters[name] = arrived[name][nearest]


@lru_cache(maxsize=64)
def _driven(
    good: tuple[tuple[str, float], ...], fault: Fault, days: int, ambient_C: float, atmosphere_kPa: float
) -> np.ndarray:
    """Parameters (DRIVEN,) of vehicles after days of use, with evenly rising severities; cached for all sessions."""
    parameters = draw(dict(good), f"days:{fault.id}", DRIVEN)
    low, high = fault.severity
    places = (np.arange(DRIVEN) + 0.5) / DRIVEN
    plant(parameters, fault, low + (high - low) * places, np.full(DRIVEN, 0.5))
    return drive_days_of_all(parameters, days, ambient_C, atmosphere_kPa, TOLERANCE_FACTOR)[0]
