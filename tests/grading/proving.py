"""How a technician proves each complaint gone, the way the job card says, on a vehicle that is repaired or is not."""

from __future__ import annotations

from grading.fairness.proof_course import COOL_DOWN, HOT, LONG_TRIAL, OFF, START, VENTS, WAYS, act
from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue, Job

__all__ = ["COOL_DOWN", "HOT", "OFF", "START", "VENTS", "act", "cures", "way", "worked"]


def way(job: Job) -> list[Action]:
    """What shows that everything complained of is gone: what wants a cold engine first."""
    kinds = [kind for kind in WAYS if kind in job.complains_of]
    trial = LONG_TRIAL if job.comes_and_goes else ()
    return [*trial, *(action for kind in kinds for action in WAYS[kind])]


def worked(catalogue: Catalogue, job: Job, seed: int, repairs: list[str], then: list[Action]) -> list[RecordEntry]:
    """The actions of a record in which repairs were done, and then what is to prove them; refused actions left out."""
    session = Session(catalogue, job, seed)
    for name in repairs:
        session.do(act("ignition", "on" if "ignition-on" in catalogue.repairs[name].needs else "off"))
        assert session.do(act("repair", name)).refused is None
    for action in then:
        session.do(action)
    return [entry for entry in session.recorder.entries if entry.kind == "action"]


def cures(catalogue: Catalogue, job: Job) -> list[str]:
    """The first repair that cures each of a job's faults on its vehicle."""
    vehicle = catalogue.vehicles[job.vehicle]
    return [
        next(name for name in catalogue.faults[fault].cured_by if catalogue.repairs[name].fits(vehicle))
        for fault in job.real_faults
    ]
