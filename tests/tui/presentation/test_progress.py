"""Progress: worked out from records, the same on the screen and as sentences and data."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

import scenarios.files.loader
from grading.sessions.records import kept_records
from scenarios.model import Catalogue
from tests.tui.kept import write_record
from tests.tui.program import play, press, still
from tui.app.app import Lukewarm
from tui.app.screens.board import Board
from tui.app.screens.marking import Marking
from tui.app.screens.progress import ProgressScreen
from tui.app.screens.workshop import WorkshopScreen
from tui.presentation.between_jobs.progress import Mean, progress_of

Run = Callable[..., tuple[int, str, str]]
JOB, OTHER = "cold-tern", "other-tern"


@pytest.fixture(autouse=True)
def two_jobs(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    """A second job with another fault; nothing marks beside the screen."""
    job = catalogue.jobs[JOB]
    other = replace(job, id=OTHER, title="Other Tern", faults=(replace(job.faults[0], fault="thermostat-stuck-open"),))
    two = replace(catalogue, jobs={JOB: job, OTHER: other})
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: two)
    monkeypatch.setattr(Marking, "mark", lambda self: None)
    return two


def write(records: Path, number: int, grade: dict[str, Any] | None, declared: str = "coolant-low") -> None:
    path = records / f"{JOB}-2001-02-{number:02d}-040506.jsonl"
    write_record(path, JOB, [("diagnose", [declared, 80.0]), ("handback", [])], grade, 1e9 + number)


def seven(records: Path) -> None:
    """Marks of 30 to 90, two of them wrong, and one that is not marked yet."""
    for k in range(7):
        total, declared = 30.0 + 10.0 * k, "none" if k < 2 else "coolant-low"
        criteria = {"diagnosis": total, "safety": 100.0 - k}
        competences = {"unit 4": 50.0}
        grade = {"total": total, "passed": total >= 70.0, "criteria": criteria, "competences": competences}
        write(records, k + 1, grade, declared)
    write(records, 9, None)


def test_what_records_say(two_jobs: Catalogue, records: Path) -> None:
    seven(records)
    progress = progress_of(two_jobs, kept_records())
    assert (len(progress.handed_back), progress.passed) == (8, 3)
    assert progress.totals == (30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0)
    assert [kept.day for kept in progress.marked][:2] == ["2001-02-01", "2001-02-02"]
    assert progress.criteria == {"diagnosis": Mean(70.0, 35.0), "safety": Mean(96.0, 99.5)}
    assert [mean.sign for mean in progress.criteria.values()] == ["↑", "↓"]
    assert progress.competences == {"unit 4": Mean(50.0, 50.0)}
    assert [one.told for one in progress.systems] == [
        "coolant: 1 of 2 tried, 1 passed, 1 of them without help",
        "nothing wrong: none of 1 tried yet",
    ]
    assert progress.confusions == (("none", "coolant-low", 2),)
    assert progress.next_job == OTHER


@pytest.mark.parametrize(
    "grade",
    [
        {},
        {"total": "many", "criteria": [1], "competences": 3},
        {"total": float("nan"), "criteria": {"diagnosis": float("inf"), "safety": True, "parts": -5, "made up": 50}},
        {"total": 1e9, "criteria": {"diagnosis": "x"}, "passed": "yes"},
    ],
)
def test_a_grade_that_makes_no_sense_does_no_harm(
    two_jobs: Catalogue, records: Path, lukewarm: Run, grade: dict[str, Any]
) -> None:
    write(records, 1, grade)
    progress = progress_of(two_jobs, kept_records())
    assert all(0.0 <= total <= 100.0 for total in progress.totals)
    assert progress.criteria == {}
    for form in ("plain", "json"):
        assert lukewarm("show", "progress", "--format", form)[0] == 0

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "p")
        assert isinstance(app.screen, ProgressScreen)

    play(two_jobs, part)


def test_the_same_is_told_on_the_screen_and_in_sentences_and_as_data(
    two_jobs: Catalogue, records: Path, lukewarm: Run
) -> None:
    seven(records)
    _, sentences, _ = lukewarm("show", "progress")
    data = json.loads(lukewarm("show", "progress", "--format", "json")[1])
    assert data["criteria"]["diagnosis"] == {"latest": 70.0, "before": 35.0}
    assert data["confusions"] == [{"declared": "none", "real": "coolant-low", "times": 2}]
    assert [mark["total"] for mark in data["marks"]] == [30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0]
    assert data["next"]["job"] == OTHER
    coolant = {"faults": 2, "tried": 1, "passed": 1, "without_help": 1}
    assert data["systems"]["coolant"] == coolant and "coolant: 1 of 2 tried, 1 passed" in sentences

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "p")
        seen = await still(app, pilot)
        for told in (
            "8 handed back, 3 passed",
            "first 30, last 90, least 30, most 90",
            "70, before 35",
            "none, but it was: coolant low (2 times)",
            "Next for you: Other Tern",
        ):
            assert told in seen
            assert told in sentences
        assert "coolant       ●·" in seen and "● without help" in seen

    play(two_jobs, part, (200, 60))


def test_the_cursor_waits_on_the_job_that_was_begun_last(two_jobs: Catalogue, lukewarm: Run) -> None:
    lukewarm("text", OTHER, lines=("ignition on",))

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await still(app, pilot)
        assert isinstance(app.screen, Board)
        assert app.screen.job is not None
        assert app.screen.job.id == OTHER
        await press(pilot, "up", "enter", "escape")
        assert app.screen.job.id == JOB

    play(two_jobs, part)


def test_the_next_key_is_taken_from_there(two_jobs: Catalogue, records: Path) -> None:
    seven(records)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "p", "t")
        assert isinstance(app.screen, WorkshopScreen)
        assert app.screen.session.job.id == OTHER
        await press(pilot, "escape")
        assert isinstance(app.screen, Board)

    play(two_jobs, part)


def test_a_debrief_is_opened_from_there(two_jobs: Catalogue, records: Path) -> None:
    seven(records)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "p", "down", "enter")
        assert isinstance(app.screen, Marking)
        assert app.screen.path == records / f"{JOB}-2001-02-07-040506.jsonl"

    play(two_jobs, part)


def test_there_is_something_to_read_before_the_first_job(two_jobs: Catalogue, lukewarm: Run) -> None:
    _, sentences, _ = lukewarm("show", "progress")
    assert sentences.startswith("No job is handed back yet.\n") and "\nNext for you: " in sentences

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "p", "enter")
        assert isinstance(app.screen, ProgressScreen)
        assert "No job is handed back yet." in await still(app, pilot)

    play(two_jobs, part)
