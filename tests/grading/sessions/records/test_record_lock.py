"""One process at a time on a record."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
import time
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from grading.sessions import record_lock
from grading.sessions.openings import begin, give_up, resume
from grading.sessions.record import Recorder, read_record
from grading.sessions.record_lock import HeldElsewhere, Holder, RecordLock, watch_for_requests
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.wrong_use import WrongUse
from tests.grading.workbench import FIND, bench

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
ROOT = Path(__file__).parents[4]
HOLDER = """
import sys, time
from pathlib import Path
from grading.sessions.record_lock import RecordLock
lock = RecordLock(Path(sys.argv[1]))
lock.take()
print("held", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def record(tmp_path: Path) -> Path:
    """A record that was begun and left."""
    path = tmp_path / "mine.jsonl"
    begun = begin(CATALOGUE, JOB, 1, path)
    begun.do(FIND[0])
    begun.close()
    return path


def warned(text: str) -> None:
    raise AssertionError(text)


def holder(path: Path) -> subprocess.Popen[str]:
    held = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert held.stdout is not None
    if held.stdout.readline() != "held\n":
        held.kill()
        held.communicate()
        pytest.fail("the process that was to hold the record did not")
    return held


def test_the_second_to_come_is_told_who_has_it_and_a_dead_holder_leaves_no_lock(record: Path) -> None:
    held = holder(record)
    try:
        with pytest.raises(HeldElsewhere) as error:
            resume(CATALOGUE, JOB, record, warned)
        assert error.value.holder.process == str(held.pid)
        assert f"process {held.pid}, since 20" in str(error.value)
    finally:
        held.kill()
        held.communicate()
    again = resume(CATALOGUE, JOB, record, warned)
    assert again.do(Action("engine", ("start",))).refused is None
    again.close()
    assert [entry.data.get("verb") for entry in read_record(record)] == [None, "check", "engine"]


def test_the_holder_lets_go_when_it_is_asked(record: Path) -> None:
    first = resume(CATALOGUE, JOB, record, warned)
    with pytest.raises(HeldElsewhere):
        resume(CATALOGUE, JOB, record, warned)
    assert first.do(Action("engine", ("start",))).refused is None
    started = time.monotonic()
    second = resume(CATALOGUE, JOB, record, warned, take_over=True)
    assert time.monotonic() - started < record_lock.PATIENCE
    refused = first.do(Action("engine", ("stop",))).refused
    assert refused is not None and "elsewhere" in refused
    assert second.workshop.control("engine") == 1.0
    assert second.do(Action("engine", ("stop",))).refused is None
    second.close()
    assert [entry.data.get("verb") for entry in read_record(record)] == [None, "check", "engine", "engine"]


def test_a_folder_without_locks_is_refused_in_words(record: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*arguments: object, **options: object) -> None:
        raise NotImplementedError("FileSystem does not appear to support flock")

    monkeypatch.setattr("filelock.FileLock.acquire", none)
    with pytest.raises(WrongUse, match=r"cannot be locked.*local disk"):
        RecordLock(record).take()


def test_what_is_said_of_the_holder_is_not_trusted(record: Path) -> None:
    held = RecordLock(record)
    held.take()
    record.with_name(f".{record.name}.holder").write_text('{"process": "x"', encoding="utf-8")
    with pytest.raises(HeldElsewhere, match=r"process \?, since \?"):
        RecordLock(record).take()
    held.release()


def test_a_new_record_never_takes_the_place_of_another(record: Path) -> None:
    before = record.read_bytes()
    with pytest.raises(FileExistsError):
        Recorder(record)
    with pytest.raises(WrongUse, match="exists already"):
        begin(CATALOGUE, JOB, 1, record)
    assert record.read_bytes() == before


def test_a_job_given_up_is_put_away_for_good(record: Path) -> None:
    give_up(record)
    assert read_record(record)[-1].kind == "put-away"
    with pytest.raises(DataError, match="given up"):
        resume(CATALOGUE, JOB, record, warned)
    with pytest.raises(DataError, match="the job is over"):
        give_up(record)


def test_who_takes_a_record_says_who_it_is_and_since_when(record: Path) -> None:
    beside = {what: record.with_name(f".mine.jsonl.{what}") for what in ("lock", "holder", "request")}
    lock = RecordLock(record)
    assert (lock.held, lock.requested) == (False, False)
    lock.take()
    told = json.loads(beside["holder"].read_text(encoding="utf-8"))
    assert told.keys() == {"process", "since"} and told["process"] == os.getpid()
    assert timedelta() <= datetime.now() - datetime.strptime(told["since"], "%Y-%m-%d %H:%M") < timedelta(minutes=2)
    assert lock.held and beside["lock"].exists() and not beside["request"].exists()
    lock.release()
    assert not lock.held and not beside["holder"].exists()
    lock.release()  # again: nothing happens
    lock.take()
    lock.release()


SINCE = "2026-11-30 14:05"


@pytest.mark.parametrize(
    ("told", "holder", "words"),
    [
        ('{"process": 17, "since": "2026-11-30 14:05"}', Holder("17", SINCE), f"17, since {SINCE}"),
        ('{"process": 17, "since": "2026-11-30 14:05, so it"}', Holder("17", SINCE), f"17, since {SINCE}"),
        ('{"process": "x", "since": "2026-11-30 14:05"}', Holder("", ""), "?, since ?"),
        ('{"process": 17}', Holder("", ""), "?, since ?"),
        ("[17]", Holder("", ""), "?, since ?"),
        ('{"process', Holder("", ""), "?, since ?"),
        ("", Holder("", ""), "?, since ?"),
    ],
)
def test_who_comes_second_reads_who_has_it(record: Path, told: str, holder: Holder, words: str) -> None:
    held = RecordLock(record)
    held.take()
    record.with_name(".mine.jsonl.holder").write_text(told, encoding="utf-8")
    with pytest.raises(HeldElsewhere) as error:
        RecordLock(record).take()
    held.release()
    assert (error.value.path, error.value.holder) == (record, holder)
    assert str(error.value) == f"the record '{record}' is open elsewhere (process {words})"


@pytest.mark.parametrize(
    ("ask", "wait", "request_left"),
    [((), 0.0, None), ((False,), 0.0, None), ((True,), 15.0, os.getpid())],
    ids=["as usual", "not asking", "asking"],
)
def test_who_asks_leaves_a_request_while_it_waits(
    record: Path, monkeypatch: pytest.MonkeyPatch, ask: tuple[bool, ...], wait: float, request_left: int | None
) -> None:
    request, seen = record.with_name(".mine.jsonl.request"), []

    def acquire(lock: object, timeout: float, **options: Any) -> None:
        seen.append((timeout, int(request.read_text(encoding="utf-8")) if request.exists() else None))

    monkeypatch.setattr("filelock.FileLock.acquire", acquire)
    lock = RecordLock(record)
    lock.take(*ask)
    assert seen == [(wait, request_left)]
    assert not request.exists()
    lock.release()


@pytest.mark.parametrize("error", [NotImplementedError("no locks here"), OSError(37, "No locks available")])
def test_a_folder_without_locks_is_told_by_its_name(
    record: Path, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def none(*arguments: object, **options: object) -> None:
        raise error

    monkeypatch.setattr("filelock.FileLock.acquire", none)
    lock = RecordLock(record)
    with pytest.raises(WrongUse) as told:
        lock.take(ask=True)
    assert str(told.value) == (
        f"files in '{record.parent}' cannot be locked ({error}), expected a folder on a local disk"
    )
    assert not lock.held and not record.with_name(".mine.jsonl.request").exists()


def test_a_record_is_held_where_its_holder_cannot_be_written(record: Path) -> None:
    record.with_name(".mine.jsonl.holder").mkdir()
    lock = RecordLock(record)
    lock.take()
    assert lock.held
    lock.release()
    assert not lock.held


def test_requests_are_looked_for_while_the_record_is_held(record: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(record_lock, "LOOKS_EVERY", 0.01)
    known = set(threading.enumerate())
    lock, told = RecordLock(record), threading.Event()

    def watching() -> threading.Thread:
        lock.take()
        watch_for_requests(lock, told.set)
        (thread,) = set(threading.enumerate()) - known
        assert thread.daemon  # it holds up no process that ends
        return thread

    thread = watching()
    assert not told.wait(0.05)
    lock.release()
    thread.join(5.0)
    assert not thread.is_alive() and not told.is_set()
    thread = watching()
    record.with_name(".mine.jsonl.request").write_text("17", encoding="utf-8")
    assert told.wait(5.0)
    thread.join(5.0)
    assert not thread.is_alive() and lock.held
    lock.release()
