"""One process at a time on a record."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from grading.sessions import record_lock
from grading.sessions.openings import begin, give_up, resume
from grading.sessions.record import Recorder, read_record
from grading.sessions.record_lock import HeldElsewhere, RecordLock
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.wrong_use import WrongUse
from tests.grading.workbench import FIND, bench

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
ROOT = Path(__file__).parents[3]
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
