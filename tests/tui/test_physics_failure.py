"""Where a vehicle cannot be calculated, whoever asked is told in words, in every interface, and nothing is lost."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from textual.pilot import Pilot

import grading.marks.grade
import tui.commands.trace
from grading.report.hints import Guide
from grading.sessions.modes import GUIDED, Mode
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue, Change
from scenarios.physics_failure import AFTER_THE_JOB, PhysicsFailed
from sim.vehicle.parameters import healthy
from tests.tui.graded import recorded
from tests.tui.program import play, still
from tui.app.app import Lukewarm
from tui.app.screens.hint import HintSlip
from tui.app.screens.marking import Marking

Run = Callable[..., tuple[int, str, str]]
WORDS = "the vehicle cannot be calculated beyond minute"


@pytest.fixture
def endless(catalogue: Catalogue) -> None:
    """The job's vehicle asks for endless steps as soon as time passes."""
    fault = replace(catalogue.faults["coolant-low"], changes=(Change("leak_hose", to=1e6),))
    catalogue.faults[fault.id] = fault


@pytest.fixture
def no_month(monkeypatch: pytest.MonkeyPatch) -> None:
    """The month after a job cannot be calculated."""

    def fail(*_: object) -> None:
        raise PhysicsFailed(f"{WORDS} 9.00 {AFTER_THE_JOB}")

    monkeypatch.setattr(grading.marks.grade, "month_after", fail)


@pytest.mark.usefixtures("endless")
@pytest.mark.parametrize("form", ["json", "plain"])
def test_text_says_it_and_the_record_holds_what_was_done(lukewarm: Run, form: str, tmp_path: Path) -> None:
    record = tmp_path / "record.jsonl"
    lines = ("set heater 100", "engine start", "drive 15", "diagnose coolant-low 90")
    status, output, errors = lukewarm("text", "cold-tern", "--format", form, "--record", str(record), lines=lines)
    assert status == 1 and "Traceback" not in output + errors
    assert output.lower().count(WORDS) == 1 and "too many steps" in output
    kept = [json.loads(line) for line in record.read_text(encoding="utf-8").splitlines()]
    assert [entry.get("verb", "job") for entry in kept] == ["job", "set", "engine", "diagnose"]


@pytest.mark.usefixtures("no_month")
def test_marking_says_it_in_text_and_on_the_command_line(lukewarm: Run, tmp_path: Path) -> None:
    record = tmp_path / "record.jsonl"
    lines = ("diagnose coolant-low 90", "handback")
    _, output, errors = lukewarm("text", "cold-tern", "--format", "json", "--record", str(record), lines=lines)
    assert WORDS in json.loads(output.splitlines()[-1])["error"] and errors == ""
    before = record.read_bytes()
    status, output, errors = lukewarm("debrief", str(record))
    assert (status, output) == (2, "")
    assert errors.startswith(f"lukewarm: {WORDS}") and len(errors.splitlines()) == 1
    assert record.read_bytes() == before


def test_trace_says_it(lukewarm: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tui.commands.trace, "_parameters", lambda *_: healthy(1, {"leak_hose": 1e6}))
    status, output, errors = lukewarm("trace", "--vehicle", "tern", "--drive", "idle:120")
    assert (status, output) == (2, "")
    assert errors.startswith(f"lukewarm: {WORDS}") and "in the drive" in errors and len(errors.splitlines()) == 1


@pytest.mark.usefixtures("no_month")
def test_the_screen_of_marking_says_it(catalogue: Catalogue) -> None:
    entries = recorded(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(Marking(entries, None))
        assert "cannot be calculated" in await still(app, pilot)

    play(catalogue, part)


@pytest.mark.usefixtures("endless")
def test_the_workshop_says_it_and_goes_on(catalogue: Catalogue) -> None:
    from tui.app.screens.workshop import WorkshopScreen

    session = Session(catalogue, catalogue.jobs["cold-tern"], 1)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        screen = WorkshopScreen(session)
        await app.push_screen(screen)
        screen.perform(Action("engine", ("start",)))
        screen.perform(Action("idle", (5.0,)))
        assert "cannot be calculated" in " ".join((await still(app, pilot)).split())
        screen.perform(Action("set", ("heater", 100.0)))
        await still(app, pilot)
        assert session.workshop.control("heater") == 1.0

    play(catalogue, part, size=(120, 40))


def test_a_hint_says_it(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise PhysicsFailed("none of the vehicles that it could be can be calculated any further")

    monkeypatch.setattr(Guide, "ladder", fail)
    session = Session(catalogue, catalogue.jobs["cold-tern"], 1, mode=Mode(GUIDED))

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(HintSlip(session, Guide(session)))
        assert "none of the vehicles" in " ".join((await still(app, pilot)).split())

    play(catalogue, part)


def test_a_vehicle_that_cannot_be_filled_opens_no_job(lukewarm: Run, catalogue: Catalogue, tmp_path: Path) -> None:
    fault = replace(catalogue.faults["coolant-low"], changes=(Change("glycol", to=float(np.nan)),))
    catalogue.faults[fault.id] = fault
    record = tmp_path / "record.jsonl"
    status, output, errors = lukewarm("text", "cold-tern", "--record", str(record))
    assert (status, output) == (2, "")
    assert errors.startswith(f"lukewarm: {WORDS} 0.00") and not record.exists()
