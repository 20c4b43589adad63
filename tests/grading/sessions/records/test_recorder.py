"""Entries as lines, and the recorder that appends them to a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from grading.sessions.record import RecordEntry, Recorder, as_bytes, line_of, make_whole, read_record
from grading.sessions.record_lock import RecordLock
from grading.sessions.session import Session
from scenarios.actions import CONTROLS, Action
from tests.grading.workbench import FIND, SEED, bench

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]


def recorded(path: Path, *actions: Action) -> list[RecordEntry]:
    """A session whose record goes to a file."""
    session = Session(CATALOGUE, JOB, SEED, Recorder(path))
    for action in actions:
        assert session.do(action).refused is None
    session.close()
    return session.recorder.entries


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


def test_a_line_begins_with_number_and_kind_and_keeps_what_was_typed() -> None:
    entry = RecordEntry("draft", {"what": "cause", "n": 3, "text": "Kühler undicht ☃"})
    assert line_of(entry) == '{"n": 3, "kind": "draft", "what": "cause", "text": "Kühler undicht ☃"}\n'
    assert as_bytes([entry, entry]) == 2 * line_of(entry).encode("utf-8")
    with pytest.raises(ValueError):
        line_of(RecordEntry("draft", {"n": 3, "text": float("nan")}))


def test_an_entry_says_what_was_done_and_seen() -> None:
    data = {"verb": "check", "arguments": ["gauge"], "readings": [{"step": 3}, {"step": -1}]}
    seen = {"noticed": [{"label": "air felt", "step": 2}], "message": "look"}
    entry, bare = RecordEntry("action", data | seen), RecordEntry("action", {"verb": "handback"})
    assert entry.action == Action("check", ("gauge",), "look")
    assert (entry.steps, entry.noticed) == ([3, -1], [("air felt", 2)])
    assert (bare.action, bare.steps, bare.noticed) == (Action("handback"), [], [])


def test_a_recorder_goes_on_with_a_file(tmp_path: Path) -> None:
    path = tmp_path / "not" / "yet" / "there.jsonl"
    entries = recorded(path)
    recorder = Recorder(path, new=False)
    recorder.entries = entries
    recorder.write("draft", what="cause", text="ü")
    recorder.write("end", synced=False)
    recorder.close()
    assert [(entry.kind, entry.data["n"]) for entry in read_record(path)] == [("job", 0), ("draft", 1), ("end", 2)]
    assert path.read_bytes() == as_bytes(recorder.entries)


def test_nothing_is_written_to_a_record_that_is_closed(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    recorder = Recorder(path)
    recorder.close()
    recorder.close()  # again: nothing happens
    with pytest.raises(OSError) as error:
        recorder.write("end")
    assert str(error.value) == "the record is closed"
    assert (recorder.entries, path.read_bytes()) == ([], b"")


def test_a_line_is_in_the_file_at_once_and_on_the_disk_where_it_must_be(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[int] = []
    monkeypatch.setattr("os.fsync", synced.append)
    path = tmp_path / "mine.jsonl"
    recorder = Recorder(path)
    for synced_too, known in ((True, 1), (False, 1), (True, 2)):
        recorder.write("end", synced=synced_too)
        assert path.read_bytes() == as_bytes(recorder.entries)
        assert len(synced) == known
    recorder.write("end")
    assert len(synced) == 3
    recorder.close()


def test_a_recorder_without_a_file_keeps_lines_in_memory() -> None:
    recorder = Recorder(None)
    recorder.write("draft", what="a", text="b")
    recorder.close()
    recorder.write("end")
    assert recorder.entries == [RecordEntry("draft", {"n": 0, "what": "a", "text": "b"}), RecordEntry("end", {"n": 1})]
    assert (recorder.path, recorder.lock) == (None, None)


def test_a_lock_is_let_go_where_the_file_cannot_be_made_or_closed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "mine.jsonl"
    path.mkdir()
    with pytest.raises(OSError):
        Recorder(path)
    lock = RecordLock(path)
    lock.take()
    lock.release()
    recorder = Recorder(tmp_path / "full.jsonl")

    stream = recorder._stream
    assert stream is not None

    class Full:
        def close(self) -> None:
            stream.close()
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(recorder, "_stream", Full())
    with pytest.raises(OSError, match="No space left"):
        recorder.close()
    assert recorder.lock is not None and not recorder.lock.held


def test_a_whole_file_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path, FIND[0])
    written = path.stat().st_mtime_ns, path.stat().st_ino
    make_whole(path, entries)
    assert (path.stat().st_mtime_ns, path.stat().st_ino) == written


def test_a_file_is_on_the_disk_before_it_takes_the_place_of_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "mine.jsonl"
    entries = recorded(path, FIND[0])
    path.write_bytes(as_bytes(entries)[:-5])
    beside: list[bytes] = []

    def synced(number: int) -> None:
        (file,) = (file for file in tmp_path.glob(".mine.jsonl.*") if file.suffix != ".lock")
        beside.append(file.read_bytes())

    monkeypatch.setattr("os.fsync", synced)
    make_whole(path, entries)
    assert beside == [as_bytes(entries)]
    assert path.read_bytes() == as_bytes(entries)
