"""Marks that are prepared beside an open job are those of its record, and are there at once."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import grading.marks.comeback
import grading.marks.replay
import grading.reference.policy
from grading.marks.comeback import Comeback
from grading.marks.grade import Grader
from grading.marks.rubric import load_rubric
from grading.sessions.record import RecordEntry, Recorder, as_bytes, read_bytes
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue
from tui.presentation.marking.graded_record import GradedRecord, graded_record
from tui.presentation.marking.marks_ahead import CannotMark, MarksAhead, graded_ahead
from tui.presentation.marking.prepared_marks import PreparedMarks

JOB = "cold-chapel"
ACTIONS = (
    Action("check", ("filter-pulled",)),
    Action("diagnose", ("cabin-filter-blocked", 80.0)),
    Action("repair", ("replace-cabin-filter",)),
    Action("note", ("complaint", "No air but on the highest speed.")),
)
HANDED_BACK = Action("handback")


def played(session: Session, actions: tuple[Action, ...]) -> list[RecordEntry]:
    """Do actions one after the other; the record."""
    for action in actions:
        assert session.do(action).refused is None, action
    return session.recorder.entries


@pytest.fixture
def packaged(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Catalogue:
    """The packaged catalogue, which a process of its own knows too; its marks are kept for this test alone."""
    for name in ("XDG_DATA_HOME", "WIN_PD_OVERRIDE_LOCAL_APPDATA"):
        monkeypatch.setenv(name, str(tmp_path))
    return packaged_catalogue()


def the_same(one: GradedRecord, other: GradedRecord) -> None:
    """Everything that is shown of two marked records is the same."""
    assert one.grade.to_json() == other.grade.to_json()
    assert one.sound == other.sound
    assert one.course.at.keys() == other.course.at.keys()
    assert (one.course.states == other.course.states).all()
    for way, its in zip(one.ways, other.ways, strict=True):
        assert way.events == its.events
        assert (way.temperatures == its.temperatures).all()
    assert one.sections() == other.sections()


def test_a_record_that_was_followed_is_marked_the_same_and_nothing_long_is_left(
    packaged: Catalogue, records: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = Session(packaged, packaged.jobs[JOB], 3, rubric=load_rubric().hash)
    entries = played(session, ())
    prepared = PreparedMarks(packaged, entries[0], load_rubric())
    for action in ACTIONS:
        entries = played(session, (action,))
        prepared.follow(list(entries), lambda share: None)
    whole = as_bytes(played(session, (HANDED_BACK,)))
    at_once = graded_record(packaged, whole, Path("record")).complete()

    def long(*arguments: object, **options: object) -> None:
        raise AssertionError("this was computed before")

    monkeypatch.setattr(grading.marks.comeback, "_month", long)
    monkeypatch.setattr(grading.reference.policy, "advise", long)
    monkeypatch.setattr(grading.marks.replay, "advised", grading.reference.policy.advised)
    the_same(graded_record(packaged, whole, Path("record"), prepared=prepared).complete(), at_once)


def test_a_month_is_prepared_once_a_hand_back_is_likely(packaged: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    """After a diagnosis or a repair, not after a look."""
    session = Session(packaged, packaged.jobs[JOB], 3)
    prepared = PreparedMarks(packaged, session.recorder.entries[0], load_rubric())
    months: list[object] = []
    monkeypatch.setattr(
        grading.marks.comeback, "_month", lambda *given: months.append(given) or Comeback(None, "", False)
    )
    for action, count in ((ACTIONS[0], 0), (ACTIONS[1], 1), (ACTIONS[2], 2)):
        prepared.follow(list(played(session, (action,))), lambda share: None)
        assert len(months) == count


def test_a_month_is_simulated_again_after_more_work(packaged: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session(packaged, packaged.jobs[JOB], 3)
    grader = Grader(packaged, packaged.jobs[JOB], 3)
    months = []
    real = grading.marks.comeback._month

    def counted(*arguments: Any) -> Comeback:
        months.append(arguments)
        return real(*arguments)

    monkeypatch.setattr(grading.marks.comeback, "_month", counted)
    entries = list(played(session, (*ACTIONS[:2], HANDED_BACK)))
    grader.grade(entries)
    grader.grade(entries)
    assert len(months) == 1
    other = Session(packaged, packaged.jobs[JOB], 3)
    repaired = grader.grade(played(other, (*ACTIONS, HANDED_BACK)))
    assert len(months) == 2
    assert repaired.to_json() == Grader(packaged, packaged.jobs[JOB], 3).grade(other.recorder.entries).to_json()


@pytest.mark.slow
def test_a_process_follows_the_file_and_gives_its_marks(packaged: Catalogue, records: Path, tmp_path: Path) -> None:
    path = tmp_path / "record.jsonl"
    session = Session(packaged, packaged.jobs[JOB], 3, Recorder(path), rubric=load_rubric().hash)
    ahead = MarksAhead(path)
    played(session, (*ACTIONS, HANDED_BACK))
    session.close()
    shares: list[float] = []
    given = graded_ahead(ahead, path, shares.append)
    assert given is not None
    the_same(given, graded_record(packaged, read_bytes(path), path).complete())
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert graded_ahead(ahead, path, shares.append) is None  # it has ended
    assert graded_ahead(ahead, tmp_path / "another", shares.append) is None
    assert graded_ahead(None, path, shares.append) is None


def test_what_is_wrong_with_a_record_is_told_and_an_ended_process_is_done_without(
    packaged: Catalogue, records: Path, tmp_path: Path
) -> None:
    path = tmp_path / "record.jsonl"
    session = Session(packaged, packaged.jobs[JOB], 3, Recorder(path))
    played(session, ACTIONS[:1])
    session.close()
    with pytest.raises(CannotMark, match="not handed back"):
        graded_ahead(MarksAhead(path), path, lambda share: None)
    ahead = MarksAhead(path)
    ahead.close()
    assert graded_ahead(ahead, path, lambda share: None) is None
