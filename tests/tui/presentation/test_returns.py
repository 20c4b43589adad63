"""What was confused comes back after 1, 3 and 7 days, by the records and their marks alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from grading.drawing.narrowing import pair_word
from grading.sessions.records import kept_records
from scenarios.model import Catalogue
from tests.tui.presentation.learner import COLD, LOW, NONE, OTHER, SOUND, STUCK, Learner, draw, four_jobs, on
from tui.presentation.between_jobs.attempts import attempts_of
from tui.presentation.between_jobs.returns import due, returns

PAIR = (LOW, STUCK)


@pytest.fixture
def known(catalogue: Catalogue) -> Catalogue:
    return four_jobs(catalogue)


@pytest.fixture
def learner(records: Path) -> Learner:
    return Learner(records)


def due_on(known: Catalogue, day: str) -> list[tuple[str, str]]:
    return [one.pair for one in due(attempts_of(known, kept_records()), on(day))]


def test_a_confusion_is_due_from_the_next_day_until_it_is_passed(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", COLD, STUCK, passed=False)
    assert due_on(known, "2001-02-01") == []
    assert due_on(known, "2001-02-02") == due_on(known, "2001-02-20") == [PAIR]
    learner.did("2001-02-02", COLD, LOW, passed=False)
    assert due_on(known, "2001-02-02") == [PAIR]
    learner.did("2001-02-02", OTHER, STUCK)
    assert due_on(known, "2001-02-02") == due_on(known, "2001-02-03") == []


def test_it_comes_back_after_three_and_after_seven_days_and_then_no_more(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", COLD, STUCK, passed=False)
    for day, before in (("2001-02-02", "2001-02-01"), ("2001-02-04", "2001-02-03"), ("2001-02-08", "2001-02-07")):
        assert due_on(known, before) == [] and due_on(known, day) == [PAIR]
        learner.did(day, COLD, LOW)
    assert returns(attempts_of(known, kept_records())) == []


def test_a_late_pass_moves_the_next_one_and_an_early_one_does_not_count(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", COLD, STUCK, passed=False)
    learner.did("2001-02-01", COLD, LOW)
    assert due_on(known, "2001-02-02") == [PAIR]
    learner.did("2001-02-10", COLD, LOW)
    assert due_on(known, "2001-02-11") == [] and due_on(known, "2001-02-12") == [PAIR]
    learner.did("2001-02-11", COLD, LOW)
    (left,) = returns(attempts_of(known, kept_records()))
    assert (left.passed, left.day, left.since) == (1, on("2001-02-12"), on("2001-02-01"))


def test_another_confusion_begins_anew_whichever_was_declared(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", COLD, STUCK, passed=False)
    learner.did("2001-02-02", COLD, LOW)
    learner.did("2001-02-04", OTHER, LOW, passed=False)
    (left,) = returns(attempts_of(known, kept_records()))
    assert (left.pair, left.passed, left.since, left.day) == (PAIR, 0, on("2001-02-04"), on("2001-02-05"))


def test_a_sound_vehicle_can_be_confused_as_well(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", SOUND, LOW, passed=False)
    learner.did("2001-02-01", COLD, STUCK, passed=False)
    assert sorted(due_on(known, "2001-02-02")) == sorted([(LOW, NONE), PAIR])
    learner.did("2001-02-02", SOUND, NONE)
    assert due_on(known, "2001-02-02") == [PAIR]


def test_a_drawn_vehicle_of_the_pair_counts(known: Catalogue, learner: Learner) -> None:
    drawn = draw(known, f"{pair_word(PAIR)}-7", STUCK)
    learner.did("2001-02-01", drawn, LOW, passed=False)
    assert due_on(known, "2001-02-02") == [PAIR]
    learner.did("2001-02-02", draw(known, f"{pair_word(PAIR)}-8", LOW), LOW)
    assert due_on(known, "2001-02-02") == []


def test_nothing_is_confused_that_was_not_marked_or_cannot_be_told_apart(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", COLD, STUCK, marked=False)
    learner.did("2001-02-01", COLD, STUCK, group=[LOW, STUCK])
    assert due_on(known, "2001-02-09") == []
    learner.did("2001-02-01", COLD, STUCK, passed=False, group=[STUCK])
    assert due_on(known, "2001-02-09") == [PAIR]


def test_marks_of_another_content_count_for_nothing(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", COLD, STUCK, passed=False)
    passed = learner.did("2001-02-02", COLD, LOW)
    assert due_on(known, "2001-02-02") == []
    passed.write_text(passed.read_text(encoding="utf-8").replace("80.0", "81.0"), encoding="utf-8")
    assert due_on(known, "2001-02-02") == [PAIR]


def test_a_job_whose_exam_is_open_tells_nothing(known: Catalogue, learner: Learner) -> None:
    learner.did("2001-02-01", COLD, STUCK, passed=False)
    learner.began("2001-02-01", COLD, mode="exam")
    assert due_on(known, "2001-02-09") == []
