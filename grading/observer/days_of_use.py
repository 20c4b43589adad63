"""How imagined vehicles arrive where the job tells for how many days they were driven with their fault.

Driving every one of them through those days would take longer than all the rest of a belief. So a few vehicles of each
fault that gets worse are driven, and every other arrives as the one of them whose severity is nearest to its own.
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
"""Vehicles of a fault that are driven."""
TOLERANCE_FACTOR = 2000.0
"""Of ``sim.fleet.Fleet``: litres are what is asked for."""


def arrive_after_days(parameters: np.ndarray, vehicle: Vehicle, fault: Fault, severity: np.ndarray, job: Job) -> None:
    """Change parameters (n,) of vehicles with a fault in place: what is missing, trapped or wet after a job's days.

    severity (n,): where each lies between the fault's bounds, 0..1.
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
    """Parameters (DRIVEN,) of vehicles after days of use, their severities rising evenly; kept, as their sessions and
    seeds share them.
    """
    parameters = draw(dict(good), f"days:{fault.id}", DRIVEN)
    low, high = fault.severity
    places = (np.arange(DRIVEN) + 0.5) / DRIVEN
    plant(parameters, fault, low + (high - low) * places, np.full(DRIVEN, 0.5))
    return drive_days_of_all(parameters, days, ambient_C, atmosphere_kPa, TOLERANCE_FACTOR)[0]
