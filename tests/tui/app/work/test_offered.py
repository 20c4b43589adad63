"""What the board offers is taken by Enter, and another fault with the same complaint from a debrief that was passed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

import scenarios.files.loader
import tui.presentation.between_jobs.another_vehicle
from grading.drawing.narrowing import pair_word
from grading.drawing.number import job_id
from grading.marks.grade import Grade
from grading.sessions.records import kept_records
from scenarios.files.data_error import DataError
from scenarios.files.drawn_jobs import with_drawn_jobs
from scenarios.files.own_folders import drawn_folder
from scenarios.model import Catalogue
from tests.tui.graded import fixed_debrief
from tests.tui.presentation.learner import COLD, LOW, OTHER, STUCK, Learner, draw, four_jobs, on
from tests.tui.program import play, press, settle, still, text_of
from tui.app.app import Lukewarm
from tui.app.board_contents import DUE, OF_DAY
from tui.app.screens.board import Board
from tui.app.screens.draw_vehicle import DrawVehicle
from tui.app.screens.workshop import WorkshopScreen
from tui.app.widgets.rows import Rows

WORD = pair_word((LOW, STUCK))


@pytest.fixture(autouse=True)
def four(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    """Four jobs; a drawn vehicle has a stuck thermostat."""
    known = four_jobs(catalogue)

    def load(*folders: Path) -> Catalogue:
        return with_drawn_jobs(known, [folder.name for folder in folders])

    def drawn(catalogue: Catalogue, number: str, *rest: object) -> tuple[str, Path]:
        draw(catalogue, number, STUCK)
        return job_id(number), drawn_folder(job_id(number))

    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", load)
    monkeypatch.setattr("grading.sessions.made_with._catalogue_with", lambda folders: load(*folders))
    monkeypatch.setattr("grading.drawing.by_number.drawn_by_number", drawn)
    monkeypatch.setattr(tui.presentation.between_jobs.another_vehicle, "drawn_by_number", drawn)
    monkeypatch.setattr("tui.presentation.between_jobs.numbers.today", lambda: on("2001-02-09"))
    return known


async def opened(app: Lukewarm, pilot: Pilot[Any]) -> str:
    """Id of the job, once its workshop is entered."""
    while not isinstance(app.screen, WorkshopScreen) or not app.screen.is_mounted:
        await pilot.pause(0.05)
    await settle(pilot)
    return app.screen.session.job.id


def test_the_first_start_leads_to_the_easiest_job(four: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "▸○ Next: Other Tern" in await still(app, pilot)
        await press(pilot, "enter")
        assert await opened(app, pilot) == OTHER

    play(four, part)


def test_the_vehicle_of_the_day_is_drawn_and_entered(four: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await settle(pilot)
        app.screen.query_one(Rows).move_to(OF_DAY)
        await press(pilot, "enter")
        assert await opened(app, pilot) == "draw-20010209"
        assert "number 20010209" in text_of(app)
        await press(pilot, "k")
        assert "to a mate" in await still(app, pilot)
        await press(pilot, "escape")
        app.screen.query_one(Rows).move_to(OF_DAY)
        assert "begun" in await still(app, pilot)
        await press(pilot, "enter")
        assert await opened(app, pilot) == "draw-20010209"

    play(four, part)
    assert len(kept_records()) == 1


def test_a_drawn_vehicle_that_cannot_be_read_is_told_of(four: Catalogue) -> None:
    def broken(*folders: Path) -> Catalogue:
        raise DataError("draw-1.yaml", 8, 5, "an unknown fault", "another one")

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await settle(pilot)
        assert isinstance(app.screen, Board)
        app.screen.take_drawn("draw-1")
        await settle(pilot)
        assert isinstance(app.screen, Board)
        assert any("draw-1.yaml:8:5: an unknown fault" in told.message for told in app._notifications)

    drawn_folder("draw-1").mkdir(parents=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("grading.sessions.made_with._catalogue_with", broken)
        play(four, part)


def test_what_is_due_again_is_drawn_from_its_pair(four: Catalogue, records: Path) -> None:
    Learner(records).did("2001-02-06", COLD, STUCK, passed=False)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "Due again: coolant" in await still(app, pilot)
        app.screen.query_one(Rows).move_to(DUE + WORD)
        await press(pilot, "enter")
        assert (await opened(app, pilot)).startswith(f"draw-{WORD}-")

    play(four, part)


def _debrief(four: Catalogue, passed: bool) -> Any:
    debrief = fixed_debrief(four)
    debrief.grade = _with_verdict(debrief.grade, passed)
    return debrief


def _with_verdict(grade: Grade, passed: bool) -> Grade:
    return replace(grade, verdict="passed" if passed else "failed", passed=passed)


def test_another_fault_with_the_same_complaint_is_taken_from_a_debrief(four: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await settle(pilot)
        app.push_screen(_debrief(four, passed=True))
        await settle(pilot)
        assert "o Same complaint, another fault" in await still(app, pilot)
        await press(pilot, "o")
        assert (await opened(app, pilot)).startswith("draw-cold-")
        await press(pilot, "escape")
        assert isinstance(app.screen, Board)

    play(four, part, (100, 30))


def test_it_is_not_offered_where_the_job_was_not_passed(four: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(_debrief(four, passed=False))
        await settle(pilot)
        assert "another fault" not in await still(app, pilot)
        await press(pilot, "o")
        assert not isinstance(app.screen, DrawVehicle)

    play(four, part, (100, 30))
