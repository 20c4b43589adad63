"""The belief knows for how many days a job's vehicle was driven with its fault."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from grading.observer.days_of_use import DRIVEN, _driven, arrive_after_days
from grading.observer.particles import Particles
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.arrival import arriving_vehicle
from scenarios.daily_use import ARRIVAL, drive_days, drive_days_of_all
from scenarios.model import Job, Planted
from scenarios.planting import gets_worse, on_first_day, plant
from sim.laws.pressure import ATMOSPHERE
from sim.vehicle.tolerances import draw
from tests.bench.marking import believed
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
JOB = CATALOGUE.jobs["choir-bus"]
GET_WORSE = {
    "cap-weak",
    "cap-vacuum-valve-stuck",
    "head-gasket-leak",
    "heater-core-leak",
    "hose-leak",
    "pump-seal-leak",
    "expansion-tank-leak",
    "heater-tee-leak",
    "radiator-leak",
    "thermostat-housing-leak",
    "intake-seal-leaking",
    "scuttle-drain-blocked",
}


def driven(fault: str, severity: float | None, days: int | None) -> Job:
    """The job with a fault that it was driven with for days."""
    return replace(JOB, faults=(Planted(fault, severity, days),))


def missing(prior_particles: Particles, fault: str) -> np.ndarray:
    """Coolant missing [L] from the vehicles of a fault."""
    names = [one.id for one in prior_particles.faults]
    return prior_particles.workshop.fleet.parameters["missing_L"][prior_particles.label == names.index(fault)]


def test_the_faults_that_get_worse_are_those_that_lose_coolant_or_let_rain_in() -> None:
    assert {fault.id for fault in CATALOGUE.faults.values() if gets_worse(fault)} == GET_WORSE


def test_the_days_of_a_job_are_those_of_its_oldest_fault() -> None:
    assert (JOB.days, driven("hose-leak", None, None).days, replace(JOB, faults=()).days) == (3, None, None)
    assert replace(JOB, faults=(Planted("hose-leak", None, 2), Planted("cap-weak", None, 9))).days == 9


def test_a_leak_is_imagined_as_the_days_left_it() -> None:
    prior_particles = {
        days: Particles.sample_prior(CATALOGUE, driven("pump-seal-leak", None, days)) for days in (None, 1, 3)
    }
    litres = {days: float(np.median(missing(one, "pump-seal-leak"))) for days, one in prior_particles.items()}
    true = np.median(
        [arriving_vehicle(CATALOGUE, driven("pump-seal-leak", None, 3), k)[0]["missing_L"] for k in range(9)]
    )
    assert litres[3] == pytest.approx(float(true), rel=0.15)
    assert litres[1] < 0.6 * litres[3]
    assert missing(prior_particles[3], "coolant-low").tolist() == missing(prior_particles[None], "coolant-low").tolist()


def test_each_arrives_as_the_driven_vehicle_of_nearest_severity() -> None:
    fault = CATALOGUE.faults["hose-leak"]
    vehicle = CATALOGUE.vehicles[JOB.vehicle]
    severity = np.array([0.0, 0.5 / DRIVEN, 1.4 / DRIVEN, 1.6 / DRIVEN, 0.999, 1.0])
    parameters = draw(vehicle.parameters, "any", len(severity))
    plant(parameters, on_first_day(fault), severity, severity)
    before = parameters.copy()
    arrive_after_days(parameters, vehicle, fault, severity, JOB)
    lost = parameters["missing_L"]
    assert lost[0] == lost[1] != lost[2] and lost[4] == lost[5] > lost[0] > 0.0
    assert lost[2] == lost[3]
    changed = {name for name in before.dtype.names or () if (before[name] != parameters[name]).any()}
    assert changed <= ARRIVAL


def test_vehicles_are_driven_once_for_all_seeds() -> None:
    Particles.sample_prior(CATALOGUE, JOB)
    before = _driven.cache_info().misses
    Particles.sample_prior(CATALOGUE, JOB, "other")
    assert _driven.cache_info().misses == before


def test_many_vehicles_live_as_each_would_alone() -> None:
    """Among them one whose needle goes into the red, whose days end there."""
    fault = on_first_day(CATALOGUE.faults["head-gasket-leak"])
    parameters = draw(CATALOGUE.vehicles["hatch"].parameters, "lived", 4)
    plant(parameters, fault, np.array([0.0, 0.3, 0.7, 1.0]), np.full(4, 0.5))
    parameters["opens_C"][3:] = 200.0
    together, failed = drive_days_of_all(parameters, 2, 5.0, ATMOSPHERE)
    assert failed is None
    cooled = drive_days_of_all(parameters, 3, 5.0, ATMOSPHERE)[0]
    assert cooled["missing_L"][3] == together["missing_L"][3] and cooled["missing_L"][2] > together["missing_L"][2]
    for k in range(4):
        assert drive_days(parameters[k : k + 1], 2, 5.0, ATMOSPHERE).tobytes() == together[k : k + 1].tobytes()


def test_a_gasket_that_has_leaked_for_a_week_is_believed() -> None:
    job = driven("head-gasket-leak", 0.6, 7)
    session = Session(CATALOGUE, job, 1)
    for name in ("overflow-level", "coolant-level-cold", "combustion-leak-test"):
        session.do(Action("check", (name,)))
    shown = {one["label"]: one["shown"] for entry in session.recorder.entries for one in entry.data.get("readings", ())}
    assert shown["test fluid"] == "turns yellow" and shown["level at the filler"] == "no coolant to be seen"
    assert believed(session.recorder.entries, job, "imagined")["head-gasket-leak"] > 0.95
