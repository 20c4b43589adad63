"""Job cards, their key, and a look at a job from behind."""

from __future__ import annotations

import html
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from grading.marks.grade import Grader
from grading.reference.policy import ReferenceRun
from grading.sessions.modes import EXAM
from grading.sessions.openings import begin, mode_of
from scenarios.actions import Action
from scenarios.authoring.new_folder import JOB
from scenarios.files.loader import load_catalogue
from tests.packaged import packaged_catalogue
from tests.tui.commands.test_debrief_page import Tags

Run = Callable[..., tuple[int, str, str]]


def test_cards_tell_the_complaint_and_not_the_fault(starter: Path, lukewarm: Run, tmp_path: Path) -> None:
    file = tmp_path / "cards.html"
    assert lukewarm("author", "print", str(starter), "--output", str(file))[0] == 0
    text = html.unescape(file.read_text(encoding="utf-8"))
    tags = Tags()
    tags.feed(file.read_text(encoding="utf-8"))
    assert tags.open == [] and not tags.names & {"script", "link", "img", "a"}
    assert text.count("<article>") == 1 and "keep the window open" in text and "correction" in text
    assert "clip" not in text and "valve_linkage" not in text
    assert lukewarm("author", "print")[1].count("<article>") == len(packaged_catalogue().jobs)


def test_the_key_tells_the_fault_its_cure_and_nothing_else_is_in_the_way(starter: Path, lukewarm: Run) -> None:
    status, output, _ = lukewarm("author", "print", str(starter), "--key")
    text = html.unescape(output)
    assert status == 0 and text.count("<article>") == 1
    assert "Heater valve's cable slipped in its clip" in text and "Refit and adjust the heater valve's cable" in text
    assert "break-after:page" in text
    whole = html.unescape(lukewarm("author", "print", "--key")[1])
    assert "Nothing is wrong with this vehicle." in whole and "days" in whole


def test_text_of_a_folder_is_no_markup_on_paper(starter: Path, lukewarm: Run) -> None:
    file = starter / "jobs" / "my-job.yaml"
    text = file.read_text(encoding="utf-8").replace("Orchard lane", "<script>alert(1)</script>")
    file.write_text(text, encoding="utf-8")
    for more in ([], ["--key"]):
        output = lukewarm("author", "print", str(starter), *more)[1]
        assert "<script" not in output and "&lt;script&gt;" in output


def test_a_folder_without_jobs_is_told(starter: Path, lukewarm: Run) -> None:
    (starter / "jobs" / "my-job.yaml").unlink()
    status, _, errors = lukewarm("author", "print", str(starter))
    assert status == 2 and "there is no job in this folder" in errors


def test_no_key_is_told_while_an_exam_is_open(starter: Path, lukewarm: Run) -> None:
    catalogue = load_catalogue(starter)
    begin(catalogue, catalogue.jobs[JOB], 1, mode=mode_of(EXAM)).close()
    for command in (["print", str(starter), "--key"], ["look", JOB, "--with", str(starter)]):
        status, output, errors = lukewarm("author", *command)
        assert (status, output) == (2, "") and f"an exam of job '{JOB}' is not handed in" in errors
    assert lukewarm("author", "print", str(starter))[0] == 0  # the cards tell nothing


@pytest.fixture
def course(monkeypatch: pytest.MonkeyPatch) -> ReferenceRun:
    """What the reference did, without its thinking."""
    found = ReferenceRun([Action("check", ("cable-clip-look",))], ["cable-clip-look"], 4.0, "cable-clip-slipped", 0.97)
    monkeypatch.setattr(Grader, "course", found)
    return found


def test_a_look_tells_what_is_met_what_is_wrong_and_the_way(starter: Path, lukewarm: Run, course: ReferenceRun) -> None:
    look = ("--with", str(starter), "author", "look", JOB)
    status, output, _ = lukewarm(*look)
    assert status == 0
    for part in (
        "keep the window open",
        "The engine is stopped.",
        "Heater valve's cable slipped in its clip. Part: heater valve cable.",
        "valve_linkage: 0.069 instead of 1\n",
        "1 checks, 4 minutes; then 97% sure of: Heater valve's cable slipped in its clip.",
    ):
        assert part in output
    assert "core_km" not in output and "hardly fair" not in output
    course.diagnosis = "valve-seized-shut"
    assert "hardly fair" in lukewarm(*look)[1]
    data = json.loads(lukewarm(*look, "--format", "json")[1])
    assert data["faults"] == ["cable-clip-slipped"] and data["changed"].keys() == {"valve_linkage"}
    assert data["reference"]["right"] is False and data["reference"]["checks"] == ["cable-clip-look"]
    assert data["card"]["job"] == JOB and data["perceived"]


@pytest.mark.slow
def test_the_reference_finds_the_fault_of_the_first_folder(starter: Path, lukewarm: Run) -> None:
    data = json.loads(lukewarm("--with", str(starter), "author", "look", JOB, "--format", "json")[1])
    assert data["reference"]["right"] and data["reference"]["belief"] > 0.8
