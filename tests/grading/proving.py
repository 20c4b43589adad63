"""How a technician proves each complaint gone, the way the job card says, on a vehicle that is repaired or is not."""

from __future__ import annotations

from grading.sessions.record import Entry
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue, Job


def act(verb: str, *arguments: str | float) -> Action:
    """An action."""
    return Action(verb, arguments)


START, OFF = act("engine", "start"), act("ignition", "off")
HOT = (START, act("set", "heater", 100.0), act("set", "blower", 2.0), act("set", "vents", "floor"))
COOL_DOWN = (OFF, act("wait", 600.0))
VENTS = act("check", "vent-temperature")

WAYS: dict[str, tuple[Action, ...]] = {
    "losing coolant": (
        *COOL_DOWN,
        *(act("check", name) for name in ("pressure-test", "combustion-leak-test", "cap-test", "leaks-by-eye")),
        *(START, act("drive", 20.0), *COOL_DOWN, act("check", "coolant-level-cold")),
    ),
    "poor coolant": (
        *COOL_DOWN,
        act("check", "refractometer"),
        act("check", "coolant-voltage-loads-off"),
        act("check", "coolant-level-cold"),
    ),
    "wet carpet": (act("check", "carpet-feel"),),
    "slow": (*COOL_DOWN, *HOT, act("check", "vent-first-minutes"), act("drive", 8.0), VENTS),
    "cold": (*HOT, act("drive", 20.0), VENTS),
    "lukewarm": (*HOT, act("set", "blower", 4.0), act("drive", 15.0), act("drive", 20.0, 100.0), VENTS),
    "cold on the road": (*HOT, act("drive", 15.0), act("check", "vent-temperature-on-the-road")),
    "cold at idle": (*HOT, act("drive", 15.0), act("idle", 8.0), VENTS),
    "cold standing": (*HOT, act("drive", 20.0), act("check", "vent-engine-stopped")),
    "cold in the rear": (*HOT, act("drive", 20.0), act("check", "rear-vent-temperature")),
    "too warm": (
        START,
        act("set", "heater", 0.0),
        act("set", "blower", 2.0),
        act("drive", 15.0),
        act("check", "vent-at-cold"),
        act("check", "heater-return-touch"),
    ),
    "no air": (*HOT, act("drive", 15.0), act("check", "blower-each-speed")),
    "weak air": (*HOT, act("drive", 15.0), act("check", "blower-each-speed"), act("check", "blower-current")),
    "weak full speed": (*HOT, act("drive", 15.0), act("check", "blower-each-speed"), act("check", "blower-current")),
    "wrong outlet": (*HOT, act("drive", 5.0), act("idle", 1.0), act("check", "hard-pull-outlets")),
    "fogging": (
        *HOT,
        act("drive", 15.0),
        act("set", "recirculation", "on"),
        act("drive", 20.0),
        act("check", "fogged-glass"),
    ),
    "overheating": (
        START,
        act("drive", 25.0),
        act("check", "gauge-on-the-road"),
        act("idle", 30.0),
        act("check", "gauge"),
    ),
    "gauge": (
        *(*COOL_DOWN, act("ignition", "on"), act("check", "gauge")),
        *(START, act("drive", 20.0), act("check", "gauge")),
    ),
    "fan noise": (*COOL_DOWN, START, act("check", "radiator-fan")),
}
"""Complaint to what is done to show that it is gone. Lengths of drives: common practice, no source."""
LONG_TRIAL = (*HOT, *(act("drive", 20.0),) * 2)
"""Where it comes and goes: an hour of the customer's own driving."""


def way(job: Job) -> list[Action]:
    """What shows that everything complained of is gone: what wants a cold engine first."""
    kinds = [kind for kind in WAYS if kind in job.complains_of]
    trial = LONG_TRIAL if job.comes_and_goes else ()
    return [*trial, *(action for kind in kinds for action in WAYS[kind])]


def worked(catalogue: Catalogue, job: Job, seed: int, repairs: list[str], then: list[Action]) -> list[Entry]:
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
