"""Drawn jobs by the physics: the complaint shows, words follow, and a number gives the same vehicle again."""

from dataclasses import replace
from pathlib import Path

import pytest

from grading.drawing.by_number import draw_by_number
from grading.drawing.cells import ANY, NOTHING, TWO, Cell
from grading.drawing.dice import Dice
from grading.drawing.drawn_job import SEED, drawn_job
from grading.drawing.narrowing import SYSTEM_WORDS
from grading.drawing.number import job_id
from grading.drawing.plan import Plan
from grading.drawing.words import words_of
from grading.drawing.written import write_jobs
from grading.fairness.complaint import shown_complaints
from grading.fairness.proof_course import actions_of, proof_course, worked
from grading.fairness.vehicle import Examiner
from grading.marks.rubric import load_rubric
from scenarios.files.loader import load_catalogue
from scenarios.model import SYSTEMS, Job
from scenarios.wrong_use import WrongUse
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
PLAN = Plan(jobs=1)
ENGLISH, GERMAN = words_of("en"), words_of("de")


def drawn(kind: str, system: str, vehicle: str, key: int, words: object = ENGLISH) -> Job | None:
    assert words is ENGLISH or words is GERMAN
    cell = Cell(0, kind, system, vehicle, True)
    chosen = GERMAN if words is GERMAN else ENGLISH
    return drawn_job(CATALOGUE, PLAN, cell, f"test-{key}", chosen, Dice("test", key), frozenset())


def test_a_needle_is_spoken_of_only_where_there_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("grading.drawing.drawn_job._needle_is_usual", lambda catalogue, job: True)
    told = {}
    for vehicle in ("hatch", "electric"):
        jobs = [job for key in range(12) if (job := drawn(ANY, "blower", vehicle, key)) is not None]
        told[vehicle] = any(gauge in job.complaint for job in jobs for gauge in ENGLISH.usual_gauge)
    assert told == {"hatch": True, "electric": False}


@pytest.mark.parametrize(
    ("system", "vehicle"), [("blower", "van"), ("doors", "hatch"), ("engine temperature", "saloon")]
)
def test_the_complaint_shows_on_the_vehicle_drawn(system: str, vehicle: str) -> None:
    jobs = [job for key in range(3) if (job := drawn(ANY, system, vehicle, key)) is not None]
    assert jobs
    for job in jobs:
        (kind,) = job.complains_of
        assert all(CATALOGUE.faults[name].system == system for name in job.real_faults)
        assert job.vehicle == vehicle and PLAN.weather[0] <= job.ambient_C <= PLAN.weather[1]
        session = worked(CATALOGUE, job, SEED, [], proof_course(CATALOGUE, job))
        assert kind in shown_complaints(CATALOGUE, job, SEED, actions_of(session))
        assert job.complaint.startswith(ENGLISH.said[kind]) and job.title in ENGLISH.titles[kind]


def test_another_language_changes_nothing_but_the_words() -> None:
    one, other = drawn(ANY, "blower", "hatch", 11), drawn(ANY, "blower", "hatch", 11, GERMAN)
    assert one is not None and other is not None and one.complaint != other.complaint
    texts = {"title": "", "customer": "", "complaint": "", "history": ""}
    assert replace(one, **texts) == replace(other, **texts)


def test_a_vehicle_with_nothing_wrong_complains_of_what_use_brings() -> None:
    job = drawn(NOTHING, "", "hatch", 1)
    assert job is not None and not job.faults
    assert set(job.complains_of) <= set(CATALOGUE.faults["none"].shows)


def test_two_faults_are_of_two_parts() -> None:
    jobs = [job for key in range(6) if (job := drawn(TWO, "", "pickup", key)) is not None]
    assert jobs
    for job in jobs:
        one, other = (CATALOGUE.faults[name] for name in job.real_faults)
        assert one.part != other.part


def test_nobody_is_left_cold_at_a_stop_by_an_engine_that_never_stops() -> None:
    for key in range(40):
        job = drawn(NOTHING, "", "pickup", key)
        assert job is not None and not {"cold standing", "cold in the rear"} & set(job.complains_of)


@pytest.mark.slow
def test_a_number_gives_the_same_fair_job_again_and_its_file_reads_back(tmp_path: Path) -> None:
    job = draw_by_number(CATALOGUE, "blower-31", load_rubric(), "en")
    assert job == draw_by_number(CATALOGUE, "blower-031", load_rubric(), "en")
    assert CATALOGUE.faults[job.real_faults[0]].system == "blower"
    (file,) = write_jobs(tmp_path, [job], "Drawn for a test.")
    read = load_catalogue(tmp_path).jobs[job.id]
    assert read == job and file.read_text(encoding="utf-8").startswith("# Drawn for a test.\n")
    assert Examiner(load_catalogue(tmp_path), read, load_rubric()).doubts(SEED) == ()


def test_numbers_name_jobs() -> None:
    assert job_id("4711") == "draw-4711" and job_id(" Engine-Temperature-007 ") == "draw-engine-temperature-7"
    assert set(SYSTEM_WORDS.values()) == set(SYSTEMS[:-1])


@pytest.mark.parametrize("number", ["", "x", "-5", "12.5", "1" * 10, "lorry-3", "../3", "blower-", "٣"])
def test_what_is_no_number_is_refused(number: str) -> None:
    with pytest.raises(WrongUse, match="4711"):
        job_id(number)
