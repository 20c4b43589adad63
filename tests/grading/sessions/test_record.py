"""Records as files: what is written, what is read back, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from grading.sessions.record import FORMAT, Entry, Recorder, as_bytes, make_whole, parse_record, read_record
from grading.sessions.session import LONGEST_TEXT, Session
from scenarios.actions import CONTROLS, Action
from scenarios.files.data_error import DataError
from scenarios.language import Listed, Message, Shown
from tests.grading.workbench import FIND, SEED, bench, play

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]


def recorded(path: Path, *actions: Action) -> list[Entry]:
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


def test_readings_are_on_the_disk_before_they_are_shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[int] = []
    monkeypatch.setattr("os.fsync", synced.append)
    session = Session(CATALOGUE, JOB, SEED, Recorder(tmp_path / "mine.jsonl"))
    counts: dict[str, list[int]] = {}
    for action in (*FIND, Action("note", ("caution", "hot-cap", "heeded")), Action("diagnose", ("coolant-low", 50.0))):
        before = len(synced)
        session.do(action)
        counts.setdefault(action.verb, []).append(len(synced) - before)
    assert {verb for verb, times in counts.items() if any(times)} == set(counts) - CONTROLS
    session.close()


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
    entry = Entry("action", {"verb": "hint", "arguments": ["question", "gauge"]})
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


def test_a_draft_is_kept_and_cut_at_what_a_record_holds(tmp_path: Path) -> None:
    session = Session(CATALOGUE, JOB, SEED, Recorder(tmp_path / "mine.jsonl"))
    session.draft("cause", "x" * (LONGEST_TEXT + 50))
    session.close()
    assert read_record(tmp_path / "mine.jsonl")[1].data["text"] == "x" * LONGEST_TEXT


def test_a_record_in_memory_is_the_same(tmp_path: Path) -> None:
    entries = recorded(tmp_path / "mine.jsonl", *FIND)
    assert play(CATALOGUE, JOB, *FIND).recorder.entries == entries
    assert parse_record(as_bytes(entries), Path("memory")) == entries
