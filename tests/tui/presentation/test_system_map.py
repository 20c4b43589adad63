"""The map of systems: what it counts, and how it is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from grading.sessions.records import kept_records
from scenarios.model import SYSTEMS, Catalogue
from tests.tui.presentation.learner import COLD, LOW, OTHER, SOUND, STUCK, Learner, draw, four_jobs
from tui.presentation.between_jobs.attempts import attempts_of
from tui.presentation.between_jobs.system_map import SIGNS, SystemDone, legend, system_map


@pytest.fixture
def known(catalogue: Catalogue) -> Catalogue:
    return four_jobs(catalogue)


def mapped(known: Catalogue) -> dict[str, tuple[int, int, int, int]]:
    found = system_map(known, attempts_of(known, kept_records()))
    assert [one.system for one in found] == sorted((one.system for one in found), key=SYSTEMS.index)
    return {one.system: (one.faults, one.tried, one.passed, one.alone) for one in found}


def test_it_is_empty_at_first(known: Catalogue) -> None:
    assert mapped(known) == {"coolant": (1, 0, 0, 0), "engine temperature": (1, 0, 0, 0), "nothing wrong": (1, 0, 0, 0)}


def test_faults_are_tried_then_passed_then_passed_without_help(known: Catalogue, records: Path) -> None:
    learner = Learner(records)
    for passed, mode, counts in (
        (False, "free", (1, 1, 0, 0)),
        (True, "guided", (1, 1, 1, 0)),
        (True, "free", (1, 1, 1, 1)),
        (False, "guided", (1, 1, 1, 1)),
    ):
        learner.did("2001-02-01", COLD, LOW, passed, mode)
        assert mapped(known)["coolant"] == counts
    assert mapped(known)["engine temperature"] == (1, 0, 0, 0)
    learner.did("2001-02-01", SOUND, "none")
    assert mapped(known)["nothing wrong"] == (1, 1, 1, 1)


def test_drawn_vehicles_count_and_open_or_unknown_ones_do_not(known: Catalogue, records: Path) -> None:
    learner = Learner(records)
    learner.did("2001-02-01", draw(known, "4711", STUCK), STUCK)
    learner.began("2001-02-01", COLD)
    learner.did("2001-02-01", "draw-999", LOW)
    assert mapped(known) == {"coolant": (1, 0, 0, 0), "engine temperature": (1, 1, 1, 1), "nothing wrong": (1, 0, 0, 0)}


def test_a_job_that_was_not_marked_was_tried(known: Catalogue, records: Path) -> None:
    Learner(records).did("2001-02-01", OTHER, STUCK, marked=False)
    assert mapped(known)["engine temperature"] == (1, 1, 0, 0)


def test_signs_differ_without_colour_and_sentences_tell_the_same() -> None:
    done = SystemDone("coolant", 6, 4, 3, 1)
    assert done.cells == "●✓✓✕··" and len(set(SIGNS)) == 4
    assert all(sign in legend() for sign in SIGNS)
    assert done.told == "coolant: 4 of 6 tried, 3 passed, 1 of them without help"
    assert SystemDone("coolant", 6, 0, 0, 0).told == "coolant: none of 6 tried yet"
