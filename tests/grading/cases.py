"""Cases to mark, built by hand: every number that a criterion looks at is one that the test states."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from grading.marks.case import Case, Declared
from grading.marks.proof import Proof
from grading.marks.replay import Step
from grading.marks.rubric import Rubric
from grading.reference.policy import ReferenceRun
from grading.sessions.record import RecordEntry
from scenarios.actions import Action, standing
from scenarios.model import Catalogue, Job, Planted
from tests.grading.workbench import bench

PRIOR = 0.2
"""Of each of the five faults of `marking`, which are equally common and all told as "cold"."""
PROVEN = Proof(True)
COURSE = ReferenceRun([Action("check", ("gauge",))], ["gauge"], 2.0, "coolant-low", 0.85)
"""A reference that took one check of two minutes and stopped with as much belief as anyone needs."""
RUBRIC = Rubric(
    weights={"diagnosis": 40.0, "efficiency": 20.0, "safety": 15.0, "parts": 10.0, "inquiry": 10.0, "calibration": 5.0},
    total=70.0,
    floors={"diagnosis": 50.0, "safety": 60.0, "parts": 50.0},
    cap=49.0,
    hints={"question": 1.0, "pointer": 2.0, "explanation": 4.0},
    needless=1200.0,
    allowance_factor=2.0,
    allowance_least=45.0,
    allowance_otherwise=120.0,
    hash="",
)
"""Written out here, so that no test hangs on the packaged file."""


@cache
def marking() -> Catalogue:
    """The catalogue of the bench with a fault of another system: five faults, equally likely at first."""
    small = bench()
    low = small.faults["coolant-low"]
    motor = replace(low, id="motor-dead", name="motor dead", system="blower", part="motor", cured_by=("renew-motor",))
    repair = replace(small.repairs["top-up"], id="renew-motor", name="Renew the motor", cost="medium")
    return replace(small, faults=small.faults | {motor.id: motor}, repairs=small.repairs | {repair.id: repair})


@dataclass(frozen=True)
class Did:
    """One action of a record: minutes it took; bits that it could be expected to bring; shown: label to display step;
    hurt: for each safety event whether it is critical; before: belief before it in some faults.
    """

    action: Action
    minutes: float = 0.0
    bits: float = 1.0
    shown: tuple[tuple[str, int], ...] = ()
    hurt: tuple[bool, ...] = ()
    before: tuple[tuple[str, float], ...] = ()


def did(
    verb: str,
    *arguments: str | float,
    minutes: float = 0.0,
    bits: float = 1.0,
    shown: Mapping[str, int] | None = None,
    hurt: Iterable[bool] = (),
    before: Mapping[str, float] | None = None,
) -> Did:
    """One action, as ``Did`` says."""
    believed = tuple((before or {}).items())
    return Did(Action(verb, arguments), minutes, bits, tuple((shown or {}).items()), tuple(hurt), believed)


def entries(*done: Did) -> list[RecordEntry]:
    """The actions as a record holds them, one after the other."""
    out, minute = [], 0.0
    for number, one in enumerate(done, 1):
        data = {
            "n": number,
            "verb": one.action.verb,
            "arguments": list(one.action.arguments),
            "minute": minute,
            "minutes": one.minutes,
            "readings": [{"label": label, "step": step, "shown": ""} for label, step in one.shown],
            "safety": [{"what": f"event {k}", "critical": critical} for k, critical in enumerate(one.hurt, 1)],
        }
        out.append(RecordEntry("action", data))
        minute += one.minutes
    return out


def steps(*done: Did) -> list[Step]:
    """The same as a replay gives them; beliefs not stated and their errors are left at nothing."""
    nothing, out = np.zeros(len(marking().faults)), []
    for k, (one, entry) in enumerate(zip(done, entries(*done), strict=True), 1):
        before = vector(dict(one.before))
        minute = entry.data["minute"]
        out.append(Step(k, one.action, minute, one.minutes, (), before, nothing, nothing, nothing, one.bits, None))
    return out


def vector(chances: Mapping[str, float]) -> np.ndarray:
    """Chances by fault as an array (faults,), 0 for those not named."""
    return np.array([chances.get(name, 0.0) for name in marking().faults])


def job_with(*faults: str) -> Job:
    """The bench's job with these faults in its vehicle."""
    return replace(marking().jobs["cold-tern"], faults=tuple(Planted(name, 1.0) for name in faults))


def case(
    *done: Did,
    belief: Mapping[str, float] | None = None,
    error: Mapping[str, float] | None = None,
    truth: tuple[str, ...] = ("coolant-low",),
    group: Iterable[str] = (),
    course: ReferenceRun = COURSE,
    catalogue: Catalogue | None = None,
    rubric: Rubric = RUBRIC,
    proof: Proof = PROVEN,
) -> Case:
    """A record to mark: every diagnosis that stands has the belief and error given, and the group, which is its own
    fault where none is given; steps go up to the last diagnosis or repair.
    """
    known = catalogue or marking()
    said = [k for k, one in enumerate(done) if one.action.verb in ("diagnose", "repair")]
    job = job_with(*(name for name in truth if name != "none"))
    whole = steps(*(done[: said[-1] + 1] if said else done))
    held = []
    for at in standing([step.action for step in whole]):
        fault = known.faults[whole[at].action.text(0)]
        alike = frozenset(group or [fault.id])
        held.append(
            Declared(fault, whole[at].action.number(1) / 100.0, alike, vector(belief or {}), vector(error or {}))
        )
    return Case(
        catalogue=known,
        job=job,
        actions=entries(*done),
        steps=whole,
        course=course,
        faults=list(known.faults.values()),
        truth=list(truth),
        rubric=rubric,
        held=tuple(held),
        proof=proof,
    )
