"""Own folders by --with and LUKEWARM_WITH: everywhere the same, and told apart in records."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

import grading.sessions.made_with
from grading.marks.rubric import load_rubric
from grading.report.marked import OTHER_FOLDERS, SOUND, UNVERIFIED, Marker, Opened
from grading.sessions.record import as_bytes, read_bytes
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.authoring.new_folder import JOB, new_folder
from scenarios.authoring.packing import pack_folder
from scenarios.files.data_error import DataError
from scenarios.files.loader import load_catalogue
from scenarios.files.own_folders import VARIABLE, own_folders, use_folders
from scenarios.model import Catalogue
from scenarios.wrong_use import WrongUse
from tui.app.ready_catalogue import ready_catalogue
from tui.presentation.marking.graded_record import graded_record

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(autouse=True)
def none_in_use(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)
    grading.sessions.made_with._catalogue_with.cache_clear()


def record(catalogue: Catalogue, job: str, path: Path, *more: Action) -> Path:
    """A record of a job that is begun."""
    session = Session(catalogue, catalogue.jobs[job], 3)
    for action in (Action("ignition", ("on",)), Action("check", ("blower-each-speed",)), *more):
        assert session.do(action).refused is None
    path.write_bytes(as_bytes(session.recorder.entries))
    return path


def marked(path: Path, *folders: Path) -> tuple[str, str]:
    """State of a record and why, marked with these folders in use."""
    with use_folders([str(folder) for folder in folders]):
        marker = Marker(load_catalogue(*own_folders()), load_rubric())
        opened = marker.open(path, frozenset())
        row = marker.mark(opened) if isinstance(opened, Opened) else opened
    return row.state, row.why


def test_folders_are_in_use_within_a_block_and_each_counts_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    monkeypatch.setenv(VARIABLE, f"{first}{os.pathsep}{os.pathsep} ")
    assert own_folders() == (first,)
    with use_folders([str(second), str(first)]):
        assert own_folders() == (first, second)
        assert os.environ[VARIABLE].split(os.pathsep)[0] == str(first)  # what a child process would see
    assert own_folders() == (first,)
    for wrong in ("", "  ", f"a{os.pathsep}b"):
        with pytest.raises(WrongUse, match="--with"), use_folders([wrong]):
            pass


def test_a_relative_path_stays_the_same_folder_elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with use_folders(["mine"]):
        monkeypatch.chdir(tmp_path.parent)
        assert own_folders() == (tmp_path / "mine",)


def test_every_command_and_the_program_know_the_jobs(
    starter: Path, lukewarm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert JOB not in lukewarm("show", "jobs")[1]
    packed, _count = pack_folder(starter)
    for given in (starter, packed):
        assert JOB in lukewarm("show", "jobs", "--with", str(given))[1]
        status, output, _ = lukewarm("--with", str(given), "text", JOB, "--record", f"{given}.jsonl", lines=("quit",))
        assert status == 1 and "Mara Lindqvist" in output
        with use_folders([str(given)]):
            assert JOB in ready_catalogue().notices
    monkeypatch.setenv(VARIABLE, str(starter))
    assert "cable-clip-slipped" in lukewarm("show", "faults")[1]
    assert lukewarm("trace", "--vehicle", "hatch", "--fault", "cable-clip-slipped", "--drive", "idle:20")[0] == 0


def test_what_is_wrong_with_a_folder_is_told_at_its_place(starter: Path, lukewarm: Run, tmp_path: Path) -> None:
    file = starter / "jobs" / "my-job.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("vehicle: hatch", "vehicle: hutch"), encoding="utf-8")
    for command in (["show", "jobs"], ["serve"], ["text", JOB]):
        status, output, errors = lukewarm("--with", str(starter), *command)
        assert (status, output) == (2, "")
        assert errors.startswith(f"{file}:12:10: unknown vehicle 'hutch', expected one of")
    missing = tmp_path / "nowhere"
    assert lukewarm("--with", str(missing), "show", "jobs")[2].startswith(f"{missing}:1:1: no such folder")


def test_a_folder_in_which_nothing_would_be_read_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("nothing", encoding="utf-8")
    with pytest.raises(DataError, match="none of the folders of a catalogue in it, expected one or more of vehicles"):
        load_catalogue(tmp_path)


def test_a_record_of_an_own_job_needs_its_folder_and_is_never_called_unsound(starter: Path, tmp_path: Path) -> None:
    path = record(load_catalogue(starter), JOB, tmp_path / "r.jsonl")
    packed, _count = pack_folder(starter)
    assert marked(path, starter) == marked(path, packed) == (SOUND, "")
    state, why = marked(path)
    assert state == UNVERIFIED
    assert why == (
        f"this record is of job '{JOB}', which is neither packaged nor in an own folder given, "
        "expected its folder, given by --with"
    )
    with pytest.raises(DataError, match="its folder, given by --with"):
        graded_record(load_catalogue(), read_bytes(path), path)


def test_a_packaged_job_is_sound_with_and_without_folders_that_were_not_in_use(starter: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    (other / "jobs").mkdir(parents=True)
    text = (starter / "jobs" / "my-job.yaml").read_text(encoding="utf-8").replace(JOB, "another-lane")
    (other / "jobs" / "job.yaml").write_text(
        re.sub(r"faults:\n.*", "faults: [{fault: air-locked, severity: 0.9}]", text).replace("[lukewarm]", "[cold]"),
        encoding="utf-8",
    )
    without = record(load_catalogue(), "quiet-dash", tmp_path / "without.jsonl")
    one = record(load_catalogue(starter), "quiet-dash", tmp_path / "one.jsonl")
    assert marked(without) == marked(without, starter, other) == (SOUND, "")
    assert marked(one, starter) == marked(one, other, starter) == (SOUND, "")
    assert marked(one) == (OTHER_FOLDERS, "")


def test_a_changed_folder_is_not_taken_for_the_one_that_was(starter: Path, tmp_path: Path) -> None:
    path = record(load_catalogue(starter), JOB, tmp_path / "r.jsonl")
    file = starter / "jobs" / "my-job.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("severity: 0.95", "severity: 1.0"), encoding="utf-8")
    assert marked(path, starter)[0] == OTHER_FOLDERS


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_first_folder_loads_and_its_job_is_found_out(language: str, tmp_path: Path, lukewarm: Run) -> None:
    folder = tmp_path / "mine"
    status, output, _ = lukewarm("--language", language, "author", "new", str(folder))
    assert status == 0 and f"lukewarm --with {folder} text {JOB}" in output
    catalogue = load_catalogue(folder)
    assert len(catalogue.jobs) == len(load_catalogue().jobs) + 1
    session = Session(catalogue, catalogue.jobs[JOB], 1)
    session.do(Action("check", ("cable-clip-look",)))
    assert session.readings[-1].shown == "does not move"
    assert lukewarm("author", "new", str(folder))[0] == 2  # nothing is overwritten


def test_an_empty_folder_can_be_begun(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    assert len(new_folder(tmp_path / "mine", "fr")) == 3  # in English


@pytest.mark.slow
def test_the_job_of_the_first_folder_is_marked(starter: Path, tmp_path: Path) -> None:
    work = (Action("check", ("cable-clip-look",)), Action("diagnose", ("cable-clip-slipped", 60.0)))
    catalogue = load_catalogue(starter)
    path = record(catalogue, JOB, tmp_path / "r.jsonl", *work, Action("handback"))
    grade = graded_record(catalogue, read_bytes(path), path, look_ahead=False).grade
    assert 0.0 < grade.total < 100.0
