"""The vehicle of a job on arrival, and the workshop that it is brought to."""

from __future__ import annotations

import numpy as np

from scenarios.model import Catalogue, Job
from scenarios.planting import FaultInstance, plant_faults
from scenarios.workshop import Workshop
from sim.laws.air import standard_atmosphere_pressure
from sim.vehicle.records import copy_records
from sim.vehicle.tolerances import draw, uniform
from sim.world import Weather


def job_weather(job: Job) -> Weather:
    """The weather of a job."""
    return Weather(job.ambient_C)


def open_workshop(
    catalogue: Catalogue, job: Job, parameters: np.ndarray, good: np.ndarray, sample_every: float | None = None
) -> Workshop:
    """The workshop of a job with given vehicles (n,): parameters on arrival; good: the same vehicles without faults."""
    atmosphere = standard_atmosphere_pressure(job.altitude_m)
    vehicle = catalogue.vehicles[job.vehicle]
    parameters = copy_records(parameters)
    parameters["core_km"] = job.mileage_km
    return Workshop(catalogue, vehicle, parameters, good, job_weather(job), atmosphere, sample_every=sample_every)


def arriving_vehicle(catalogue: Catalogue, job: Job, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """The job's own vehicle as (parameters, good), both (1,): its tolerances and severities keyed by job and seed."""
    key = f"vehicle:{job.id}:{seed}"
    good = draw(catalogue.vehicles[job.vehicle].parameters, key, 1)
    struck = []
    for planted in job.faults:
        fault = catalogue.faults[planted.fault]
        low, high = fault.severity
        drawn = low + (high - low) * uniform(key, fault.id, "severity")
        severity = planted.severity if planted.severity is not None else drawn
        luck = planted.luck if planted.luck is not None else uniform(key, fault.id, "luck")
        struck.append(FaultInstance(fault, severity, luck, planted.days))
    return plant_faults(good, struck, job.ambient_C, standard_atmosphere_pressure(job.altitude_m)), good
