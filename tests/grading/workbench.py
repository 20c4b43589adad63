"""A small catalogue for marking, and sessions played on it: three faults, a leak, and a twin on demand."""

from __future__ import annotations

from dataclasses import replace

from grading.marks.grade import Grade, Grader
from grading.marks.rubric import Rubric
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue, Change, Job, Planted, Repair
from tests.tui.small import small_catalogue

SEED = 1
FIND = (
    Action("check", ("coolant-level-cold",)),
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
    Action("check", ("heater-feed-infrared",)),
)
PROVE = (
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
    Action("check", ("vent-temperature",)),
)
WRITE = tuple(Action("note", (kind, "in three words")) for kind in ("complaint", "cause", "correction"))
CURE = (Action("ignition", ("off",)), Action("wait", (420.0,)), Action("repair", ("top-up",)))


def bench() -> Catalogue:
    """The small catalogue with a leak, a valve that was tied open, a twin of low coolant, and protected checks."""
    small = small_catalogue()
    low = small.faults["coolant-low"]
    faults = small.faults | {
        "hose-leaks": replace(
            low,
            id="hose-leaks",
            name="a hose leaks",
            part="heater hose",
            changes=(Change("missing_L", to=1.8), Change("leak_hose", to=0.012)),
            cured_by=("new-hose",),
            relieved_by=("top-up",),
        ),
    }
    hose = replace(small.repairs["top-up"], id="new-hose", name="Renew the hose", cost="large", renews=("leak_hose",))
    checks = dict(small.checks)
    for name in ("coolant-level-cold", "vent-temperature"):
        checks[name] = replace(checks[name], protected=True)
    return replace(small, faults=faults, repairs=small.repairs | {"new-hose": hose}, checks=checks)


def with_twin(catalogue: Catalogue) -> Catalogue:
    """Another fault that no check tells from low coolant."""
    twin = replace(catalogue.faults["coolant-low"], id="twin", name="low for another reason", part="bottle")
    return replace(catalogue, faults=catalogue.faults | {"twin": twin})


def with_fault(catalogue: Catalogue, fault: str) -> tuple[Catalogue, Job]:
    """The job with another fault in the vehicle."""
    job = replace(catalogue.jobs["cold-tern"], faults=(Planted(fault, 1.0),) if fault != "none" else ())
    return replace(catalogue, jobs={job.id: job}), job


def play(catalogue: Catalogue, job: Job, *actions: Action) -> Session:
    """A session of these actions, none of them refused."""
    session = Session(catalogue, job, SEED)
    for action in actions:
        outcome = session.do(action)
        assert outcome.refused is None, outcome.refused
    return session


def marks(session: Session, rubric: Rubric | None = None) -> Grade:
    """Its grade by a grader of its own."""
    return Grader(session.catalogue, session.job, session.seed, rubric).grade(session.recorder.entries)


def repair_named(catalogue: Catalogue, repair: Repair) -> Catalogue:
    """The catalogue with one repair more."""
    return replace(catalogue, repairs=catalogue.repairs | {repair.id: repair})
