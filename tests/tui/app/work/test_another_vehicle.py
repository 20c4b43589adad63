"""Another vehicle is drawn from the board, opened, and marked as any other."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

import grading.drawing.by_number
import grading.sessions.made_with
from grading.drawing.number import job_id
from grading.drawing.written import write_jobs
from grading.sessions.records import kept_records
from scenarios.files.own_folders import drawn_folder
from scenarios.model import Catalogue
from scenarios.wrong_use import WrongUse
from tests.tui.program import play, press, settle, text_of
from tui.app.app import Lukewarm
from tui.app.screens.another_vehicle import AnotherVehicle
from tui.app.screens.workshop import WorkshopScreen
from tui.presentation.between_jobs.another_vehicle import waiting

ASKED: list[str] = []


@pytest.fixture(autouse=True)
def drawn(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    """Drawing takes a job of the small catalogue instead of simulating, and so does reading its folder."""
    ASKED.clear()

    def draw(known: Catalogue, number: str, *rest: object) -> tuple[str, Path]:
        name = job_id(number)
        ASKED.append(number)
        write_jobs(drawn_folder(name), [], "Drawn for a test.")
        return name, drawn_folder(name)

    def with_it(known: Catalogue, job: str) -> Catalogue:
        blank = next(iter(known.jobs.values()))
        return replace(known, jobs={**known.jobs, job: replace(blank, id=job, title="Drawn by chance")})

    monkeypatch.setattr(grading.drawing.by_number, "drawn_by_number", draw)
    monkeypatch.setattr(grading.sessions.made_with, "with_drawn", with_it)


async def drawn_and_open(app: Lukewarm, pilot: Pilot[Any]) -> None:
    while not isinstance(app.screen, WorkshopScreen) or not app.screen.is_mounted:
        await pilot.pause(0.05)
    await settle(pilot)


def test_a_number_is_drawn_and_its_vehicle_is_entered(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "v")
        assert isinstance(app.screen, AnotherVehicle)
        app.screen.query_one(Input).value = "4711"
        await press(pilot, "enter")
        await drawn_and_open(app, pilot)
        assert ASKED == ["4711"]
        assert app.screen.session.job.title == "Drawn by chance"  # pyright: ignore[reportAttributeAccessIssue]
        await press(pilot, "escape")
        assert "Drawn by chance" in text_of(app)

    play(catalogue, part)
    assert [kept.job for kept in kept_records()] == ["draw-4711"]


def test_the_arrow_keys_choose_a_system_or_how_hard_it_is(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "v", "down")
        assert app.screen.query_one(Input).value.startswith("easy-") and "▸ easy" in text_of(app)
        await press(pilot, "up")
        assert app.screen.query_one(Input).value.isdecimal() and "▸ surprise me" in text_of(app)
        await press(pilot, "up", "enter")
        await drawn_and_open(app, pilot)
        (number,) = ASKED
        assert number.startswith("electric-heating-")

    play(catalogue, part)


def test_what_is_no_number_is_told_and_asked_again(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*given: object) -> tuple[str, Path]:
        raise WrongUse("no such number")

    monkeypatch.setattr(grading.drawing.by_number, "drawn_by_number", refuse)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "v", "x", "enter")
        while "no such number" not in text_of(app):
            await pilot.pause(0.05)
        assert isinstance(app.screen, AnotherVehicle) and not app.screen.busy
        await press(pilot, "escape")
        assert not isinstance(app.screen, AnotherVehicle)

    play(catalogue, part)


def test_a_vehicle_drawn_ahead_is_taken_at_once(catalogue: Catalogue) -> None:
    blank = next(iter(catalogue.jobs.values()))
    for name in ("draw-blower-3", "draw-77"):
        write_jobs(drawn_folder(name), [replace(blank, id=name)], "Drawn for a test.")
    assert {word: [job.id for job in jobs] for word, jobs in waiting(catalogue, ()).items()} == {
        "blower": ["draw-blower-3"],
        "": ["draw-77"],
    }

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "v")
        assert "ready" in text_of(app)
        await press(pilot, "enter")
        await drawn_and_open(app, pilot)
        assert ASKED == ["77"]  # the number on the screen is that of the vehicle
        assert app.screen.session.job.id == "draw-77"  # pyright: ignore[reportAttributeAccessIssue]

    play(catalogue, part)
    assert "" not in waiting(catalogue, {kept.job for kept in kept_records()})
