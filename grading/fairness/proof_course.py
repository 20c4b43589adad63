"""Actions that prove each complaint gone as the job card says, for repaired and unrepaired vehicles."""

from __future__ import annotations

from grading.marks.what_counts import complaints_of, proof_check
from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue, Job, Repair, Vehicle


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
"""Complaint to what is done to show that it is gone, those first that need a cold engine. Lengths of drives: common
practice, no source."""
LONG_TRIAL = (*HOT, *(act("drive", 20.0),) * 2)
"""Where the fault comes and goes: forty minutes of the customer's own driving."""


def proof_course(catalogue: Catalogue, job: Job) -> list[Action]:
    """What shows that everything complained of is gone, complaint by complaint.

    Checks that the job's vehicle does not have are left out; where a complaint then has none, the quickest check that
    can prove it takes their place.
    """
    vehicle, kinds = catalogue.vehicles[job.vehicle], complaints_of(job)
    known = {check.id for check in catalogue.checks_of(vehicle)}
    course = list(LONG_TRIAL) if job.comes_and_goes else []
    for kind in (kind for kind in WAYS if kind in kinds):
        way = [action for action in WAYS[kind] if action.verb != "check" or action.text(0) in known]
        other = proof_check(catalogue, vehicle, kind)
        if other is not None and all(action.verb != "check" for action in way):
            way += [OFF] * ("engine-off" in other.needs) + [act("check", other.id)]
        course += way
    return course


def can_be_tried(catalogue: Catalogue, vehicle: Vehicle, kind: str) -> bool:
    """Whether a vehicle has what a complaint is about: a rear heater, an engine that stops itself."""
    known = {check.id for check in catalogue.checks_of(vehicle)}
    return any(action.verb == "check" and action.text(0) in known for action in WAYS[kind])


def worked(catalogue: Catalogue, job: Job, seed: int, repairs: list[str], then: list[Action]) -> Session:
    """A session in which repairs were done, each with the controls that it needs, and then what is to prove them.

    What is refused is not on record. Raises PhysicsFailed where the vehicle as it arrives cannot be calculated.
    """
    session = Session(catalogue, job, seed)
    for name in repairs:
        for action in _ready_for(catalogue.repairs[name], session):
            session.do(action)
        session.do(act("repair", name))
    for action in then:
        session.do(action)
    return session


def _ready_for(repair: Repair, session: Session) -> list[Action]:
    """What comes before a repair: the controls it needs, and an engine that is cold before its cap is opened."""
    if "engine-running" in repair.needs:
        return [START]
    ran = any(entry.data.get("verb") == "engine" for entry in session.recorder.entries)
    cool = [*COOL_DOWN] if repair.opens_cap and ran else [OFF]
    return [*cool, act("ignition", "on")] if "ignition-on" in repair.needs else cool


def actions_of(session: Session) -> list[RecordEntry]:
    """The actions that a session has on record."""
    return [entry for entry in session.recorder.entries if entry.kind == "action"]
