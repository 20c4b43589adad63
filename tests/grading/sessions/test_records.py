"""The folder of records: what is sealed, and marks that only this machine's store can tell."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from grading.sessions.exam_seals import noted_exams
from grading.sessions.marks_store import LARGEST, marks_folder, marks_of, record_hash, save_marks
from grading.sessions.openings import begin, give_up, mode_of
from grading.sessions.records import Kept, kept_records, records_folder, sealed_jobs
from grading.sessions.versions import Versions
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.wrong_use import WrongUse
from tests.grading.workbench import FIND, bench

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
VERSIONS = Versions("engine", "catalogue", "rubric")


def exam(path: Path | None = None, *actions: Action) -> Path:
    begun = begin(CATALOGUE, JOB, 1, path, mode_of("exam", 30.0))
    for action in (FIND[0], *actions):
        assert begun.do(action).refused is None
    begun.close()
    assert begun.recorder.path is not None
    return begun.recorder.path


def only() -> Kept:
    (kept,) = kept_records()
    return kept


def test_a_text_as_long_as_it_may_be_keeps_the_exam_sealed_and_the_record_readable() -> None:
    exam(None, Action("note", ("text", "x" * 2_000)))
    assert only().error is None
    assert sealed_jobs(kept_records()) == {JOB.id}


@pytest.mark.parametrize("spoil", [b"not json\n", b'{"n": 7, "kind": "end"}\n', b"\xff\n"])
def test_an_exam_that_cannot_be_read_stays_sealed(spoil: bytes) -> None:
    path = exam()
    path.write_bytes(path.read_bytes() + spoil)
    assert only().error is not None
    assert sealed_jobs(kept_records()) == {JOB.id}
    with pytest.raises(WrongUse, match=r"may be an exam .* cannot be read: .*\.jsonl:3:"):
        begin(CATALOGUE, JOB, 2)


def test_a_record_of_which_nothing_can_be_read_is_sealed_by_its_name() -> None:
    path = exam()
    path.write_bytes(b"\x00" + path.read_bytes())
    assert sealed_jobs(kept_records()) == {JOB.id}


def test_a_spoilt_record_that_is_no_exam_seals_nothing() -> None:
    begun = begin(CATALOGUE, JOB, 1)
    begun.close()
    path = begun.recorder.path
    assert path is not None
    path.write_bytes(path.read_bytes() + b"not json\n")
    assert only().error is not None
    assert sealed_jobs(kept_records()) == frozenset()


def test_a_file_that_is_no_record_is_passed_over() -> None:
    records_folder().mkdir(parents=True)
    (records_folder() / "shopping.jsonl").write_text("milk\n", encoding="utf-8")
    assert kept_records() == []


def test_an_exam_elsewhere_stays_sealed_when_it_is_spoilt(tmp_path: Path) -> None:
    path = exam(tmp_path / "desk" / "mine.jsonl")
    assert noted_exams() == [(path, JOB.id)]
    path.write_bytes(b"\x00")
    assert sealed_jobs(kept_records()) == {JOB.id}


def test_an_exam_is_handed_in_and_not_put_away() -> None:
    path = exam()
    with pytest.raises(DataError, match="this is an exam"):
        give_up(path)
    assert sealed_jobs(kept_records()) == {JOB.id}


def test_marks_are_read_from_the_store_and_from_no_line_of_the_record() -> None:
    begun = begin(CATALOGUE, JOB, 1)
    begun.do(Action("handback"))
    begun.close()
    path = begun.recorder.path
    assert path is not None
    assert only().grade is None and not only().passed
    save_marks(path.read_bytes(), VERSIONS, {"total": 61.0, "passed": False})
    assert (only().total, only().passed) == (61.0, False)
    line = {"n": len(begun.recorder.entries), "kind": "grade", "total": 100.0, "passed": True}
    path.write_bytes(path.read_bytes() + json.dumps(line).encode() + b"\n")
    assert only().error is not None and not only().passed


def test_a_changed_record_has_no_marks() -> None:
    save_marks(b"one", VERSIONS, {"total": 90.0, "passed": True})
    assert marks_of(b"one") == {"total": 90.0, "passed": True}
    assert marks_of(b"two") is None


def test_marks_of_the_same_versions_take_the_place_of_those_before() -> None:
    other = VERSIONS._replace(rubric="another")
    for total, versions in ((1.0, VERSIONS), (2.0, other), (3.0, VERSIONS)):
        save_marks(b"one", versions, {"total": total})
    kept: list[dict[str, Any]] = json.loads((marks_folder() / f"{record_hash(b'one')}.json").read_text("utf-8"))
    assert [(one["made_with"], one["marks"]["total"]) for one in kept] == [(list(other), 2.0), (list(VERSIONS), 3.0)]
    assert marks_of(b"one") == {"total": 3.0}


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[1]", '[{"marks": 1, "made_with": []}]', "[" * 10_000, " " * (LARGEST + 1)],
    ids=["empty", "object", "number", "wrong types", "deep", "too large"],
)
def test_a_spoilt_file_of_marks_is_none(text: str) -> None:
    save_marks(b"one", VERSIONS, {"total": 1.0})
    (marks_folder() / f"{record_hash(b'one')}.json").write_text(text, encoding="utf-8")
    assert marks_of(b"one") is None
