"""The folder of records: what is sealed, and marks that only this machine's store can tell."""

from __future__ import annotations

import hashlib
import json
import os
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from grading.sessions import records
from grading.sessions.exam_seals import noted_exams
from grading.sessions.marks_store import LARGEST, marks_folder, marks_of, record_hash, save_marks
from grading.sessions.modes import Mode
from grading.sessions.openings import begin, give_up, mode_of
from grading.sessions.record import RecordEntry, as_bytes
from grading.sessions.records import (
    Kept,
    handed_back,
    kept_records,
    new_record_path,
    newest_open,
    put_away,
    records_folder,
    sealed_jobs,
)
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


# -- names and order ------------------------------------------------------------------------------------------------


def a_record(name: str, *entries: RecordEntry, job: str = "cold-tern", age: float = 0.0, **first: Any) -> Path:
    """A record in the folder, so many seconds old."""
    begun = {"n": 0, "format": 2, "program": "", "engine": "e", "catalogue": "c", "rubric": "", "seed": 1}
    whole = [RecordEntry("job", {**begun, "job": job, "mode": "free", **first}), *entries]
    for n, entry in enumerate(whole):
        entry.data["n"] = n
    path = records_folder() / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(as_bytes(whole))
    os.utime(path, (1_700_000_000.0 - age, 1_700_000_000.0 - age))
    return path


def done(verb: str) -> RecordEntry:
    empty: dict[str, Any] = {"readings": [], "noticed": [], "safety": []}
    return RecordEntry("action", {"verb": verb, "arguments": [], "minute": 0.0, "minutes": 0.0, **empty})


def gone() -> RecordEntry:
    return RecordEntry("put-away", {})


def test_a_record_is_named_by_job_date_and_time_and_never_like_another(monkeypatch: pytest.MonkeyPatch) -> None:
    class Clock(datetime):
        @classmethod
        def now(cls, tz: Any = None) -> Clock:
            return cls(2026, 3, 9, 14, 5, 7)

    monkeypatch.setattr(records, "datetime", Clock)
    names = []
    for _ in range(4):
        path = new_record_path("cold-tern")
        assert path.parent == records_folder()
        names.append(path.name)
        a_record(path.name)
    stem = "cold-tern-2026-03-09-140507"
    assert names == [f"{stem}.jsonl", f"{stem}-2.jsonl", f"{stem}-3.jsonl", f"{stem}-4.jsonl"]


@pytest.mark.parametrize(
    ("entries", "back", "away"),
    [
        ([], False, False),
        ([done("check")], False, False),
        ([done("check"), done("handback")], True, False),
        ([done("check"), gone()], False, True),
        ([RecordEntry("draft", {"what": "a", "text": "handback"})], False, False),
    ],
)
def test_a_record_is_open_until_the_keys_are_back_or_the_job_is_given_up(
    entries: list[RecordEntry], back: bool, away: bool
) -> None:
    whole = [RecordEntry("job", {"job": "cold-tern"}), *entries]
    assert (handed_back(whole), put_away(whole)) == (back, away)
    kept = Kept(Path("mine.jsonl"), whole)
    assert (kept.open, kept.given_up, kept.job) == (not back and not away, away, "cold-tern")


def test_records_are_listed_newest_first_and_by_name_where_equally_old() -> None:
    for name, age in (("b", 5.0), ("a", 5.0), ("c", 9.0), ("d", 1.0)):
        a_record(f"{name}.jsonl", age=age)
    (records_folder() / "e.txt").write_text("no record", encoding="utf-8")
    assert [kept.path.name for kept in kept_records()] == ["d.jsonl", "b.jsonl", "a.jsonl", "c.jsonl"]


def test_the_newest_open_record_of_a_job_is_found() -> None:
    assert newest_open("cold-tern") is None
    a_record("old.jsonl", age=9.0)
    path = a_record("new.jsonl", age=5.0)
    a_record("back.jsonl", done("handback"), age=4.0)
    a_record("gone.jsonl", gone(), age=3.0)
    a_record("other.jsonl", job="warm-tern", age=2.0)
    found = newest_open("cold-tern")
    assert found is not None and found.path == path
    assert newest_open("hot-tern") is None


def test_an_exam_elsewhere_is_listed_until_it_is_handed_in(tmp_path: Path) -> None:
    path = exam(tmp_path / "desk" / "mine.jsonl")
    assert [(kept.path, kept.job, kept.open, kept.sealed) for kept in kept_records()] == [(path, JOB.id, True, True)]
    entries = only().entries
    path.write_bytes(as_bytes([*entries, RecordEntry("action", done("handback").data | {"n": len(entries)})]))
    assert noted_exams() != []
    assert kept_records() == []
    assert noted_exams() == []


def test_marks_belong_to_the_record_that_was_marked() -> None:
    path = a_record("mine.jsonl", done("handback"))
    save_marks(path.read_bytes(), VERSIONS, {"total": 77.0, "passed": True})
    kept = only()
    assert (kept.path, kept.total, kept.passed, kept.error) == (path, 77.0, True, None)
    assert [entry.kind for entry in kept.entries] == ["job", "action"]


# -- records that cannot be read ------------------------------------------------------------------------------------

NAMED = "warm-tern-2026-11-30-140509.jsonl"
FIRST = b'{"kind": "job", "job": "cold-tern", "mode": "%s"}\n'


@pytest.mark.parametrize(
    ("name", "whole", "job", "mode"),
    [
        ("mine.jsonl", FIRST % b"free", "cold-tern", "free"),
        ("mine.jsonl", FIRST % b"guided", "cold-tern", "free"),
        ("mine.jsonl", FIRST % b"exam", "cold-tern", "exam"),
        ("mine.jsonl", b'{"kind": "job", "job": "cold-tern"}\nmilk\n', "cold-tern", "free"),
        ("mine.jsonl", b'{"job": "cold-tern", "mode": "free"}\n', "cold-tern", "exam"),
        ("mine.jsonl", b'{"kind": "end", "job": "cold-tern", "mode": "free"}\n', "cold-tern", "exam"),
        (NAMED, FIRST % b"free", "cold-tern", "free"),
        (NAMED, b'{"kind": "job", "mode": "free"}\n', "warm-tern", "free"),
        (NAMED, b"milk\n", "warm-tern", "exam"),
        (NAMED, b"", "warm-tern", "exam"),
        (NAMED, b"[1]\n", "warm-tern", "exam"),
        (NAMED, b"[" * 100_000, "warm-tern", "exam"),
        ("warm-tern-2026-11-30-140509-2.jsonl", b"milk\n", "warm-tern", "exam"),
        ("warm-tern-2026-11-30.jsonl", b"milk\n", None, None),
        ("mine.jsonl", b"milk\n", None, None),
        ("mine.jsonl", b'{"kind": "job", "job": 5}\n', None, None),
        ("mine.jsonl", b'{"kind": "job", "job": ""}\n', None, None),
    ],
)
def test_a_record_that_cannot_be_read_counts_as_an_exam_unless_it_says_otherwise(
    name: str, whole: bytes, job: str | None, mode: str | None
) -> None:
    records_folder().mkdir(parents=True)
    path = records_folder() / name
    path.write_bytes(whole)
    if job is None:
        assert kept_records() == []
        return
    kept = only()
    assert kept.entries == [RecordEntry("job", {"n": 0, "job": job, "mode": mode})]
    assert (kept.path, kept.job, kept.mode, kept.grade, kept.open) == (path, job, Mode(str(mode)), None, True)
    assert kept.error is not None and kept.error.file == str(path)
    assert sealed_jobs(kept_records()) == ({job} if mode == "exam" else set())


def test_a_record_too_large_to_be_read_counts_as_an_exam(monkeypatch: pytest.MonkeyPatch) -> None:
    a_record(NAMED, job="warm-tern")
    monkeypatch.setattr("grading.sessions.record.MOST_BYTES", 10)
    assert only().entries == [RecordEntry("job", {"n": 0, "job": "warm-tern", "mode": "exam"})]


def test_an_exam_elsewhere_that_cannot_be_read_is_known_by_its_note(tmp_path: Path) -> None:
    path = exam(tmp_path / "desk" / "warm-tern-2026-11-30-140509.jsonl")
    path.write_bytes(b"milk\n")
    assert only().job == JOB.id


# -- the store of marks ---------------------------------------------------------------------------------------------


def test_marks_are_kept_in_a_file_named_by_the_record_s_hash() -> None:
    assert record_hash(b"one") == hashlib.blake2b(b"one", digest_size=16).hexdigest()
    save_marks(b"one", VERSIONS, {"total": 1.0, "remark": "für Zoë ☃"})
    (file,) = marks_folder().iterdir()
    assert file.name == f"{record_hash(b'one')}.json"
    assert file.read_text(encoding="utf-8") == (
        '[{"made_with": ["engine", "catalogue", "rubric"], "marks": {"total": 1.0, "remark": "für Zoë ☃"}}]'
    )
    with pytest.raises(ValueError):
        save_marks(b"two", VERSIONS, {"total": float("nan")})
    assert marks_of(b"two") is None


def test_a_file_of_marks_may_be_as_large_as_it_may_be() -> None:
    save_marks(b"one", VERSIONS, {"total": 1.0})
    path = marks_folder() / f"{record_hash(b'one')}.json"
    whole = path.read_bytes()
    path.write_bytes(whole + b" " * (LARGEST - len(whole)))
    assert marks_of(b"one") == {"total": 1.0}
    path.write_bytes(whole + b" " * (LARGEST - len(whole) + 1))
    assert marks_of(b"one") is None


def test_what_is_no_marks_is_passed_over_and_not_kept() -> None:
    save_marks(b"one", VERSIONS, {"total": 1.0})
    path = marks_folder() / f"{record_hash(b'one')}.json"
    good = {"made_with": ["a", "b", "c"], "marks": {"total": 2.0}}
    spoilt: list[Any] = [5, {"made_with": []}, {"marks": {}}, good | {"marks": []}, good | {"made_with": "abc"}]
    path.write_text(json.dumps([*spoilt[:2], good, *spoilt[2:]]), encoding="utf-8")
    assert marks_of(b"one") == {"total": 2.0}
    save_marks(b"one", VERSIONS, {"total": 3.0})
    assert json.loads(path.read_text(encoding="utf-8")) == [
        good,
        {"made_with": list(VERSIONS), "marks": {"total": 3.0}},
    ]


# -- what a record in the folder tells ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("marks", "passed", "total"),
    [
        (None, False, 0.0),
        ({}, False, 0.0),
        ({"passed": True, "total": 61}, True, 61.0),
        ({"passed": False, "total": 61.5}, False, 61.5),
        ({"passed": "yes", "total": "61"}, False, 0.0),
        ({"passed": 1, "total": float("nan")}, False, 0.0),
        ({"passed": None, "total": -5.0}, False, 0.0),
        ({"passed": True, "total": 100.5}, True, 100.0),
    ],
)
def test_marks_are_told_as_far_as_they_are_any(marks: dict[str, Any] | None, passed: bool, total: float) -> None:
    kept = Kept(Path("mine.jsonl"), [], marks)
    assert (kept.passed, kept.total) == (passed, total)


@pytest.mark.parametrize(
    ("mode", "entries", "sealed"),
    [
        ("exam", [done("check")], True),
        ("exam", [done("handback")], False),
        ("exam", [gone()], False),
        ("free", [done("check")], False),
        ("guided", [], False),
    ],
)
def test_an_exam_is_sealed_until_it_is_over(mode: str, entries: list[RecordEntry], sealed: bool) -> None:
    clock: dict[str, Any] = {"minutes": 30.0, "begun": 1.8e9} if mode == "exam" else {}
    a_record("mine.jsonl", *entries, mode=mode, **clock)
    assert (only().error, only().sealed) == (None, sealed)
    assert sealed_jobs(kept_records()) == ({"cold-tern"} if sealed else set())


def test_a_record_is_of_the_day_in_its_name_or_of_its_last_line() -> None:
    named = a_record("cold-tern-2026-03-09-140507-2.jsonl")
    other = a_record("mine.jsonl")
    noon = datetime(2025, 4, 5, 12).timestamp()
    for path in (named, other):
        os.utime(path, (noon, noon))
    assert [Kept(path, []).day for path in (named, other)] == ["2026-03-09", "2025-04-05"]
    other.unlink()
    assert Kept(other, []).day == ""


def test_records_and_marks_stay_where_earlier_versions_put_them(data_folder: Path) -> None:
    assert (records_folder(), marks_folder()) == (data_folder / "records", data_folder / "marks")
