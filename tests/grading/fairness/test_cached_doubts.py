"""The cache of doubts returns what was stored until something that the doubts depend on changes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import grading.fairness.cached_doubts
from grading.fairness.cached_doubts import cache_folder, key_of, read_doubts, store_doubts
from grading.fairness.doubt import Doubt
from grading.marks.rubric import load_rubric
from scenarios.language import N_, Listed, Message
from tests.grading.workbench import bench

CATALOGUE, RUBRIC = bench(), load_rubric()
JOB = CATALOGUE.jobs["cold-tern"]
DOUBTS = (
    Doubt(2, Message("on vehicle {seed}: {why}", seed=3, why="it fails"), Listed(["a", "b"], N_(" or "))),
    Doubt(None, "a problem", "none"),
)


@pytest.fixture(autouse=True)
def cache(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(
        grading.fairness.cached_doubts.platformdirs, "user_cache_path", lambda *names, **options: tmp_path
    )


@pytest.mark.parametrize("doubts", [DOUBTS, ()])
def test_doubts_are_read_as_they_were_stored(doubts: tuple[Doubt, ...]) -> None:
    assert read_doubts("key") is None
    store_doubts("key", doubts)
    assert read_doubts("key") == doubts
    assert [file.name for file in cache_folder().iterdir()] == ["key.json"]


@pytest.mark.parametrize("text", ["", "[", "{}{}", "[1]", '[{"fault": -1, "problem": "a", "expected": "b"}]', "[{}]"])
def test_a_damaged_file_counts_as_absent(text: str) -> None:
    store_doubts("key", DOUBTS)
    (cache_folder() / "key.json").write_text(text, encoding="utf-8")
    assert read_doubts("key") is None


def test_a_folder_that_cannot_be_written_stores_nothing(tmp_path: Path) -> None:
    (tmp_path / "proven").write_text("a file", encoding="utf-8")
    store_doubts("key", DOUBTS)
    assert read_doubts("key") is None


def test_whatever_counts_changes_the_key(monkeypatch: pytest.MonkeyPatch) -> None:
    key = key_of(CATALOGUE, JOB, RUBRIC, 1)
    other = replace(JOB, id="other", title="Another")
    assert key_of(replace(CATALOGUE, jobs={JOB.id: JOB, other.id: other}), JOB, RUBRIC, 1) == key
    rare = replace(CATALOGUE.faults["coolant-low"], rate=2.0)
    changed = {
        key_of(CATALOGUE, JOB, RUBRIC, 2),
        key_of(CATALOGUE, replace(JOB, ambient_C=3.0), RUBRIC, 1),
        key_of(CATALOGUE, JOB, replace(RUBRIC, hash="other"), 1),
        key_of(replace(CATALOGUE, faults=CATALOGUE.faults | {rare.id: rare}), JOB, RUBRIC, 1),
    }
    monkeypatch.setattr(grading.fairness.cached_doubts, "engine_hash", lambda: "another engine")
    changed.add(key_of(CATALOGUE, JOB, RUBRIC, 1))
    monkeypatch.undo()
    monkeypatch.setattr(grading.fairness.cached_doubts, "_marking_hash", lambda: "other rules")
    changed.add(key_of(CATALOGUE, JOB, RUBRIC, 1))
    assert len(changed | {key}) == 7
