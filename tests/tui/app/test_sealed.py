"""While an exam is not handed in, nothing on this machine tells what is wrong with its vehicle."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

import scenarios.files.loader
from grading.sessions.exam_seals import noted_exams
from grading.sessions.records import kept_records
from scenarios.model import Catalogue
from tests.tui.program import play, still
from tui.app.app import Lukewarm
from tui.presentation.between_jobs.progress import practice_of

Run = Callable[..., tuple[int, str, str]]
JOB, OTHER = "cold-tern", "other-tern"
EXAM = ("text", JOB, "--format", "json", "--mode", "exam")


@pytest.fixture(autouse=True)
def two_jobs(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    """A second job with another fault."""
    job = catalogue.jobs[JOB]
    (planted,) = job.faults
    other = replace(job, id=OTHER, title="Other Tern", faults=(replace(planted, fault="thermostat-stuck-open"),))
    two = replace(catalogue, jobs={JOB: job, OTHER: other})
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: two)
    return two


def planted(run: Run) -> dict[str, Any]:
    status, output, errors = run("show", "jobs", "--format", "json")
    assert status == 0
    assert ("exam" in errors) == any(job["faults"] is None for job in json.loads(output))
    return {job["id"]: job["faults"] and job["faults"][0]["fault"] for job in json.loads(output)}


def test_what_is_planted_is_told_only_when_the_exam_is_handed_in(lukewarm: Run) -> None:
    both = {JOB: "coolant-low", OTHER: "thermostat-stuck-open"}
    assert planted(lukewarm) == both
    lukewarm(*EXAM, lines=("ignition on",))
    assert planted(lukewarm) == both | {JOB: None}
    assert "coolant-low" not in lukewarm("show", "jobs")[1]
    lukewarm("text", JOB, "--resume", lines=("handback",))
    assert planted(lukewarm) == both


def test_an_exam_whose_record_lies_elsewhere_is_known(lukewarm: Run, tmp_path: Path, records: Path) -> None:
    lukewarm("text", JOB, "--format", "json", lines=("diagnose none 20", "handback"))
    (done,) = records.glob("*.jsonl")
    elsewhere = tmp_path / "desk" / "mine.jsonl"
    lukewarm(*EXAM, "--record", str(elsewhere), lines=("ignition on",))
    assert noted_exams() == [(elsewhere, JOB)]
    assert planted(lukewarm)[JOB] is None
    for command in (("debrief", str(done)), ("text", JOB, "--mode", "free")):
        status, output, errors = lukewarm(*command)
        assert (status, output) == (2, "")
        assert "exam" in errors
    listed = json.loads(lukewarm("show", "records", "--format", "json")[1])
    assert [(kept["open"], kept["mode"]) for kept in listed] == [(True, "exam"), (False, "free")]
    status, _, _ = lukewarm("text", JOB, "--resume", lines=("handback",))  # found without naming it
    assert status == 0
    assert [kept.path for kept in kept_records()] == [done]
    assert noted_exams() == []
    assert planted(lukewarm)[JOB] == "coolant-low"


def test_an_exam_whose_record_is_gone_is_forgotten(lukewarm: Run, tmp_path: Path) -> None:
    elsewhere = tmp_path / "mine.jsonl"
    lukewarm(*EXAM, "--record", str(elsewhere), lines=("ignition on",))
    elsewhere.unlink()
    assert planted(lukewarm)[JOB] == "coolant-low"
    assert not list((tmp_path / "exams-elsewhere").iterdir())


def test_jobs_that_are_no_exam_or_lie_in_the_folder_need_no_note(lukewarm: Run, tmp_path: Path, records: Path) -> None:
    lukewarm("text", JOB, "--record", str(tmp_path / "free.jsonl"), lines=("quit",))
    lukewarm(*EXAM, "--record", str(records / "own-name.jsonl"), lines=("quit",))
    assert noted_exams() == []
    assert planted(lukewarm)[JOB] is None


def test_practice_says_nothing_of_a_sealed_job(lukewarm: Run, two_jobs: Catalogue) -> None:
    wrong = ("diagnose none 20", "handback")
    lukewarm("text", JOB, lines=wrong)
    assert practice_of(two_jobs, kept_records()).confusions == {("none", "coolant-low"): 1}
    lukewarm(*EXAM, lines=("ignition on",))
    told = practice_of(two_jobs, kept_records())
    assert (told.confusions, told.attempts) == ({}, ())
    assert told.next_job == OTHER


def test_the_board_proposes_no_sealed_job_and_goes_on_with_an_exam_elsewhere(
    lukewarm: Run, tmp_path: Path, two_jobs: Catalogue
) -> None:
    lukewarm("text", OTHER, lines=("diagnose none 20", "handback"))
    lukewarm(*EXAM, "--record", str(tmp_path / "mine.jsonl"), lines=("ignition on",))

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        while "Begun as an exam" not in (seen := await still(app, pilot)):
            await pilot.pause(0.02)
        assert "Next for you: Cold Tern" not in seen

    play(two_jobs, part)
