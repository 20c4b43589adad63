"""What plain text asks a person before it does it, and what it does not ask a script."""

from __future__ import annotations

import io
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from grading.sessions.openings import begin, mode_of
from grading.sessions.records import kept_records
from grading.sessions.session import Session
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue
from tui.presentation.exam_clock import ExamClock
from tui.presentation.figures import doubt, figure_of
from tui.text.conversation import converse
from tui.text.text import TextJob

JOB = "cold-tern"


def _job(catalogue: Catalogue, asks: bool = True) -> TextJob:
    job = TextJob(catalogue, begin(catalogue, catalogue.jobs[JOB], 1), asks)
    job.answer("engine start")
    return job


@pytest.mark.parametrize(
    ("text", "value"),
    [("7,5", 7.5), ("7.5", 7.5), ("-3", -3.0), ("", None), (",5", None), ("1,000.5", None), ("1e3", None), ("٣", None)],
)
def test_a_figure_has_a_comma_or_a_point(text: str, value: float | None) -> None:
    assert figure_of(text) == value


@pytest.mark.parametrize(
    ("verb", "minutes", "asked"),
    [
        ("idle", 40.0, False),
        ("idle", 40.5, True),
        ("rev", 11.0, True),
        ("drive", 60.0, False),
        ("drive", 61.0, True),
        ("wait", 420.0, False),  # for a cold engine
        ("wait", 841.0, True),
        ("exam", 121.0, True),
    ],
)
def test_more_than_twice_the_usual_is_asked_back(verb: str, minutes: float, asked: bool) -> None:
    assert (doubt(verb, minutes) is not None) is asked


def test_a_slipped_decimal_point_is_named_where_one_is_likely() -> None:
    assert "7.5" in (doubt("idle", 75.0) or "")
    assert "Did you mean" not in (doubt("idle", 240.0) or "Did you mean")


def test_a_comma_is_understood(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    assert job.answer("idle 7,5")["minutes"] == 7.5


def test_a_long_time_is_asked_back_and_done_on_enter(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    assert "7.5" in job.answer("idle 75")["question"]
    assert job.answer("back")["minutes"] == 0.0
    job.answer("idle 75")
    assert job.answer("look")["minute"] == 0.0  # another line is a command of its own
    assert not job.waits
    job.answer("idle 75")
    assert job.waits
    assert job.answer("")["minute"] == 75.0


def test_a_script_is_not_asked(catalogue: Catalogue) -> None:
    job = _job(catalogue, asks=False)
    assert job.answer("idle 75")["minute"] == 75.0
    assert "grade" in job.answer("handback")


def test_an_untouched_job_is_asked_about(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    assert job.answer("handback")["question"].startswith("Nothing was checked")
    assert not job.session.finished
    job.answer("diagnose none 50")
    job.answer("handback")
    assert job.session.finished


def test_a_job_is_put_away(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    assert "expected" in job.answer("put")["error"]
    assert "Give the job up" in job.answer("put away")["question"]
    assert job.answer("") == {"command": "", "put_away": True, "record": job.record}
    assert job.over
    assert [kept.given_up for kept in kept_records()] == [True]


def test_who_puts_a_job_away_is_not_told_to_go_on_with_it(
    lukewarm: Callable[..., tuple[int, str, str]], records: Path
) -> None:
    status, output, errors = lukewarm("text", JOB, lines=("check gauge", "put away", "look"))
    assert (status, errors) == (0, "")
    assert "The job is given up." in output
    assert "Minute" not in output.split("given up")[1]
    assert [kept.given_up for kept in kept_records()] == [True]


def test_an_exam_is_not_put_away(catalogue: Catalogue, tmp_path: Path) -> None:
    session = begin(catalogue, catalogue.jobs[JOB], 1, tmp_path / "a.jsonl", mode_of("exam", 10.0))
    assert "exam" in TextJob(catalogue, session).answer("put away")["error"]
    assert "expected" in TextJob(catalogue, Session(catalogue, catalogue.jobs[JOB], 1)).answer("put away")["error"]


def test_a_short_line_of_the_write_up_says_that_it_does_not_count(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    too_short = "1 word: a line of the write-up counts from 3 words on"
    assert job.answer("write cause low")["said"] == ["noted", too_short]
    assert job.answer("write cause coolant is low")["said"] == ["noted"]
    job.session.draft("cause", "coolant is very")
    assert job.answer("card")["drafts"] == {"cause": "coolant is very"}


def test_an_exam_warns_once_at_five_minutes_and_at_one() -> None:
    clock = ExamClock(mode_of("exam", 30.0)._replace(begun=0.0))
    assert clock.until_next(0.0) == 25.0 * 60.0
    assert clock.warning(1499.0) is None
    assert clock.warning(1500.0) == "The exam ends in 5 minutes."
    assert clock.warning(1501.0) is None
    assert clock.until_next(1500.0) == 240.0
    assert clock.warning(1741.0) == "The exam ends in 1 minute."
    assert clock.warning(1800.0) is None
    assert ExamClock(mode_of("exam", 5.0)._replace(begun=0.0)).warning(1.0) is None
    assert ExamClock(mode_of("free")).warning(1.0) is None


def test_plain_text_warns_while_it_waits_for_a_line(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    session = begin(catalogue, catalogue.jobs[JOB], 1, mode=mode_of("exam", 10.0))
    begun = session.mode.begun or 0.0
    said, warned, clock = io.StringIO(), threading.Event(), {"now": begun}
    for module in ("grading.sessions.openings", "tui.text.conversation"):
        monkeypatch.setattr(f"{module}.now", lambda: clock["now"])

    class Sink(io.StringIO):
        def write(self, text: str) -> int:
            if "The exam ends in 5 minutes." in text:
                clock["now"] = begun + 601.0
                warned.set()
            return said.write(text)

    def typed():
        clock["now"] = begun + 301.0
        yield "ignition on"
        warned.wait()
        yield "look"

    converse(TextJob(catalogue, session), typed(), Sink(), "plain")
    assert "The exam ends in 5 minutes." in said.getvalue()
    assert session.finished


def test_cautions_are_confirmed_before_the_engine_is_started_for_a_check() -> None:
    packaged = packaged_catalogue()
    job = TextJob(packaged, Session(packaged, packaged.jobs["quiet-dash"], 1), True)
    check = packaged.checks["vent-at-idle-and-revved"]
    running = {name for name in check.cautions if packaged.cautions[name].when == "engine runs"}
    assert running and "question" in job.answer(f"check {check.id}")
    asked = {caution["id"] for caution in job.answer("")["cautions"]}
    assert running <= asked
    assert job.session.workshop.control("engine") == 0.0
    job.answer("")
    assert job.session.workshop.control("engine") == 1.0
