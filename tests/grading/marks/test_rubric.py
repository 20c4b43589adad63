"""The rubric's file is read strictly: each mistake is refused at its place."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from grading.marks.rubric import PACKAGED, load_rubric
from scenarios.files.data_error import DataError
from scenarios.model import CRITERIA

TEXT = PACKAGED.read_text(encoding="utf-8")


def changed(folder: Path, old: str, new: str) -> Path:
    assert TEXT.count(old) == 1
    path = folder / "rubric.yaml"
    path.write_text(TEXT.replace(old, new), encoding="utf-8", newline="\n")
    return path


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        ("diagnosis: 40", "diagnosis: 41", "the weights sum to 101, expected a sum of 100"),
        ("parts: 10", "parts: 9.5", "the weights sum to 99.5, expected"),
        ("  parts: 10 ", "  # ", "parts"),
        ("safety: 15", "safety: -15", "-15, expected"),
        ("diagnosis: 40", "diagnosis: 140", "140, expected"),
        ("safety: 15", "safety: 15\n  neatness: 0", "neatness"),
        ("pointer: 2", "pointer: -2", "-2, expected"),
        ("pointer: 2", "pointer: 101", "101, expected"),
        ("pointer: 2", "pointer: 2\n  nudge: 1", "nudge"),
        ("total: 70", "total: 101", "101, expected"),
        ("diagnosis: 50", "diagnosis: -1", "-1, expected"),
        ("parts: 50", "parts: 101", "101, expected"),
        ("safety: 60", "safety: -1", "-1, expected"),
        ("needless-parts-minutes: 1200", "needless-parts-minutes: 0", "0, expected"),
        ("factor: 2", "factor: 0.5", "0.5, expected"),
        ("least: 45", "least: 0", "0, expected"),
        ("otherwise: 120", "otherwise: -5", "-5, expected"),
        ("otherwise: 120", "otherwise: 120\n  grace: 5", "grace"),
        ("critical-error-cap: 49", "critical-error-cap: 101", "101, expected"),
        ("critical-error-cap: 49", "critical-error-cap: 49\n  luck: 1", "luck"),
        ("pass:", "extra: 1\npass:", "extra"),
    ],
)
def test_a_mistake_is_refused(tmp_path: Path, old: str, new: str, wrong: str) -> None:
    with pytest.raises(DataError, match=rf"rubric\.yaml:\d+:\d+: .*{wrong}"):
        load_rubric(changed(tmp_path, old, new))


@pytest.mark.parametrize(
    ("old", "new", "part", "value"),
    [
        ("total: 70", "total: 100", "total", 100.0),
        ("diagnosis: 50", "diagnosis: 0", "floors", {"diagnosis": 0.0, "safety": 60.0, "parts": 50.0}),
        ("safety: 60", "safety: 30", "floors", {"diagnosis": 50.0, "safety": 30.0, "parts": 50.0}),
        ("parts: 50", "parts: 70", "floors", {"diagnosis": 50.0, "safety": 60.0, "parts": 70.0}),
        ("critical-error-cap: 49", "critical-error-cap: 0", "cap", 0.0),
        ("needless-parts-minutes: 1200", "needless-parts-minutes: 600", "needless", 600.0),
        ("factor: 2", "factor: 3", "allowance_factor", 3.0),
        ("least: 45", "least: 30", "allowance_least", 30.0),
        ("otherwise: 120", "otherwise: 90", "allowance_otherwise", 90.0),
    ],
)
def test_what_an_instructor_changes_counts(tmp_path: Path, old: str, new: str, part: str, value: object) -> None:
    path = changed(tmp_path, old, new)
    rubric = load_rubric(path)
    assert getattr(rubric, part) == value
    assert rubric.hash == hashlib.sha256(path.read_bytes()).hexdigest() != load_rubric().hash


@pytest.mark.parametrize(("most", "least"), [(100, 0), (0, 100)])
def test_every_mark_may_be_nothing_or_all(tmp_path: Path, most: int, least: int) -> None:
    path = tmp_path / "rubric.yaml"
    path.write_text(
        "weights: {diagnosis: 100, efficiency: 0, safety: 0, parts: 0, inquiry: 0, calibration: 0}\n"
        f"hints: {{question: {least}, pointer: {most}, explanation: {least}}}\n"
        f"pass: {{total: {most}, diagnosis: {least}, safety: {most}, parts: {least}, critical-error-cap: {least}}}\n"
        "needless-parts-minutes: 1\n"
        "allowance: {factor: 1, least: 1, otherwise: 1}\n",
        encoding="utf-8",
    )
    rubric = load_rubric(path)
    assert rubric.weights == dict.fromkeys(CRITERIA, 0.0) | {"diagnosis": 100.0}
    assert rubric.hints == {"question": least, "pointer": most, "explanation": least}
    assert rubric.floors == {"diagnosis": least, "safety": most, "parts": least}
    assert (rubric.total, rubric.cap) == (most, least)


@pytest.mark.parametrize("given", ["-1", "100.5"])
@pytest.mark.parametrize("name", ["total", "diagnosis", "parts", "critical-error-cap"])
def test_marks_are_0_to_100(tmp_path: Path, name: str, given: str) -> None:
    old = {"total": "70", "diagnosis": "50", "parts": "50", "critical-error-cap": "49"}[name]
    with pytest.raises(DataError, match=f"{given}, expected a number of at least 0 and at most 100$"):
        load_rubric(changed(tmp_path, f"{name}: {old}", f"{name}: {given}"))


def test_a_weight_is_0_to_100(tmp_path: Path) -> None:
    with pytest.raises(DataError, match=r"100\.5, expected a number of at least 0 and at most 100$"):
        load_rubric(changed(tmp_path, "diagnosis: 40", "diagnosis: 100.5"))
