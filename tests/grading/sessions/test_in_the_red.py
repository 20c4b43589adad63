"""In the red the engine is switched off, and wrong work is told and marked: recorded, replayed, resumed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from grading.sessions.openings import begin, resume
from grading.sessions.outcome import Outcome
from grading.sessions.record import RecordEntry, Recorder, read_record
from grading.sessions.session import SWITCH_OFF, Session
from grading.sessions.verification import replay_session, replayed
from scenarios.actions import Action
from scenarios.model import Catalogue, Planted
from sim.vehicle import states as st
from tests.packaged import packaged_catalogue
from tests.tui.small import small_catalogue

SMALL = small_catalogue()
STUCK = replace(SMALL.vehicles["tern"], parameters={"gauge_rest": 0.99, "gauge_works": 0.0})
"""A gauge stuck in the red whenever the ignition is on."""
RED = replace(SMALL, vehicles={"tern": STUCK})
JOB = RED.jobs["cold-tern"]
START = Action("engine", ("start",))
OTHER = {"engine": "another", "catalogue": "another"}


def play(*actions: Action, catalogue: Catalogue = RED) -> tuple[Session, list[Outcome]]:
    session = Session(catalogue, catalogue.jobs[JOB.id], 1)
    return session, [session.do(action) for action in actions]


def done(session: Session) -> list[Action]:
    return [entry.action for entry in session.recorder.entries if entry.kind == "action"]


@pytest.mark.parametrize(
    ("action", "lasted"),
    [
        (Action("drive", (5.0, 50.0)), Action("drive", (0.5, 50.0))),
        (Action("idle", (5.0,)), Action("idle", (0.5,))),
        (Action("idle", (0.5,)), Action("idle", (0.5,))),  # the red comes as it ends anyway
        (Action("rev", (2000.0, 5.0)), Action("rev", (2000.0, 0.5))),
        (Action("check", ("road-gauge",)), Action("check", ("road-gauge", 0.5))),
    ],
)
def test_the_engine_is_switched_off_in_the_red_and_the_program_says_so(action: Action, lasted: Action) -> None:
    session, (_, outcome) = play(START, action)
    assert outcome.action == lasted
    assert outcome.said[-1] == "The needle is in the red. You switch the engine off: it must not run on."
    assert (session.workshop.control("engine"), session.workshop.control("ignition")) == (0.0, 0.0)
    assert done(session) == [START, lasted, SWITCH_OFF]
    assert session.do(Action("idle", (1.0,))).refused


def test_whoever_starts_it_again_is_stopped_again() -> None:
    session, _ = play(START, Action("idle", (1.0,)), START, Action("idle", (1.0,)))
    assert done(session) == [START, Action("idle", (0.5,)), SWITCH_OFF] * 2


def heated(session: Session) -> None:
    """The engine at 128 degC, which puts the needle into the red."""
    fleet = session.workshop.fleet
    fleet.state[:, [st.JACKET, st.UPPER, st.METAL, st.BLOCK, st.SENSOR]] = 128.0
    fleet.refresh()


def test_running_on_and_starting_again_are_critical_errors() -> None:
    blocked = replace(SMALL.vehicles["tern"], parameters={"radiator_clear": 0.02})
    session, _ = play(START, catalogue=replace(SMALL, vehicles={"tern": blocked}))
    session.switches_off = False
    events: list[tuple[str, bool]] = []
    for _ in range(6):
        heated(session)
        events += marked(session.do(Action("idle", (1.0,))))  # each ends at the next glance, after half a minute
    assert events == [("kept the engine running after it showed overheating", True)]
    heated(session)
    session.do(SWITCH_OFF)
    assert marked(session.do(START)) == [("restarted the engine with the gauge still in the red", True)]


def test_out_of_the_red_it_runs_on() -> None:
    session, (_, outcome) = play(START, Action("drive", (1.0, 50.0)), catalogue=SMALL)
    assert session.workshop.control("engine") == 1.0 and "red" not in " ".join(outcome.said)


def test_a_replay_does_what_was_recorded_and_no_more() -> None:
    session, _ = play(START, Action("check", ("road-gauge",)), Action("wait", (3.0,)))
    again = replayed(RED, session.recorder.entries)
    assert again.sound and again.same_version
    assert again.entries == session.recorder.entries
    assert (again.session.workshop.fleet.state == session.workshop.fleet.state).all()


def test_a_record_that_leaves_the_engine_running_in_the_red_is_not_sound() -> None:
    session, _ = play(START, Action("idle", (1.0,)), Action("wait", (3.0,)))
    kept = [entry for entry in session.recorder.entries if entry.kind != "action" or entry.action != SWITCH_OFF]
    forged = [RecordEntry(entry.kind, entry.data | {"n": n}) for n, entry in enumerate(kept)]
    again = replayed(RED, forged)
    assert again.difference is not None and again.difference.line == 4
    assert str(again.difference.what) == "the engine was not switched off in the red"


def test_a_record_of_another_version_idles_on_as_it_did() -> None:
    """Then the engine went on idling, and the next action could be one that wants it to run."""
    session = Session(RED, JOB, 1)
    session.switches_off = False
    for action in (START, Action("drive", (1.0, 50.0)), Action("idle", (0.5,))):
        assert session.do(action).refused is None
    first, *rest = session.recorder.entries
    again = replayed(RED, [RecordEntry("job", first.data | OTHER), *rest])
    assert not again.same_version and again.sound
    assert [entry.action for entry in again.entries[1:]] == done(session)


def test_a_record_that_broke_off_in_the_red_is_switched_off_as_it_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "record.jsonl"
    session = begin(RED, JOB, 1, path)
    for action in (START, Action("idle", (1.0,))):
        session.do(action)
    session.close()
    lines = path.read_bytes().splitlines(keepends=True)
    assert b"ignition" in lines[-1]
    path.write_bytes(b"".join(lines[:-1]))  # killed before it was written
    session = resume(RED, JOB, path, lambda text: None)
    session.close()
    assert read_record(path)[-1].action == SWITCH_OFF
    session = resume(RED, JOB, path, lambda text: None)
    session.close()
    assert path.read_bytes().splitlines(keepends=True)[:-1] == lines[:-1]  # once


def test_what_another_version_allowed_is_made_possible_first() -> None:
    """It took the test at the filler with the engine running; now the check itself starts it."""
    catalogue = packaged_catalogue()
    session = Session(catalogue, catalogue.jobs["first-frost"], 1, Recorder(None))
    line = {"minutes": 0.0, "readings": [], "noticed": [], "safety": []}
    actions = (START, Action("check", ("combustion-leak-test",)), Action("idle", (1.0,)))
    old = [
        RecordEntry("action", {"n": n, "verb": action.verb, "arguments": list(action.arguments), "minute": 0.0, **line})
        for n, action in enumerate(actions, 1)
    ]
    first = session.recorder.entries[0]
    again = replayed(catalogue, [RecordEntry("job", first.data | OTHER), *old])
    assert [(entry.data["n"], entry.action) for entry in again.entries[1:]] == [
        (1, START), (2, SWITCH_OFF), (2, actions[1]), (3, START), (3, actions[2]),
    ]  # fmt: skip
    assert replay_session(catalogue, session.job, [RecordEntry("job", first.data | OTHER), *old]).minute > 12.0


# -- wrong work --


def repaired(fault: str, *repairs: str, job: str = "quiet-dash", severity: float = 1.0, seed: int = 1) -> list[Outcome]:
    """What came of repairs on a job's vehicle with another fault."""
    catalogue = packaged_catalogue()
    planted = (Planted(fault, severity),) if fault else ()
    session = Session(catalogue, replace(catalogue.jobs[job], faults=planted), seed)
    outcomes = [session.do(Action("repair", (name,))) for name in repairs]
    assert all(outcome.refused is None for outcome in outcomes)
    return outcomes


def marked(outcome: Outcome) -> list[tuple[str, bool]]:
    return [(event.what, event.critical) for event in outcome.safety]


FITTED = ("fitted a fuse of a higher rating than the circuit's", True)
BURNT = ("burnt the blower's wiring", True)


def test_a_wrong_fuse_is_marked_whatever_comes_of_it() -> None:
    (fitted,) = repaired("", "fit-larger-fuse")
    assert marked(fitted) == [FITTED] and len(fitted.said) == 1
    bridged = repaired("blower-wire-chafed", "bridge-fuse")[0]
    assert marked(bridged) == [("bridged a fuse", True), BURNT]
    assert "Smoke and a smell of burnt plastic" in bridged.said[-1]
    assert marked(repaired("", "replace-blower-fuse")[0]) == []


def test_a_fuse_that_blows_at_once_is_seen() -> None:
    blown = repaired("blower-wire-chafed", "replace-blower-fuse")[0]
    assert marked(blown) == [] and "the new fuse has blown at once" in blown.said[-1]
    assert "blown" not in " ".join(repaired("blower-fuse-blown", "replace-blower-fuse")[0].said)


def test_mains_pressure_is_marked_and_a_burst_core_is_seen() -> None:
    """Eight vehicles of 98000 km: some burst, some do not; each does what it did before."""
    put = ("put mains pressure on the heater core", True)
    outcomes = [repaired("core-clogged", "flush-at-full-pressure", severity=0.8, seed=seed)[0] for seed in range(8)]
    burst = [("burst the heater core", False) in marked(outcome) for outcome in outcomes]
    assert any(burst) and not all(burst)
    for outcome, gone in zip(outcomes, burst, strict=True):
        assert marked(outcome)[0] == put
        assert ("has burst" in outcome.said[-1]) == gone


def test_sealant_is_seen_in_the_coolant() -> None:
    assert "Brown flakes" in repaired("", "add-sealant")[0].said[-1]
