"""The sentences of drawn jobs: alike in both languages, of fitting length, and telling no more than the complaint."""

import re
from dataclasses import fields
from itertools import pairwise

import pytest

from grading.drawing.dice import Dice
from grading.drawing.words import MOST_TITLE, Words, words_of
from grading.fairness.proof_course import can_be_tried
from grading.observer.prior import related_complaints
from scenarios.language import ENGLISH, LANGUAGES
from scenarios.model import COMPLAINTS
from tests.packaged import packaged_catalogue

each_language = pytest.mark.parametrize("language", LANGUAGES)
LEAST_SAID, LONGEST = 8, 700


def size(words: Words) -> dict[str, object]:
    """How many entries there are under each key."""
    found = {field.name: getattr(words, field.name) for field in fields(words)}
    return {
        name: {kind: len(some) for kind, some in value.items()} if isinstance(value, dict) else len(value)
        for name, value in found.items()
    }


@each_language
def test_each_language_has_as_many_sentences_for_every_complaint(language: str) -> None:
    words, english = words_of(language), words_of(ENGLISH)
    assert size(words) == size(english)
    assert set(words.said) == set(words.titles) == set(COMPLAINTS)
    assert min(len(set(some)) for some in words.said.values()) >= LEAST_SAID
    for field in fields(words):
        value = getattr(words, field.name)
        lists = value.values() if isinstance(value, dict) else [value]
        assert all(len(set(some)) == len(some) for some in lists), field.name


def test_a_language_without_sentences_of_its_own_speaks_english() -> None:
    assert words_of("xx") == words_of(ENGLISH)


@each_language
def test_what_is_put_together_fits_on_a_card(language: str) -> None:
    words = words_of(language)
    for kind in COMPLAINTS:
        for k in range(40):
            dice = Dice("card", kind, k)
            said = words.complaint(dice, kind, k % 2 == 0, k % 3 == 0)
            assert len(said) <= LONGEST and len(words.title(dice, kind)) <= MOST_TITLE
            assert len(words.customer(dice)) <= MOST_TITLE
            assert said[-1] in ".?!" and not re.search(r"\s\s|[{}]", said)


@each_language
def test_no_sentence_names_a_failed_part(language: str) -> None:
    """The parts of the catalogue, in English; what a customer sees and touches himself may be named."""
    parts = {fault.part.casefold() for fault in packaged_catalogue().faults.values()} - {"", "coolant", "radiator fan"}
    words = words_of(language)
    said = [one.casefold() for some in (*words.said.values(), *words.titles.values()) for one in some]
    if language == ENGLISH:
        assert not [(part, one) for part in parts for one in said if re.search(rf"\b{re.escape(part)}\b", one)]
    assert not [one for one in said if re.search(r"thermostat|ventil\b|valve|pump|sicherung|fuse|relay|relais", one)]


@each_language
def test_nothing_is_said_of_an_engine_where_a_vehicle_may_have_none(language: str) -> None:
    """The needle is spoken of only where there is one: see ``grading.drawing.drawn_job``."""
    electric = packaged_catalogue().vehicles["electric"]
    shows = [fault.shows for fault in packaged_catalogue().faults_of(electric)]
    kinds = {kind for some in shows for kind in (*some, *related_complaints(some))}
    kinds = {kind for kind in kinds if can_be_tried(packaged_catalogue(), electric, kind)}
    assert "cold at idle" in kinds and "overheating" not in kinds
    words = words_of(language)
    said = [one for kind in kinds for one in (*words.said[kind], *words.titles[kind])]
    said += [*words.at_times, *words.since, *words.asks, *words.service, *words.earlier_work]
    assert not [one for one in said if re.search(r"\b(engine|oil|exhaust|Motor|Motors|Motoröl|Öl|Auspuff)\b", one)]


@each_language
def test_a_wet_carpet_is_not_said_to_smell_of_coolant(language: str) -> None:
    """Rain wets it as well."""
    words = words_of(language)
    assert not [one for one in (*words.said["wet carpet"], *words.titles["wet carpet"]) if re.search("sweet|süß", one)]


def test_words_depend_on_the_complaint_and_on_nothing_else_of_the_fault() -> None:
    """So that nobody can tell faults with one complaint from the card."""
    words, dice = words_of(ENGLISH), Dice("same", 3)
    assert words.complaint(dice, "cold", False, False) == words.complaint(Dice("same", 3), "cold", False, False)
    usual = [words.complaint(Dice(k), "cold", False, True) for k in range(400)]
    told = sum(any(gauge in said for gauge in words.usual_gauge) for said in usual) / 400
    assert 0.2 < told < 0.4
    assert not any(
        gauge in words.complaint(Dice(k), "cold", False, False) for k in range(99) for gauge in words.usual_gauge
    )


def test_what_comes_and_goes_is_said_to() -> None:
    words = words_of(ENGLISH)
    for k in range(50):
        said = words.complaint(Dice(k), "no air", True, False)
        assert any(one in said for one in words.at_times)
        assert not any(one in words.complaint(Dice(k), "no air", False, False) for one in words.at_times)


def test_what_another_garage_said_has_no_beginning() -> None:
    words = words_of(ENGLISH)
    for k in range(60):
        said = words.complaint(Dice(k), "poor coolant", True, False)
        assert not any(one in said for one in (*words.at_times, *words.since))


def test_earlier_work_stands_in_the_history_where_it_is_wanted() -> None:
    words = words_of(ENGLISH)
    histories = [words.history(Dice(k), k % 2 == 0) for k in range(60)]
    named = [any(work in history for work in words.earlier_work) for history in histories]
    assert named == [k % 2 == 0 for k in range(60)]


@each_language
def test_people_are_many(language: str) -> None:
    words = words_of(language)
    people = [words.customer(Dice("people", k)) for k in range(300)]
    assert len(set(people)) > 295
    assert all(a != b for a, b in pairwise(people))
