"""A job's own vehicle that cannot be calculated: told in words, with the record and the vehicle as they were."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import grading.marks.comeback
from grading.marks.comeback import month_after
from grading.sessions.openings import begin, resume
from grading.sessions.record import Recorder
from grading.sessions.session import Session
from grading.sessions.verification import CannotReplay, replay_session
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.model import Catalogue, Change, Job, Planted
from scenarios.physics_failure import AFTER_THE_JOB, BEFORE_THE_JOB, IN_THE_JOB, PhysicsFailed
from scenarios.wrong_use import WrongUse
from tests.grading.workbench import SEED, WRITE, bench, play, with_fault

NAN = float("nan")
WARM_UP = (Action("engine", ("start",)), Action("set", ("heater", 100.0)), Action("idle", (3.0,)))
DRIVE = Action("drive", (5.0, 50.0))
BACK = Action("handback")


def with_change(parameter: str, to: float, days: int | None = None) -> tuple[Catalogue, Job]:
    """A job whose vehicle has a parameter that no data file could give it."""
    catalogue, job = with_fault(bench(), "coolant-low")
    fault = replace(catalogue.faults["coolant-low"], changes=(Change(parameter, to=to),))
    catalogue = replace(catalogue, faults=catalogue.faults | {fault.id: fault})
    job = replace(job, faults=(Planted(fault.id, 1.0, days),))
    return replace(catalogue, jobs={job.id: job}), job


def test_an_action_that_cannot_be_calculated_is_refused_and_changes_nothing(tmp_path: Path) -> None:
    catalogue, job = with_fault(bench(), "none")
    path = tmp_path / "record.jsonl"
    session, twin = Session(catalogue, job, SEED, Recorder(path)), Session(catalogue, job, SEED)
    for action in WARM_UP:
        assert session.do(action).refused is None and twin.do(action).refused is None
    before, sound = path.read_bytes(), float(session.workshop.fleet.parameters["wax_s"][0])
    session.workshop.fleet.parameters["wax_s"] = NAN
    outcome = session.do(DRIVE)
    assert outcome.refused is not None and isinstance(outcome.failure, PhysicsFailed)
    assert f"beyond minute 3.00 {IN_THE_JOB}" in outcome.refused and "engine coolant" in outcome.refused
    assert path.read_bytes() == before and session.minute == twin.minute and not session.workshop.fleet.failed[0]
    session.workshop.fleet.parameters["wax_s"] = sound
    for action in (DRIVE, *WRITE[:1]):  # and the job goes on as if nothing had been asked
        assert session.do(action).refused is None and twin.do(action).refused is None
    mine, others = session.workshop, twin.workshop
    assert mine.fleet.state.tobytes() == others.fleet.state.tobytes() and mine.place == others.place
    assert [one.times.tolist() for one in mine.world.samples] == [one.times.tolist() for one in others.world.samples]
    session.recorder.close()


def test_a_vehicle_that_asks_for_endless_steps_is_refused_at_the_moment_where_it_does() -> None:
    catalogue, job = with_change("leak_hose", 1e6)
    session = Session(catalogue, job, SEED)
    session.do(Action("engine", ("start",)))
    outcome = session.do(DRIVE)
    assert outcome.refused is not None and "too many steps" in outcome.refused
    assert session.minute == 0.0 and [entry.kind for entry in session.recorder.entries] == ["job", "action"]


def test_a_vehicle_that_cannot_be_filled_opens_no_job(tmp_path: Path) -> None:
    catalogue, job = with_change("glycol", NAN)
    path = tmp_path / "record.jsonl"
    with pytest.raises(WrongUse, match=f"beyond minute 0.00 {IN_THE_JOB}: a figure of it is no longer finite"):
        begin(catalogue, job, SEED, path)
    assert not path.exists()


def test_days_of_use_that_cannot_be_calculated_are_an_error() -> None:
    catalogue, job = with_change("wax_s", NAN, days=3)
    with pytest.raises(PhysicsFailed, match=BEFORE_THE_JOB):
        Session(catalogue, job, SEED)


def test_a_record_that_cannot_be_calculated_any_more_is_told_with_its_line(tmp_path: Path) -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    path = tmp_path / "record.jsonl"
    session = Session(catalogue, job, SEED, Recorder(path))
    for action in (*WARM_UP, DRIVE):
        session.do(action)
    session.recorder.close()
    before = path.read_bytes()
    worse, job = with_change("heat_at_1000", NAN)
    with pytest.raises(CannotReplay, match=IN_THE_JOB):
        replay_session(worse, job, session.recorder.entries)
    with pytest.raises(DataError, match=f"record.jsonl:2:1: this cannot be done again: .* {IN_THE_JOB}"):
        resume(worse, job, path, lambda text: None)
    assert path.read_bytes() == before


def test_a_month_afterwards_that_cannot_be_calculated_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    catalogue, job = with_fault(bench(), "none")
    entries = play(catalogue, job, *WARM_UP, BACK).recorder.entries

    def later(*arguments) -> Session:
        """A session whose vehicle goes wrong once the keys are handed back."""
        session = replay_session(*arguments)
        session.workshop.fleet.parameters["wax_s"] = NAN
        return session

    monkeypatch.setattr(grading.marks.comeback, "replay_session", later)
    with pytest.raises(PhysicsFailed, match=AFTER_THE_JOB) as told:
        month_after(catalogue, job, entries)
    assert np.isfinite([float(word) for word in str(told.value).split() if word.replace(".", "").isdigit()]).all()
