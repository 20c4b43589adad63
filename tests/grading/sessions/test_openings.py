"""Beginning, resuming and giving up a job: what is written, what is refused, and in which words."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from grading.sessions import openings
from grading.sessions.exam_seals import noted_exams
from grading.sessions.modes import EXAM, FREE, GUIDED, Mode
from grading.sessions.openings import LONGEST_NAME, begin, give_up, hand_in, mode_of, resume, time_is_up
from grading.sessions.record import Recorder, as_bytes, read_record
from grading.sessions.record_lock import RecordLock
from grading.sessions.records import kept_records, records_folder
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.model import Job
from scenarios.wrong_use import WrongUse
from tests.grading.workbench import FIND, bench

OTHER = "warm-tern"
JOB = bench().jobs["cold-tern"]
CATALOGUE = replace(bench(), jobs={JOB.id: JOB, OTHER: replace(JOB, id=OTHER)})
START, STOP, HANDBACK = Action("engine", ("start",)), Action("engine", ("stop",)), Action("handback")


def left(path: Path | None, *actions: Action, job: Job = JOB, mode: Mode | None = None) -> Path:
    """The record of a job that was begun and left after these actions."""
    session = begin(CATALOGUE, job, 1, path, mode)
    for action in actions:
        assert session.do(action).refused is None
    session.close()
    assert session.recorder.path is not None
    return session.recorder.path


def exam_mode() -> Mode:
    return Mode(EXAM, 30.0, 1_800_000_000.0)


def no_warning(text: str) -> None:
    raise AssertionError(text)


def unlocked(path: Path) -> bool:
    """Whether nobody holds the record."""
    lock = RecordLock(path)
    lock.take()
    lock.release()
    return True


def full_disk(*arguments: Any, **data: Any) -> None:
    raise OSError(28, "No space left on device")


# -- modes and the clock --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "mode"),
    [
        ((EXAM,), Mode(EXAM, 30.0, 1000.3)),
        ((EXAM, 5.0), Mode(EXAM, 5.0, 1000.3)),
        ((GUIDED, 5.0), Mode(GUIDED, None, None)),
        ((FREE,), Mode(FREE, None, None)),
    ],
)
def test_an_exam_begins_now_and_other_modes_have_no_clock(
    monkeypatch: pytest.MonkeyPatch, asked: tuple[Any, ...], mode: Mode
) -> None:
    monkeypatch.setattr(openings, "now", lambda: 1000.26)
    assert mode_of(*asked) == mode


@pytest.mark.parametrize(
    ("passed", "finished", "closed_because", "up"),
    [
        (1799.9, False, "", False),
        (1800.0, False, "", True),
        (1801.0, False, "", True),
        (1801.0, True, "", False),
        (1801.0, False, "the disk is full", False),
        (1801.0, True, "the disk is full", False),
    ],
)
def test_time_is_up_in_an_exam_that_is_still_open(
    monkeypatch: pytest.MonkeyPatch, passed: float, finished: bool, closed_because: str, up: bool
) -> None:
    session = Session(CATALOGUE, JOB, 1, mode=exam_mode())
    session.finished, session.closed_because = finished, closed_because
    monkeypatch.setattr(openings, "now", lambda: 1_800_000_000.0 + passed)
    assert time_is_up(session) is up


def test_an_exam_handed_in_by_the_clock_says_so() -> None:
    session = Session(CATALOGUE, JOB, 1, mode=exam_mode())
    hand_in(session)
    assert session.finished
    assert [(entry.data["verb"], entry.data["arguments"]) for entry in session.recorder.entries[1:-1]] == [
        ("handback", ["time"])
    ]


# -- begin ----------------------------------------------------------------------------------------------------------


def test_a_new_record_says_who_works_on_what_and_how(tmp_path: Path) -> None:
    path = tmp_path / "new" / "folder" / "Übung.jsonl"
    session = begin(CATALOGUE, JOB, 7, path, Mode(GUIDED), candidate="Zoë", rubric="a rubric")
    session.close()
    (first,) = read_record(path)
    assert {key: first.data[key] for key in ("job", "seed", "mode", "candidate", "rubric")} == {
        "job": "cold-tern",
        "seed": 7,
        "mode": "guided",
        "candidate": "Zoë",
        "rubric": "a rubric",
    }


def test_a_new_record_is_free_and_anonymous_and_in_the_records_folder_unless_said_otherwise() -> None:
    path = left(None)
    (first,) = read_record(path)
    assert path.parent == records_folder()
    assert (first.data["mode"], first.data["rubric"], "candidate" in first.data) == ("free", "", False)


def test_a_name_as_long_as_it_may_be_is_kept_and_a_longer_one_refused() -> None:
    begin(CATALOGUE, JOB, 1, candidate="x" * LONGEST_NAME).close()
    with pytest.raises(WrongUse) as error:
        begin(CATALOGUE, JOB, 1, candidate="x" * (LONGEST_NAME + 1))
    assert str(error.value) == "the candidate's name has 201 characters, expected at most 200"
    assert len(kept_records()) == 1


def test_a_file_that_exists_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    path.write_bytes(b"mine\n")
    with pytest.raises(WrongUse) as error:
        begin(CATALOGUE, JOB, 1, path)
    assert str(error.value) == f"'{path}' exists already, expected a new file, or --resume to go on with it"
    assert path.read_bytes() == b"mine\n"
    assert unlocked(path)


def test_a_name_that_another_process_takes_meanwhile_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken, free = tmp_path / "taken.jsonl", tmp_path / "free.jsonl"
    taken.write_bytes(b"another's\n")
    paths = iter([taken, taken, free])
    monkeypatch.setattr(openings, "new_record_path", lambda job: next(paths))
    assert left(None) == free
    assert taken.read_bytes() == b"another's\n"


def test_a_full_disk_is_told_and_the_record_let_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "mine.jsonl"
    monkeypatch.setattr(Recorder, "write", full_disk)
    with pytest.raises(WrongUse) as error:
        begin(CATALOGUE, JOB, 1, path)
    assert str(error.value) == (
        "the record cannot be written ([Errno 28] No space left on device), expected a folder that can be written to"
    )
    assert unlocked(path)


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "mkdir", full_disk)
    with pytest.raises(WrongUse, match=r"^the record cannot be written \(\[Errno 28\] .*\), expected a folder"):
        begin(CATALOGUE, JOB, 1, tmp_path / "folder" / "mine.jsonl")


@pytest.mark.parametrize(
    ("mode", "folder", "noted"),
    [(exam_mode(), "desk", True), (exam_mode(), "records", False), (Mode(FREE), "desk", False), (None, "desk", False)],
    ids=["exam elsewhere", "exam in the records folder", "free elsewhere", "no mode"],
)
def test_only_an_exam_elsewhere_is_noted(
    data_folder: Path, monkeypatch: pytest.MonkeyPatch, mode: Mode | None, folder: str, noted: bool
) -> None:
    (data_folder / folder).mkdir(parents=True)
    monkeypatch.chdir(data_folder / folder)
    left(Path("mine.jsonl"), mode=mode)
    assert noted_exams() == ([(data_folder / folder / "mine.jsonl", JOB.id)] if noted else [])


def test_a_job_whose_exam_is_open_is_not_begun_and_another_is() -> None:
    left(None, mode=exam_mode())
    with pytest.raises(WrongUse) as error:
        begin(CATALOGUE, JOB, 1)
    assert str(error.value) == (
        "an exam of job 'cold-tern' is not handed in, expected to go on with it first (--resume)"
    )
    begin(CATALOGUE, CATALOGUE.jobs[OTHER], 1).close()


def test_the_reason_is_that_of_the_job_and_not_of_another_one() -> None:
    left(None, mode=exam_mode())
    spoilt = left(None, mode=exam_mode(), job=CATALOGUE.jobs[OTHER])
    spoilt.write_bytes(spoilt.read_bytes() + b"not json\n")
    with pytest.raises(WrongUse, match=r"^an exam of job 'cold-tern' is not handed in"):
        begin(CATALOGUE, JOB, 1)
    with pytest.raises(WrongUse) as error:
        begin(CATALOGUE, CATALOGUE.jobs[OTHER], 1)
    assert str(error.value) == (
        "a record of job 'warm-tern' may be an exam that is not handed in, and cannot be read: "
        f"{spoilt}:2:1: this line is no JSON, expected one JSON object a line"
    )


# -- resume ---------------------------------------------------------------------------------------------------------


def test_a_job_goes_on_where_it_was_left(tmp_path: Path) -> None:
    path = left(tmp_path / "mine.jsonl", *FIND[:2], mode=Mode(GUIDED))
    before = read_record(path)
    session = resume(CATALOGUE, JOB, path, no_warning)
    assert session.recorder.entries == before
    assert (session.mode, session.seed, session.minute) == (Mode(GUIDED), 1, 1.5)
    assert session.workshop.control("engine") == 1.0
    assert session.do(STOP).refused is None
    session.close()
    after = read_record(path)
    assert after[:-1] == before
    assert (after[-1].data["n"], after[-1].data["verb"]) == (3, "engine")
    assert path.read_bytes() == as_bytes(after)


def test_without_a_path_the_newest_open_record_of_the_job_goes_on() -> None:
    older, newer = left(None, START), left(None, START, STOP)
    left(None, HANDBACK)
    left(None, job=CATALOGUE.jobs[OTHER])
    for age, path in enumerate((older, newer)):
        os.utime(path, (1000.0 + age, 1000.0 + age))
    session = resume(CATALOGUE, JOB, None, no_warning)
    session.close()
    assert session.recorder.path == newer
    assert [entry.data.get("verb") for entry in session.recorder.entries] == [None, "engine", "engine"]


def test_without_an_open_record_there_is_nothing_to_resume() -> None:
    left(None, HANDBACK)
    left(None, job=CATALOGUE.jobs[OTHER])
    with pytest.raises(WrongUse) as error:
        resume(CATALOGUE, JOB, None, no_warning)
    assert str(error.value) == (
        f"no unfinished record of job 'cold-tern' in {records_folder()}, expected one to resume"
    )


def test_a_record_of_another_job_is_not_resumed(tmp_path: Path) -> None:
    path = left(tmp_path / "mine.jsonl", START)
    with pytest.raises(DataError) as error:
        resume(CATALOGUE, CATALOGUE.jobs[OTHER], path, no_warning)
    assert str(error.value) == f"{path}:1:1: this is a record of job 'cold-tern', expected one of 'warm-tern'"
    assert unlocked(path)


def test_a_record_that_is_over_is_not_resumed(tmp_path: Path) -> None:
    done, gone = left(tmp_path / "done.jsonl", START, HANDBACK), left(tmp_path / "gone.jsonl", START)
    give_up(gone)
    for path, line, why in ((done, 4, "the keys were handed back"), (gone, 3, "the job was given up")):
        with pytest.raises(DataError) as error:
            resume(CATALOGUE, JOB, path, no_warning)
        assert str(error.value) == f"{path}:{line}:1: {why}, expected a record of an unfinished job"
        assert unlocked(path)


def test_a_file_that_is_no_record_is_refused_before_anything_is_made_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    path.write_text("milk\n", encoding="utf-8")
    with pytest.raises(DataError):
        resume(CATALOGUE, JOB, path, no_warning)
    assert [file.name for file in tmp_path.glob("*mine*")] == ["mine.jsonl"]


def altered(path: Path, number: int, change: dict[str, Any], reading: bool = False) -> None:
    """Change one line of a record (from 0), or its first reading."""
    lines = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    target = lines[number]["readings"][0] if reading else lines[number]
    target |= change
    path.write_text("".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines), encoding="utf-8")


@pytest.mark.parametrize("number", [1, 2, None])
def test_readings_that_come_out_otherwise_are_warned_of(tmp_path: Path, number: int | None) -> None:
    path = left(tmp_path / "mine.jsonl", FIND[0], FIND[-1])
    if number is not None:
        altered(path, number, {"step": 77}, reading=True)
    warned: list[str] = []
    resume(CATALOGUE, JOB, path, warned.append).close()
    told = "lukewarm: this record was made by another version of the vehicles; its readings may not fit together"
    assert warned == ([] if number is None else [told])


def test_an_action_that_cannot_be_done_again_is_told_with_its_line(tmp_path: Path) -> None:
    path = left(tmp_path / "mine.jsonl", START, Action("check", ("gauge",)))
    altered(path, 1, {"arguments": ["stop"]})
    altered(path, 2, {"verb": "repair", "arguments": ["no-such-repair"]})
    before = path.read_bytes()
    with pytest.raises(DataError) as error:
        resume(CATALOGUE, JOB, path, no_warning)
    told = str(error.value)
    assert told.startswith(f"{path}:3:1: this cannot be done again: ") and "no-such-repair" in told
    assert told.endswith(", expected what could be done")
    assert path.read_bytes() == before
    assert unlocked(path)


def test_a_record_cut_off_is_made_whole_when_it_is_resumed(tmp_path: Path) -> None:
    path = left(tmp_path / "mine.jsonl", START, STOP)
    kept = read_record(path)[:2]
    path.write_bytes(path.read_bytes()[:-20])
    session = resume(CATALOGUE, JOB, path, no_warning)
    session.close()
    assert session.recorder.entries == kept
    assert path.read_bytes() == as_bytes(kept)


def test_a_record_that_cannot_be_made_whole_is_not_resumed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = left(tmp_path / "mine.jsonl", START)
    monkeypatch.setattr(openings, "make_whole", full_disk)
    with pytest.raises(WrongUse) as error:
        resume(CATALOGUE, JOB, path, no_warning)
    assert str(error.value) == (
        "the record cannot be written ([Errno 28] No space left on device), expected a folder that can be written to"
    )
    assert unlocked(path)


# -- give up --------------------------------------------------------------------------------------------------------


def test_a_job_given_up_ends_with_a_line_that_says_so(tmp_path: Path) -> None:
    path = left(tmp_path / "mine.jsonl", START, STOP)
    before = read_record(path)[:2]
    path.write_bytes(path.read_bytes()[:-20])
    give_up(path)
    after = read_record(path)
    assert after[:-1] == before
    assert (after[-1].kind, after[-1].data) == ("put-away", {"n": 2})
    assert path.read_bytes() == as_bytes(after)
    assert unlocked(path)


def test_what_is_over_or_an_exam_is_not_given_up(tmp_path: Path) -> None:
    done, gone = left(tmp_path / "done.jsonl", HANDBACK), left(tmp_path / "gone.jsonl", START)
    exam = left(tmp_path / "exam.jsonl", START, mode=exam_mode())
    give_up(gone)
    over = "the job is over, expected a record of an unfinished job"
    held = "this is an exam, expected it handed in as it stands (--resume)"
    for path, line, why in ((done, 3, over), (gone, 3, over), (exam, 1, held)):
        before = path.read_bytes()
        with pytest.raises(DataError) as error:
            give_up(path)
        assert str(error.value) == f"{path}:{line}:1: {why}"
        assert path.read_bytes() == before


@pytest.mark.parametrize("part", ["make_whole", "Recorder.write"])
def test_a_job_that_cannot_be_given_up_is_let_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, part: str) -> None:
    path = left(tmp_path / "mine.jsonl", START)
    monkeypatch.setattr(f"grading.sessions.openings.{part}", full_disk)
    with pytest.raises(WrongUse) as error:
        give_up(path)
    assert str(error.value) == "the record cannot be written ([Errno 28] No space left on device)"
    assert unlocked(path)
