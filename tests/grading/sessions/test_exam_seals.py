"""Notes of exams whose records lie outside the records folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from grading.sessions.exam_seals import forget_exam, note_exam, noted_exams

JOB = "cold-tern"


@pytest.fixture
def notes(data_folder: Path) -> Path:
    """The folder of notes."""
    return data_folder / "exams-elsewhere"


def a_record(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"{}\n")
    return path


def test_a_note_holds_path_and_job(tmp_path: Path, notes: Path) -> None:
    record = a_record(tmp_path / "Prüfung №1" / "mine.jsonl")
    note_exam(record, "käfer-☃")
    (note,) = notes.iterdir()
    assert note.read_bytes() == f"{record}\nkäfer-☃\n".encode()
    assert len(note.name) == 24 and int(note.name, 16) >= 0
    assert noted_exams() == [(record, "käfer-☃")]


def test_a_relative_path_is_noted_as_an_absolute_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record = a_record(tmp_path / "mine.jsonl")
    monkeypatch.chdir(tmp_path)
    note_exam(Path("mine.jsonl"), JOB)
    assert noted_exams() == [(record, JOB)]


def test_each_record_has_one_note(tmp_path: Path, notes: Path) -> None:
    records = [a_record(tmp_path / name) for name in ("a.jsonl", "b.jsonl", "c.jsonl")]
    for record in (*records, records[0]):
        note_exam(record, JOB)
    assert len(list(notes.iterdir())) == 3
    assert [one.record for one in noted_exams()] == [
        Path(note.read_text(encoding="utf-8").split("\n")[0]) for note in sorted(notes.iterdir())
    ]
    assert {one.record for one in noted_exams()} == set(records)


def test_an_exam_handed_in_is_forgotten_and_no_other(tmp_path: Path, notes: Path) -> None:
    first, second = a_record(tmp_path / "a.jsonl"), a_record(tmp_path / "b.jsonl")
    for record in (first, second):
        note_exam(record, JOB)
    forget_exam(first)
    assert noted_exams() == [(second, JOB)]
    forget_exam(first)  # again: nothing to forget
    assert noted_exams() == [(second, JOB)]


def test_a_note_whose_record_is_gone_is_thrown_away(tmp_path: Path, notes: Path) -> None:
    record, stays = a_record(tmp_path / "a.jsonl"), a_record(tmp_path / "b.jsonl")
    for one in (record, stays):
        note_exam(one, JOB)
    record.unlink()
    assert noted_exams() == [(stays, JOB)]
    assert len(list(notes.iterdir())) == 1


def test_without_a_folder_nothing_is_noted(tmp_path: Path, notes: Path) -> None:
    assert noted_exams() == []
    forget_exam(tmp_path / "a.jsonl")
    notes.parent.mkdir(parents=True)
    notes.write_bytes(b"a file where the folder should be")
    assert noted_exams() == []
    forget_exam(tmp_path / "a.jsonl")


def test_what_else_lies_there_is_passed_over_and_left_alone(tmp_path: Path, notes: Path) -> None:
    record = a_record(tmp_path / "a.jsonl")
    note_exam(record, JOB)
    (notes / "0 no text").write_bytes(b"\xff\xfe")
    (notes / "0 no path").write_bytes(b"a\x00b\n")
    (notes / "0 of somebody else").write_text("milk\nbread\n", encoding="utf-8")
    (notes / "0 a folder").mkdir()
    assert noted_exams() == [(record, JOB)]
    assert len(list(notes.iterdir())) == 5


def test_a_note_of_one_line_has_no_job(tmp_path: Path, notes: Path) -> None:
    record = a_record(tmp_path / "a.jsonl")
    note_exam(record, JOB)
    (note,) = notes.iterdir()
    for text in (f"{record}", f"{record}\n"):
        note.write_text(text, encoding="utf-8")
        assert noted_exams() == [(record, "")]
