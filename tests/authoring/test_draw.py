"""``lukewarm author draw`` and ``lukewarm text --draw``: files, refusals, and records that can be marked later."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

import grading.drawing.drawing
from grading.drawing.drawing import Drawer, Drawn, Order
from grading.drawing.written import write_jobs
from grading.fairness.difficulty import Tried
from scenarios.files.loader import load_catalogue
from scenarios.files.own_folders import drawn_folder
from tests.packaged import packaged_catalogue

Run = Callable[..., tuple[int, str, str]]


def drawn_at_once(drawer: Drawer, order: Order) -> Drawn:
    """A packaged job's fault, another for each order, without a simulation."""
    jobs = [*drawer.catalogue.jobs.values()]
    job = replace(jobs[order.cell.number + 4 * order.version], id=drawer.name(order), title=drawer.name(order))
    return Drawn(order, 0, job, Tried((True,), (90.0 - order.cell.number,), (False,)))


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Drawer, "draw", drawn_at_once)


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    file = tmp_path / "plan.yaml"
    file.write_text("jobs: 2\n", encoding="utf-8")
    return file


def test_a_set_is_simulated_written_and_can_be_used(
    lukewarm: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(grading.drawing.drawing, "MEASURED", 1)
    file = tmp_path / "plan.yaml"
    file.write_text("jobs: 1\nsystems: [blower]\nvehicles: [hatch]\nshares: {nothing_wrong: 0}\n", encoding="utf-8")
    rest = ("--seed", "3", "--vehicles", "1", "--processes", "1")
    status, out, _ = lukewarm("author", "draw", str(file), *rest, "--output", str(tmp_path / "set"))
    assert status == 0 and "1 jobs" in out
    (job,) = (tmp_path / "set" / "jobs").iterdir()
    read = load_catalogue(tmp_path / "set").jobs["draw-3-a01"]
    assert read.vehicle == "hatch" and read.competent_minutes is not None
    status, out, _ = lukewarm("--with", str(tmp_path / "set"), "show", "jobs")
    assert status == 0 and read.title in out and job.name == "draw-3-a01.yaml"


@pytest.mark.usefixtures("at_once")
def test_versions_have_a_folder_each(lukewarm: Run, plan: Path, tmp_path: Path) -> None:
    rest = ("--seed", "3", "--versions", "2", "--processes", "1", "--output", str(tmp_path / "sets"))
    status, out, _ = lukewarm("author", "draw", str(plan), *rest)
    assert status == 0 and out.count("competent technicians pass 100%") == 2
    for version in ("version-a", "version-b"):
        assert len(load_catalogue(tmp_path / "sets" / version).jobs) == len(packaged_catalogue().jobs) + 2


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--seed", "-1"), "seed -1"),
        (("--seed", "1", "--versions", "0"), "0 versions"),
        (("--seed", "1", "--vehicles", "0"), "0 vehicles"),
        (("--seed", "1", "--processes", "99"), "99 processes"),
    ],
)
def test_numbers_out_of_range_are_refused(
    lukewarm: Run, plan: Path, tmp_path: Path, more: tuple[str, ...], words: str
) -> None:
    status, _, error = lukewarm("author", "draw", str(plan), *more, "--output", str(tmp_path / "set"))
    assert status == 2 and words in error and not (tmp_path / "set").exists()


def test_a_wrong_plan_is_told_with_its_place_and_nothing_is_written(lukewarm: Run, plan: Path, tmp_path: Path) -> None:
    plan.write_text("jobs: 2\nsystems: [heaters]\n", encoding="utf-8")
    status, _, error = lukewarm("author", "draw", str(plan), "--seed", "1", "--output", str(tmp_path / "set"))
    assert status == 2 and f"{plan}:2:11:" in error and not (tmp_path / "set").exists()


def test_a_folder_with_something_in_it_is_left_alone(lukewarm: Run, plan: Path, tmp_path: Path) -> None:
    status, _, error = lukewarm("author", "draw", str(plan), "--seed", "1", "--output", str(tmp_path))
    assert status == 2 and "new or an empty folder" in error and list(tmp_path.iterdir()) == [plan]


def test_where_no_fair_job_is_found_nothing_is_written(
    lukewarm: Run, plan: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(grading.drawing.drawing, "ATTEMPTS", 0)
    rest = ("--seed", "1", "--processes", "1", "--output", str(tmp_path / "set"))
    status, _, error = lukewarm("author", "draw", str(plan), *rest)
    assert status == 1 and "job 1 of the plan" in error and not (tmp_path / "set").exists()


@pytest.fixture
def known() -> str:
    """A number that was drawn before: its file lies where drawn jobs are kept."""
    job = replace(next(iter(packaged_catalogue().jobs.values())), id="draw-5", title="Drawn before")
    write_jobs(drawn_folder("draw-5"), [job], "Drawn for a test.")
    return "5"


def test_a_number_that_was_drawn_is_played_again(lukewarm: Run, known: str) -> None:
    status, out, _ = lukewarm("text", "--draw", known, lines=("quit",))
    assert status == 1 and "Drawn before" in out
    status, out, _ = lukewarm("text", "--draw", known, "--resume", lines=("diagnose none 50", "handback", "yes"))
    assert status == 0


def test_its_record_is_marked_without_naming_its_folder(lukewarm: Run, known: str, tmp_path: Path) -> None:
    record = tmp_path / "record.jsonl"
    lukewarm("text", "--draw", known, "--record", str(record), lines=("diagnose none 50", "handback", "yes"))
    status, out, _ = lukewarm("mark", str(record), "--processes", "1", "--format", "csv")
    assert status == 0 and "draw-5" in out and "sound" in out
    status, out, _ = lukewarm("debrief", str(record))
    assert status == 0 and out


@pytest.mark.parametrize("more", [(), ("first-frost", "--draw", "5")])
def test_a_job_or_a_number_is_wanted(lukewarm: Run, more: tuple[str, ...]) -> None:
    status, _, error = lukewarm("text", *more)
    assert status == 2 and "one of them" in error
