"""``lukewarm author prove``: what it tells, where, and that it need not be told twice."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

import grading.fairness.cached_doubts
import tui.commands.author.prove_processes
from grading.fairness.difficulty import Measured, Trials, Tried
from grading.fairness.doubt import Doubt
from grading.fairness.jobs import Case, Fairness
from grading.sessions.modes import EXAM
from grading.sessions.openings import begin, mode_of
from scenarios.authoring.new_folder import JOB
from scenarios.authoring.own_jobs import own_jobs
from scenarios.authoring.packing import pack_folder
from scenarios.files.loader import load_catalogue, packaged_folder
from scenarios.language import Message
from tests.packaged import packaged_catalogue
from tui.commands.author.prove_processes import shared_out

Run = Callable[..., tuple[int, str, str]]
FIXED = ("--processes", "1")


@pytest.fixture(autouse=True)
def cache(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    folder = tmp_path / "cache"
    monkeypatch.setattr(
        grading.fairness.cached_doubts.platformdirs, "user_cache_path", lambda *names, **options: folder
    )


@pytest.fixture
def two_jobs(starter: Path) -> Path:
    """The first folder with a second job, which has two faults."""
    text = (starter / "jobs" / "my-job.yaml").read_text(encoding="utf-8")
    text = text.replace("orchard-lane", "barn").replace(
        "  - {fault: cable-clip-slipped, severity: 0.95}\n",
        "  - {fault: cable-clip-slipped, severity: 0.95}\n  - {fault: core-clogged, severity: 0.9}\n",
    )
    (starter / "jobs" / "barn.yaml").write_text(text, encoding="utf-8")
    return starter


def place_of(file: Path, text: str) -> str:
    """File, line and column at which a text first stands."""
    lines = file.read_text(encoding="utf-8").splitlines()
    line = next(k for k, one in enumerate(lines) if text in one)
    return f"{file}:{line + 1}:{lines[line].index(text) + 1}"


def found_by(monkeypatch: pytest.MonkeyPatch, doubts: Callable[[Case], tuple[Doubt, ...]]) -> list[Case]:
    """Puts findings in the place of the simulation; the list of cases that were asked for grows."""
    asked: list[Case] = []

    def instead(fairness: Fairness, case: Case) -> tuple[Doubt, ...]:
        asked.append(case)
        return doubts(case)

    monkeypatch.setattr(Fairness, "doubts", instead)
    return asked


def in_this_process(
    work: Callable[[Any], Any], items: Sequence[Any], shares: Sequence[Sequence[int]], broken: Callable[[Any], Any]
) -> Iterator[tuple[int, Any]]:
    """``on_processes`` without processes of its own."""
    for index in (index for share in shares for index in share):
        yield index, work(items[index])


def third_only(case: Case) -> tuple[Doubt, ...]:
    """Doubts about the third vehicle of one job."""
    if case != Case("barn", 3):
        return ()
    problem = Message(
        "on vehicle {seed} a perfect observer is {belief:.0%} sure of {fault}", seed=3, belief=0.97, fault="x"
    )
    return Doubt(1, problem, "core-clogged"), Doubt(None, "whole", "none"), Doubt(0, "first", "none")


def test_the_first_folder_is_proven_and_not_simulated_again(
    starter: Path, lukewarm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    status, output, errors = lukewarm("author", "prove", str(starter), "--vehicles", "1", *FIXED)
    assert (status, errors) == (0, "lukewarm: 1 of 1 vehicles\n")
    assert re.fullmatch(r"1 job, 1 vehicle: 1 proven, 0 not\. \d+ s\.\n", output)
    asked = found_by(monkeypatch, lambda case: ())
    assert lukewarm("author", "prove", str(starter), "--vehicles", "2", *FIXED)[0] == 0
    assert asked == [Case(JOB, 2)]


def test_a_doubt_is_told_at_the_fault_it_is_about(
    two_jobs: Path, lukewarm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = found_by(monkeypatch, third_only)
    status, output, _ = lukewarm("author", "prove", str(two_jobs), *FIXED)
    barn = two_jobs / "jobs" / "barn.yaml"
    *lines, summary = output.splitlines()
    texts = ("- {fault: cable-clip-slipped", "{fault: cable-clip-slipped", "{fault: core-clogged")
    whole, first, second = (place_of(barn, text) for text in texts)
    assert status == 1 and len(asked) == 6
    assert lines == [
        f"{whole}: whole, expected none",
        f"{first}: first, expected none",
        f"{second}: on vehicle 3 a perfect observer is 97% sure of x, expected core-clogged",
    ]
    assert re.fullmatch(r"2 jobs, 6 vehicles: 1 proven, 1 not\. \d+ s\.", summary)
    again = lukewarm("author", "prove", str(two_jobs), *FIXED)
    assert again[0] == 1 and again[1].splitlines()[:-1] == lines and len(asked) == 6


def test_as_data(two_jobs: Path, lukewarm: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    found_by(monkeypatch, third_only)
    data = json.loads(lukewarm("author", "prove", str(two_jobs), "--format", "json", *FIXED)[1])
    assert (data["proven"], data["not_proven"], data["not_tried"], data["vehicles"]) == (1, 1, 0, 6)
    assert data["jobs"][JOB]["proven"] and not data["jobs"]["barn"]["proven"]
    third = data["jobs"]["barn"]["vehicles"][2]
    assert third["seed"] == 3 and third["doubts"][0]["expected"] == "core-clogged"
    barn = two_jobs / "jobs" / "barn.yaml"
    place = "{file}:{line}:{column}".format(**third["doubts"][0])
    assert place == place_of(barn, "{fault: core-clogged")


def test_a_stated_difficulty_that_technicians_do_not_find_is_a_warning(
    two_jobs: Path, lukewarm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    found_by(monkeypatch, lambda case: ())
    passing = {"barn": (False, False), "orchard-lane": (True, False)}
    asked: list[tuple[str, tuple[int, ...]]] = []

    def instead(trials: Trials, name: str) -> Measured:
        asked.append((name, trials.seeds))
        return Measured(Tried((passing[name][0],), (50.0,), (passing[name][1],)), 24.0, 5.0)

    monkeypatch.setattr(Trials, "measured", instead)
    monkeypatch.setattr(tui.commands.author.prove_processes, "on_processes", in_this_process)
    given = ("author", "prove", str(two_jobs), "--vehicles", "2", "--difficulty", *FIXED)
    status, output, _ = lukewarm(*given)
    assert status == 0 and sorted(asked) == [("barn", (1, 2)), ("orchard-lane", (1, 2))]
    warning, summary = output.splitlines()
    assert warning.startswith(f"{two_jobs / 'jobs' / 'barn.yaml'}:")
    assert "warning: difficulty 2 is stated, and 100% of technicians fail; the reference takes 24 minutes" in warning
    assert warning.endswith("expected difficulty 5") and summary.startswith("2 jobs, 4 vehicles: 2 proven")
    data = json.loads(lukewarm(*given, "--format", "json")[1])["jobs"]
    assert data["orchard-lane"]["difficulty"]["found"] == 3 and data["barn"]["difficulty"]["found"] == 5


def test_ctrl_c_tells_what_was_found_so_far(two_jobs: Path, lukewarm: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(case: Case) -> tuple[Doubt, ...]:
        if case == Case(JOB, 2):
            raise KeyboardInterrupt
        return third_only(case)

    asked = found_by(monkeypatch, stopped)
    status, output, errors = lukewarm("author", "prove", str(two_jobs), *FIXED)
    assert status == 1 and "lukewarm: stopped" in errors and "Traceback" not in errors
    assert len(output.splitlines()) == 4
    assert re.search(r"2 jobs, 4 vehicles: 0 proven, 1 not\. \d+ s\. Stopped: 1 job is not finished\.\n", output)
    assert len(asked) == 5
    found_by(monkeypatch, lambda case: ())
    assert "1 proven, 1 not" in lukewarm("author", "prove", str(two_jobs), *FIXED)[1]


def test_files_that_do_not_load_are_told_as_check_tells_them(starter: Path, lukewarm: Run) -> None:
    file = starter / "jobs" / "my-job.yaml"
    text = file.read_text(encoding="utf-8").replace("severity: 0.95", "severity: 2")
    file.write_text(text.replace("ambient_C: 1", "ambient_C: hot"), encoding="utf-8")
    status, output, errors = lukewarm("author", "prove", str(starter))
    assert (status, output) == (2, "") and len(errors.splitlines()) == 2
    assert errors == lukewarm("author", "check", str(starter))[2]


@pytest.mark.parametrize("arguments", [("--vehicles", "0"), ("--vehicles", "1001"), ("--processes", "0")])
def test_wrong_numbers_are_refused(starter: Path, lukewarm: Run, arguments: tuple[str, ...]) -> None:
    status, output, errors = lukewarm("author", "prove", str(starter), *arguments)
    assert (status, output) == (2, "") and "expected 1 to" in errors


def test_a_folder_without_jobs_is_told(starter: Path, lukewarm: Run) -> None:
    (starter / "jobs" / "my-job.yaml").unlink()
    status, _, errors = lukewarm("author", "prove", str(starter))
    assert status == 2 and "there is no job in this folder" in errors


def test_nothing_is_told_while_an_exam_is_open(starter: Path, lukewarm: Run) -> None:
    catalogue = load_catalogue(starter)
    begin(catalogue, catalogue.jobs[JOB], 1, mode=mode_of(EXAM)).close()
    status, output, errors = lukewarm("author", "prove", str(starter))
    assert (status, output) == (2, "") and f"an exam of job '{JOB}' is not handed in" in errors


def test_only_jobs_of_the_folders_named_are_tried(
    starter: Path, lukewarm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = found_by(monkeypatch, lambda case: ())
    assert lukewarm("--with", str(starter), "author", "prove", str(starter), "--vehicles", "1", *FIXED)[0] == 0
    assert asked == [Case(JOB, 1)]
    packed, _count = pack_folder(starter, starter.with_suffix(".zip"))
    catalogue, places = own_jobs([packed], [])
    assert list(places) == [JOB] and len(places[JOB].faults) == 1 and JOB in catalogue.jobs


def test_every_job_is_tried_where_no_folder_or_the_packaged_one_is_named() -> None:
    packaged = packaged_catalogue().jobs
    folder = packaged_folder()
    assert isinstance(folder, Path)
    assert list(own_jobs([], [])[1]) == list(own_jobs([folder], [])[1]) == list(packaged)


def test_a_job_without_faults_is_told_at_their_list() -> None:
    places = own_jobs([], [])[1]["two-streets-away"]
    assert places.faults == () and places.of(None) == places.of(0) == places.where
    assert Path(places.where.file).name == "two-streets-away.yaml" and places.where.line > 1


def test_vehicles_of_one_job_stay_with_one_process() -> None:
    cases = [Case(job, seed) for job in "abc" for seed in (1, 2, 3)]
    assert shared_out(cases, 1) == [list(range(9))]
    shares = shared_out(cases, 2)
    assert sorted(index for share in shares for index in share) == list(range(9))
    assert sorted(len(share) for share in shares) == [3, 6]
    jobs = [{cases[index].job for index in share} for share in shares]
    assert not jobs[0] & jobs[1]
    assert len(shared_out(cases, 8)) == 3 and shared_out([], 2) == []


FAULT = """\
- id: {id}
  name: {id}
  system: heater valve and core
  part: heater valve cable
  mode: slipped
  rate: {rate}
  rate_note: Assumption.
  severity: [0.0, 1.0]
  requires: [valve-cable]
  changes:
    - {{parameter: valve_linkage, to: 0.02}}
{more}  cured_by: [adjust-valve-cable]
  shows: [lukewarm]
  explains: Invented.
  prevents: Nothing.
"""


@pytest.mark.slow
def test_each_defect_gives_its_line(starter: Path, lukewarm: Run) -> None:
    """A job whose complaint never occurs, one whose cure leaves half of it, one whose fault is like a commoner one."""
    faults = [
        FAULT.format(id="half-mended", rate=3, more="    - {parameter: core_clear, factor: 0.008}\n"),
        FAULT.format(id="like-another", rate=0.01, more=""),
    ]
    (starter / "faults" / "more.yaml").write_text("".join(faults), encoding="utf-8")
    text = (starter / "jobs" / "my-job.yaml").read_text(encoding="utf-8")
    planted = "cable-clip-slipped, severity: 0.95"
    for name, instead in (
        ("never", "like-another, severity: 0.05"),
        ("half", "half-mended, severity: 0.9"),
        ("unfound", "like-another, severity: 0.95"),
    ):
        changed = text.replace(JOB, name).replace(planted, instead)
        (starter / "jobs" / f"{name}.yaml").write_text(changed, encoding="utf-8")
    status, output, _ = lukewarm("author", "prove", str(starter), "--vehicles", "1", "--processes", "2")
    assert status == 1 and "4 jobs, 4 vehicles: 1 proven, 3 not." in output
    expected = {
        "never": "the complaint 'lukewarm' does not show",
        "half": "after adjust-valve-cable the customer is back on day",
        "unfound": "sure of cable-clip-slipped, expected like-another",
    }
    for name, said in expected.items():
        place = place_of(starter / "jobs" / f"{name}.yaml", "{fault:")
        assert any(line.startswith(f"{place}: on vehicle 1 ") and said in line for line in output.splitlines())
