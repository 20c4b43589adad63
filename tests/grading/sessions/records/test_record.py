"""Records as files: what is written, what is read back, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from grading.sessions import record
from grading.sessions.record import (
    FORMAT,
    RecordEntry,
    Recorder,
    as_bytes,
    make_whole,
    parse_record,
    read_record,
)
from grading.sessions.session import LONGEST_TEXT, Session
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.language import Listed, Message, Shown
from tests.grading.workbench import FIND, SEED, bench, play

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]


def recorded(path: Path, *actions: Action) -> list[RecordEntry]:
    """A session whose record goes to a file."""
    session = Session(CATALOGUE, JOB, SEED, Recorder(path))
    for action in actions:
        assert session.do(action).refused is None
    session.close()
    return session.recorder.entries


def lines(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def rewritten(path: Path, number: int, **changes: Any) -> None:
    """Change fields of one line (from 0)."""
    all_lines = lines(path)
    all_lines[number] |= changes
    path.write_text("".join(json.dumps(line, ensure_ascii=False) + "\n" for line in all_lines), encoding="utf-8")


def refused(path: Path) -> DataError:
    with pytest.raises(DataError) as error:
        read_record(path)
    return error.value


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path, *FIND, Action("handback"))
    assert read_record(path) == entries
    assert as_bytes(entries) == path.read_bytes()
    assert [line["n"] for line in lines(path)] == list(range(len(entries)))
    assert [entry.kind for entry in entries] == ["job", *["action"] * (len(FIND) + 1), "end"]


def test_the_first_line_says_what_the_record_was_made_with(tmp_path: Path) -> None:
    session = Session(CATALOGUE, JOB, SEED, Recorder(tmp_path / "mine.jsonl"), candidate="Ada Finch", rubric="abc")
    session.close()
    (first,) = lines(tmp_path / "mine.jsonl")
    assert (first["format"], first["job"], first["seed"], first["mode"]) == (FORMAT, "cold-tern", SEED, "free")
    assert (first["candidate"], first["rubric"]) == ("Ada Finch", "abc")
    assert len(first["engine"]) == len(first["catalogue"]) == 32


@pytest.mark.parametrize("cut", [1, 2, 40])
def test_a_record_cut_off_loses_nothing_that_can_be_read(tmp_path: Path, cut: int) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path, *FIND)
    whole = path.read_bytes()
    path.write_bytes(whole[:-cut])
    kept = read_record(path)
    assert kept == (entries if cut == 1 else entries[:-1])  # 1: only the newline was missing
    make_whole(path, kept)
    assert path.read_bytes() == as_bytes(kept)
    assert [file.name for file in tmp_path.iterdir() if file.name.startswith(".mine.jsonl.")] == [".mine.jsonl.lock"]


def test_a_first_line_without_its_newline_is_a_record(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path)
    path.write_bytes(path.read_bytes().rstrip(b"\n"))
    assert read_record(path) == entries


def test_half_a_first_line_is_none_and_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path)
    half = path.read_bytes()[:30]
    path.write_bytes(half)
    assert "not a job's record" in str(refused(path))
    assert path.read_bytes() == half


def test_a_line_separator_in_a_text_does_not_end_the_line(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    text = "one\u2028two\x85three"
    recorded(path, Action("note", ("text", text)))
    assert read_record(path)[1].action.arguments == ("text", text)


def test_a_hint_keeps_its_message(tmp_path: Path) -> None:
    message = Message("{a}: {b}", a=Listed(["engine off", Shown("12.5 V")]), b=3)
    entry = RecordEntry("action", {"verb": "hint", "arguments": ["question", "gauge"]})
    path = tmp_path / "mine.jsonl"
    recorded(path, Action("check", ("coolant-level-cold",)))
    from grading.sessions.message_data import to_data

    rewritten(path, 1, verb=entry.data["verb"], arguments=entry.data["arguments"], message=to_data(message))
    assert read_record(path)[1].action.message == message


BAD: dict[str, tuple[int, dict[str, Any], str]] = {
    "another format": (0, {"format": 3}, ":1:1: "),
    "a boolean for a format": (0, {"format": True}, ":1:1: "),
    "a boolean for a step": (
        1,
        {"readings": [{"label": "a", "instrument": "b", "step": True, "shown": "c"}]},
        ":2:1: ",
    ),
    "a text for a step": (1, {"readings": [{"label": "a", "instrument": "b", "step": "1", "shown": "c"}]}, ":2:1: "),
    "a huge step": (1, {"readings": [{"label": "a", "instrument": "b", "step": 10**9, "shown": "c"}]}, ":2:1: "),
    "a number too long": (1, {"minute": 10**30}, ":2:1: "),
    "minutes before the start": (1, {"minutes": -1.0}, ":2:1: "),
    "a line out of order": (1, {"n": 2}, ":2:1: "),
    "an unknown verb": (1, {"verb": "teleport"}, ":2:1: "),
    "an unknown field": (1, {"grade": 100}, ":2:1: "),
    "a list as an argument": (1, {"arguments": [["a"]]}, ":2:1: "),
    "too many arguments": (1, {"arguments": ["a"] * 9}, ":2:1: "),
    "a text too long": (1, {"arguments": ["a" * (LONGEST_TEXT + 1)]}, ":2:1: "),
    "a message that names a value it has not": (1, {"message": {"template": "{x}", "values": {}}}, ":2:1: "),
    "a message that formats a text": (1, {"message": {"template": "{x:.1f}", "values": {"x": "a"}}}, ":2:1: "),
    "a message that looks into a value": (1, {"message": {"template": "{x.real}", "values": {"x": 1}}}, ":2:1: "),
    "a safety error without its gravity": (1, {"safety": [{"what": "x"}]}, ":2:1: "),
    "an unknown mode": (0, {"mode": "relaxed"}, ":1:1: "),
    "an exam without a clock": (0, {"mode": "exam"}, ":1:1: "),
    "a second first line": (1, {"kind": "job"}, ":2:1: "),
}


@pytest.mark.parametrize("name", BAD)
def test_what_lukewarm_does_not_write_is_refused_with_its_place(tmp_path: Path, name: str) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path, FIND[0])
    number, changes, place = BAD[name]
    rewritten(path, number, **changes)
    assert place in str(refused(path))


@pytest.mark.parametrize(
    "line",
    [
        '{"n": 1, "n": 1, "kind": "end"}',
        '{"n": NaN, "kind": "end"}',
        '{"n": 1, "kind": "draft", "what": "a", "text": "\\ud800"}',
        "[" * 100_000,
        "{" * 300,
        "null",
        '"end"',
        "\ufeff{}",
    ],
)
def test_json_that_is_no_line_is_refused(tmp_path: Path, line: str) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path)
    with path.open("a", encoding="utf-8", newline="\n") as file:
        file.write(line + "\n")
    assert ":2:" in str(refused(path))


def test_bytes_that_are_no_utf_8_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path)
    path.write_bytes(path.read_bytes() + b'{"n": 1, "kind": "end\xff"}\n')
    assert ":2:22: " in str(refused(path))


def test_reserved_fields_are_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path, FIND[0])
    rewritten(path, 1, prev="0" * 64, t_ms=123)
    assert read_record(path)[1].action == FIND[0]


def test_a_record_in_memory_is_the_same(tmp_path: Path) -> None:
    entries = recorded(tmp_path / "mine.jsonl", *FIND)
    assert play(CATALOGUE, JOB, *FIND).recorder.entries == entries
    assert parse_record(as_bytes(entries), Path("memory")) == entries


# -- words of refusal -----------------------------------------------------------------------------------------------


def end(n: int) -> str:
    return f'{{"n": {n}, "kind": "end"}}'


WRITTEN = "expected a line as lukewarm writes it"


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("milk", "2:1: this line is no JSON, expected one JSON object a line"),
        ('{"n": 1, kind}', "2:10: this line is no JSON, expected one JSON object a line"),
        (end(2), f"2:1: this entry is wrong (its number is 2, and 1 was expected), {WRITTEN}"),
        ("[1]", f"2:1: this entry is wrong (this is not an object), {WRITTEN}"),
        (
            '{"n": 1, "kind": "grade"}',
            f"2:1: this entry is wrong ('kind' is missing, or not what belongs there), {WRITTEN}",
        ),
    ],
)
def test_a_wrong_line_is_told_with_its_place(tmp_path: Path, line: str, told: str) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path)
    path.write_bytes(path.read_bytes() + line.encode() + b"\n")
    assert str(refused(path)) == f"{path}:{told}"


@pytest.mark.parametrize("number", [0, 1])
def test_a_first_line_stands_first_and_nowhere_else(tmp_path: Path, number: int) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path)
    first, *_rest = lines(path)
    texts = [json.dumps(first), json.dumps(first | {"n": 1})] if number else [end(0)]
    path.write_text("".join(text + "\n" for text in texts), encoding="utf-8")
    reason = "a line of kind 'job' stands first and nowhere else"
    assert str(refused(path)) == f"{path}:{number + 1}:1: this entry is wrong ({reason}), {WRITTEN}"


def test_a_byte_that_is_no_utf_8_is_told_with_its_column(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    recorded(path)
    path.write_bytes(path.read_bytes() + b'{"n": 1, "kind": "end\xff"}\n')
    assert str(refused(path)) == f"{path}:2:22: the file is not UTF-8, expected a record by lukewarm"


@pytest.mark.parametrize("whole", [b"", b"\n", b"\n\n  \n", b'{"n": 0, "kind'])
def test_an_empty_file_is_no_record(tmp_path: Path, whole: bytes) -> None:
    path = tmp_path / "mine.jsonl"
    path.write_bytes(whole)
    assert str(refused(path)) == f"{path}:1:1: this is not a job's record, expected a first line of kind 'job'"


def test_empty_lines_are_passed_over_and_count_as_lines(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path)
    path.write_bytes(path.read_bytes() + b"\n \n" + end(1).encode() + b"\n")
    assert [entry.kind for entry in read_record(path)] == ["job", "end"]
    path.write_bytes(as_bytes(entries) + b"\n \n" + end(7).encode() + b"\n")
    assert str(refused(path)).startswith(f"{path}:4:1: ")


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    told = "the file cannot be read (No such file or directory), expected a record's path"
    assert str(refused(path)) == f"{path}:1:1: {told}"


def test_a_file_may_be_as_large_as_it_may_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path)
    size = path.stat().st_size
    monkeypatch.setattr(record, "MOST_BYTES", size)
    assert read_record(path) == entries
    monkeypatch.setattr(record, "MOST_BYTES", size - 1)
    assert str(refused(path)) == f"{path}:1:1: the file is too large, expected a record written by lukewarm"


def test_a_record_may_have_as_many_lines_as_it_may_have(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path, *FIND[:2])
    monkeypatch.setattr(record, "MOST_LINES", 4)  # three, and what follows the last newline
    assert read_record(path) == entries
    monkeypatch.setattr(record, "MOST_LINES", 3)
    assert str(refused(path)) == f"{path}:3:1: the record has too many lines, expected a record by lukewarm"
