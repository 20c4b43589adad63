"""A vehicle by its number: numbers as they are typed, what a word before one asks for, and that it is kept to."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest

from grading.drawing.by_number import draw_by_number
from grading.drawing.drawing import Drawer
from grading.drawing.narrowing import (
    BANDS,
    COMPLAINT_WORDS,
    SYSTEM_WORDS,
    can_come_with,
    is_word,
    narrowing,
    pair_word,
    shared_complaints,
)
from grading.drawing.number import job_id, number_of, word_of
from grading.marks.rubric import load_rubric
from scenarios.model import Job
from scenarios.wrong_use import WrongUse
from tests.packaged import packaged_catalogue

CATALOGUE, RUBRIC = packaged_catalogue(), load_rubric()
LOW, STUCK, NONE = "coolant-low", "thermostat-stuck-open", "none"


@pytest.fixture
def unproven(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first vehicle drawn is taken as it is: whether it is fair takes seconds and is tested elsewhere."""
    monkeypatch.setattr(Drawer, "_proven", lambda self, job, cell: job)


def drawn(number: str, language: str = "en") -> Job:
    return draw_by_number(CATALOGUE, number, RUBRIC, language)


@pytest.mark.parametrize(
    ("typed", "job"),
    [
        ("4711", "draw-4711"),
        (" 0042 ", "draw-42"),
        ("Blower-7", "draw-blower-7"),
        ("engine-temperature-1", "draw-engine-temperature-1"),
        ("easy-1", "draw-easy-1"),
        ("cold-at-idle-3", "draw-cold-at-idle-3"),
        (f"{pair_word((LOW, STUCK))}-9", f"draw-{pair_word((LOW, STUCK))}-9"),
    ],
)
def test_numbers_are_read_as_typed_and_told_again(typed: str, job: str) -> None:
    assert job_id(typed) == job
    number = number_of(job)
    assert number is not None and job_id(number) == job and job == f"draw-{number}"


@pytest.mark.parametrize(
    "typed", ["", "x", "-1", "1.5", "wheels-1", "pair-1", "pair-abc-1", "1234567890", "easy", "a b-1"]
)
def test_what_is_no_number_is_refused(typed: str) -> None:
    with pytest.raises(WrongUse, match="expected 4711 or blower-4711"):
        job_id(typed)


def test_words_mean_one_thing_each() -> None:
    words = [*SYSTEM_WORDS, *COMPLAINT_WORDS, *BANDS, "pair"]
    assert len(set(words)) == len(words) and all(map(is_word, words[:-1]))
    assert word_of("heater-valve-and-core-12") == "heater-valve-and-core"
    assert narrowing(CATALOGUE, "hard").difficulty == (4, 5)
    assert narrowing(CATALOGUE, "no-air").complaint == "no air"
    assert narrowing(CATALOGUE, "blower").system == "blower"


def test_every_pair_of_faults_has_a_code_of_its_own_that_names_none() -> None:
    codes = Counter(pair_word(pair) for pair in combinations(CATALOGUE.faults, 2))
    assert max(codes.values()) == 1
    word = pair_word((STUCK, LOW))
    assert word == pair_word((LOW, STUCK)) and set(narrowing(CATALOGUE, word).faults) == {LOW, STUCK}
    with pytest.raises(WrongUse, match="does not have"):
        narrowing(CATALOGUE, pair_word(("a-fault", "of-another-version")))


@pytest.mark.usefixtures("unproven")
def test_a_pair_gives_either_fault_with_a_complaint_of_both() -> None:
    word, found = pair_word((LOW, STUCK)), set[str]()
    shared = shared_complaints(CATALOGUE, (LOW, STUCK))
    for number in range(6):
        job = drawn(f"{word}-{number}")
        found |= {*job.real_faults}
        assert set(job.complains_of) <= shared
    assert found == {LOW, STUCK}


@pytest.mark.usefixtures("unproven")
def test_a_pair_with_nothing_wrong_gives_sound_vehicles_too() -> None:
    word = pair_word((LOW, NONE))
    assert {drawn(f"{word}-{number}").real_faults for number in range(6)} == {(LOW,), (NONE,)}


@pytest.mark.usefixtures("unproven")
def test_a_complaint_comes_with_faults_that_bring_it() -> None:
    for number in range(3):
        job = drawn(f"no-air-{number}")
        assert job.complains_of == ("no air",)
        assert set(job.real_faults) <= can_come_with(CATALOGUE, "no air")


@pytest.mark.usefixtures("unproven")
def test_the_same_number_gives_the_same_vehicle_in_another_language() -> None:
    one, other = drawn("easy-3"), drawn("easy-3", "de")
    assert one.complaint != other.complaint
    assert (one.faults, one.vehicle, one.mileage_km) == (other.faults, other.vehicle, other.mileage_km)


@pytest.mark.parametrize(
    ("number", "fault", "vehicle"),
    [
        ("2", "blend-actuator-stripped", "diesel-wagon"),
        ("3", "blower-motor-worn", "saloon"),
        ("blower-7", "blower-relay-dead", "van"),
        ("blower-8", "blower-motor-dead", "van"),
    ],
)
@pytest.mark.slow
def test_numbers_keep_their_vehicles(number: str, fault: str, vehicle: str) -> None:
    """They change with the catalogue or the physics alone, not with what numbers can be narrowed to."""
    job = drawn(number)
    assert (job.real_faults, job.vehicle) == ((fault,), vehicle)


@pytest.mark.slow
def test_a_band_of_difficulty_is_kept_to() -> None:
    for band, (easiest, hardest) in BANDS.items():
        assert easiest <= drawn(f"{band}-1").difficulty <= hardest
