"""Where a job stands: what is done, and what is next."""

from __future__ import annotations

from dataclasses import replace

from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Job
from tests.tui.small import small_catalogue
from tui.presentation.stages import next_step, stages

CATALOGUE = small_catalogue()
JOB = CATALOGUE.jobs["cold-tern"]
TEXTS = [Action("note", (kind, "one two three")) for kind in ("complaint", "cause", "correction")]


def _after(*actions: Action, job: Job = JOB) -> Session:
    session = Session(CATALOGUE, job, 1)
    for action in actions:
        assert session.do(action).refused is None, action
    return session


def _now(session: Session) -> str:
    (now,) = [stage.name for stage in stages(session) if stage.now]
    return now


def test_a_job_goes_through_its_stages_in_order() -> None:
    session = _after()
    assert _now(session) == "complaint"
    for actions, now in (
        ([Action("check", ("coolant-level-cold",))], "diagnosis"),
        ([Action("diagnose", ("coolant-low", 90.0))], "repair"),
        ([Action("repair", ("top-up",)), Action("engine", ("start",)), Action("drive", (15.0, 50.0))], "proof"),
        ([Action("check", ("vent-temperature",))], "write-up"),
        (TEXTS[:2], "write-up"),
        (TEXTS[2:], "keys"),
    ):
        for action in actions:
            assert session.do(action).refused is None, action
        assert _now(session) == now
        assert [stage.done for stage in stages(session)].index(False) == [s.name for s in stages(session)].index(now)


def test_how_far_a_stage_is_stands_with_it() -> None:
    session = _after(Action("check", ("coolant-level-cold",)), TEXTS[0])
    assert {stage.name: stage.told for stage in stages(session)} == {
        "complaint": "complaint",
        "readings": f"{len(session.readings)} reading",
        "diagnosis": "diagnosis",
        "repair": "repair",
        "proof": "proof",
        "write-up": "write-up 1/3",
        "keys": "keys",
    }


def test_a_reading_before_the_work_is_no_proof() -> None:
    session = _after(
        Action("engine", ("start",)), Action("check", ("vent-temperature",)), Action("diagnose", ("coolant-low", 90.0))
    )
    assert _now(session) == "repair"
    session.do(Action("engine", ("stop",)))
    assert session.do(Action("repair", ("top-up",))).refused is None
    assert _now(session) == "proof"
    assert "warm air at the vents" in next_step(session)


def test_nothing_is_repaired_where_nothing_is_wrong_or_the_job_ends_with_the_diagnosis() -> None:
    read = Action("check", ("coolant-level-cold",))
    sound = _after(read, Action("diagnose", ("none", 80.0)))
    card = _after(read, Action("diagnose", ("coolant-low", 80.0)), job=replace(JOB, diagnosis_only=True))
    for session in (sound, card):
        assert [stage.name for stage in stages(session)] == [
            *("complaint", "readings", "diagnosis", "write-up", "keys"),
        ]
        assert _now(session) == "write-up"
