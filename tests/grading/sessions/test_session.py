"""A session: one action at a time, each on record, and closed where the record is not written."""

from __future__ import annotations

import errno
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from grading.sessions.message_data import to_data
from grading.sessions.modes import FREE, GUIDED, Mode
from grading.sessions.openings import hand_in
from grading.sessions.record import RecordEntry, Recorder, read_record
from grading.sessions.session import LONGEST_TEXT, Session
from scenarios.actions import Action
from scenarios.language import Message
from tests.grading.workbench import FIND, SEED, bench, play

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
DRIVE = Action("drive", (5.0, 50.0))


def session(path: Path | None = None, mode: Mode | None = None) -> Session:
    """A job with its engine running."""
    begun = Session(CATALOGUE, JOB, SEED, Recorder(path), mode)
    assert begun.do(Action("engine", ("start",))).refused is None
    return begun


class SlowWorkshop:
    """Stops inside an action until it is let go."""

    def __init__(self, begun: Session, monkeypatch: pytest.MonkeyPatch) -> None:
        self.inside, self.go = threading.Event(), threading.Event()
        perform = begun.workshop.perform

        def slowly(action: Action) -> Any:
            self.inside.set()
            assert self.go.wait(30.0)
            return perform(action)

        monkeypatch.setattr(begun.workshop, "perform", slowly)
        self.outcomes: list[Any] = []
        self.thread = threading.Thread(target=lambda: self.outcomes.append(begun.do(DRIVE)))
        self.thread.start()
        assert self.inside.wait(30.0)

    def finish(self) -> Any:
        self.go.set()
        self.thread.join()
        return self.outcomes[0]


def test_a_second_action_is_refused_while_one_is_going_on(monkeypatch: pytest.MonkeyPatch) -> None:
    begun = session()
    slow = SlowWorkshop(begun, monkeypatch)
    second = begun.do(DRIVE)
    assert second.refused == "one thing at a time: the last action is still going on"
    assert slow.finish().refused is None
    assert [entry.data["verb"] for entry in begun.recorder.entries[1:]] == ["engine", "drive"]
    assert begun.do(Action("engine", ("stop",))).refused is None


def test_an_exam_is_handed_in_after_the_action_that_is_going_on(monkeypatch: pytest.MonkeyPatch) -> None:
    begun = session(mode=Mode("exam", 30.0, 0.0))
    slow = SlowWorkshop(begun, monkeypatch)
    bell = threading.Thread(target=hand_in, args=(begun,))
    bell.start()
    slow.finish()
    bell.join()
    assert [entry.data.get("verb") for entry in begun.recorder.entries[1:]] == ["engine", "drive", "handback", None]
    assert begun.finished


def test_a_record_that_cannot_be_written_ends_the_session(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun = session(tmp_path / "mine.jsonl")

    def full(*arguments: Any, **data: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(begun.recorder, "write", full)
        outcome = begun.do(FIND[-1])
    assert outcome.refused == (
        "the record could not be written ([Errno 28] No space left on device): the job ends here"
    )
    assert (outcome.action, outcome.readings) == (FIND[-1], [])
    again = begun.do(Action("handback"))
    assert again.refused == begun.closed_because != ""
    assert not begun.finished
    begun.close()
    assert [entry.data.get("verb") for entry in read_record(tmp_path / "mine.jsonl")] == [None, "engine"]


def test_a_handback_that_is_not_recorded_is_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun = session(tmp_path / "mine.jsonl")

    def full(*arguments: Any, **data: Any) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(begun.recorder, "write", full)
    assert begun.do(Action("handback")).refused is not None
    assert not begun.finished
    begun.close()


def test_limits_hold_when_a_text_is_written() -> None:
    begun = session()
    most = begun.do(Action("note", ("text", "x" * LONGEST_TEXT)))
    over = begun.do(Action("note", ("text", "x" * (LONGEST_TEXT + 1))))
    many = begun.do(Action("note", tuple("abcdefghi")))
    assert (most.refused, over.refused is None, many.refused is None) == (None, False, False)
    assert len(begun.recorder.entries) == 3


def test_nothing_is_done_once_another_program_goes_on_with_the_record(tmp_path: Path) -> None:
    begun = session(tmp_path / "mine.jsonl")
    begun.let_go()
    assert begun.do(DRIVE).refused == "the job goes on elsewhere: nothing more is recorded here"
    assert begun.recorder.lock is not None and not begun.recorder.lock.held
    begun.draft("cause", "typed later")
    assert len(read_record(tmp_path / "mine.jsonl")) == 2


def test_a_job_that_ended_before_keeps_its_reason_when_it_is_let_go() -> None:
    begun = session()
    begun.closed_because = "the disk is full"
    begun.let_go()
    assert begun.do(DRIVE).refused == "the disk is full"
    begun.draft("cause", "typed later")
    assert len(begun.recorder.entries) == 2


def test_a_draft_is_recorded_as_it_is_typed() -> None:
    begun = session()
    begun.draft("cause", "as far as")
    begun.draft("cause", "x" * (LONGEST_TEXT + 1))
    assert [(entry.kind, entry.data) for entry in begun.recorder.entries[2:]] == [
        ("draft", {"n": 2, "what": "cause", "text": "as far as"}),
        ("draft", {"n": 3, "what": "cause", "text": "x" * LONGEST_TEXT}),
    ]


def test_an_unknown_verb_is_refused() -> None:
    refused = session().do(Action("teleport")).refused
    assert refused is not None and "help" in refused


def opened(mode: Mode | None = None) -> Session:
    """A job of which nothing was done yet."""
    return Session(CATALOGUE, JOB, SEED, mode=mode)


# -- marks ----------------------------------------------------------------------------------------------------------

NO_FAULT = "there is no fault 'gremlins' on this vehicle, expected one that 'look' lists"
NO_HINT = "this is not a hint, expected one of question, pointer, explanation, what it is about, and its text"


@pytest.mark.parametrize(
    ("action", "said"),
    [
        (Action("suspect", ("coolant-low", "likely")), "noted: coolant low: likely"),
        (Action("suspect", ("thermostat-stuck-open", "out")), "noted: thermostat stuck open: out"),
        (Action("diagnose", ("coolant-low", 90.0)), "diagnosis: coolant: failed, 90 % sure"),
        (Action("diagnose", ("hose-leaks", 0.0)), "diagnosis: heater hose: failed, 0 % sure"),
        (Action("diagnose", ("none", 100.0)), "diagnosis: nothing: failed, 100 % sure"),
        (Action("diagnose", ("none", 20.0, "also")), "diagnosis: nothing: failed, 20 % sure"),
        (Action("note", ("cause", "low")), "noted"),
        (Action("hint", ("pointer", "gauge"), Message("look at the {what}", what="gauge")), "look at the gauge"),
        (Action("hint", ("question", "gauge"), "What does it show?"), "What does it show?"),
    ],
)
def test_a_mark_is_told_and_recorded(action: Action, said: str) -> None:
    session = opened(Mode(GUIDED))
    outcome = session.do(action)
    assert (outcome.refused, outcome.said, outcome.minutes, outcome.readings) == (None, [said], 0.0, [])
    message = {} if action.message is None else {"message": to_data(action.message)}
    held = {"verb": action.verb, "arguments": list(action.arguments), "minute": 0.0, "minutes": 0.0, **message}
    empty = {"readings": [], "noticed": [], "safety": []}
    assert session.recorder.entries[1:] == [RecordEntry("action", {"n": 1, **held, **empty})]
    assert session.recorder.entries[1].action == action


def test_the_last_word_on_a_suspect_and_the_last_diagnosis_hold() -> None:
    session = play(
        CATALOGUE,
        JOB,
        Action("suspect", ("coolant-low", "maybe")),
        Action("suspect", ("hose-leaks", "unlikely")),
        Action("suspect", ("coolant-low", "out")),
        Action("diagnose", ("hose-leaks", 25.0)),
        Action("diagnose", ("coolant-low", 75.0)),
    )
    assert session.suspects == {"coolant-low": "out", "hose-leaks": "unlikely"}
    assert session.diagnosis == ("coolant-low", 0.75)


LOW, LEAKS = Action("diagnose", ("coolant-low", 75.0)), Action("diagnose", ("hose-leaks", 25.0))
LOW_TOO, LEAKS_TOO = Action("diagnose", ("coolant-low", 60.0, "also")), Action("diagnose", ("hose-leaks", 40.0, "also"))


@pytest.mark.parametrize(
    ("said", "held"),
    [
        ((LOW, LEAKS), [("hose-leaks", 0.25)]),
        ((LOW, LEAKS_TOO), [("coolant-low", 0.75), ("hose-leaks", 0.4)]),
        ((LOW, LEAKS_TOO, LOW_TOO), [("hose-leaks", 0.4), ("coolant-low", 0.6)]),
        ((LOW, LEAKS_TOO, LOW), [("coolant-low", 0.75)]),
        ((LEAKS_TOO,), [("hose-leaks", 0.4)]),
    ],
)
def test_a_diagnosis_stands_in_place_of_the_others_or_beside_them(
    said: tuple[Action, ...], held: list[tuple[str, float]]
) -> None:
    session = play(CATALOGUE, JOB, *said)
    assert list(session.diagnoses.items()) == held
    assert session.diagnosis == held[-1]


@pytest.mark.parametrize(
    ("mode", "action", "reason"),
    [
        (FREE, Action("suspect", ("gremlins", "out")), NO_FAULT),
        (
            FREE,
            Action("suspect", ("coolant-low", "certain")),
            "a suspect cannot be 'certain', expected one of: likely, maybe, unlikely, out",
        ),
        (FREE, Action("diagnose", ("gremlins", 50.0)), NO_FAULT),
        (FREE, Action("diagnose", ("coolant-low", -0.5)), "confidence cannot be -0.5, expected 0 to 100"),
        (FREE, Action("diagnose", ("coolant-low", 100.5)), "confidence cannot be 100.5, expected 0 to 100"),
        (FREE, Action("diagnose", ("none", 9.0, "too")), "expected 'also' or nothing after the confidence"),
        (
            FREE,
            Action("hint", ("question", "gauge"), "?"),
            "there are no hints in mode free, expected a job begun in mode guided",
        ),
        (GUIDED, Action("hint", ("question", "gauge")), NO_HINT),
        (GUIDED, Action("hint", ("question",), "?"), NO_HINT),
        (GUIDED, Action("hint", ("question", "gauge", "more"), "?"), NO_HINT),
        (GUIDED, Action("hint", ("answer", "gauge"), "?"), NO_HINT),
        (FREE, Action("engine", ("fly",)), "engine cannot be 'fly', expected one of: start, stop"),
        (FREE, Action("teleport"), "there is no action 'teleport', expected one that 'help' lists"),
        (FREE, Action("note", tuple("abcdefghi")), "there are too many words, expected what 'help' lists"),
        (
            FREE,
            Action("note", ("text", "x" * 2_001)),
            "the text has 2001 characters, expected at most 2000",
        ),
    ],
)
def test_what_is_refused_is_told_and_leaves_nothing(mode: str, action: Action, reason: str) -> None:
    session = opened(Mode(mode))
    outcome = session.do(action)
    assert (outcome.action, outcome.refused, outcome.failure, outcome.said) == (action, reason, None, [])
    assert len(session.recorder.entries) == 1
    assert (session.suspects, session.diagnosis, session.minute) == ({}, None, 0.0)


def test_eight_words_may_be_noted() -> None:
    session = opened()
    assert session.do(Action("note", tuple("abcdefgh"))).refused is None


def test_a_fault_of_another_vehicle_cannot_be_named() -> None:
    fault = replace(CATALOGUE.faults["coolant-low"], requires=frozenset({"turbo"}))
    session = Session(replace(CATALOGUE, faults=CATALOGUE.faults | {"whistles": fault}), JOB, SEED)
    assert session.do(Action("diagnose", ("whistles", 50.0))).refused == NO_FAULT.replace("gremlins", "whistles")


def test_after_the_handback_nothing_more_is_done() -> None:
    session = opened()
    outcome = session.do(Action("handback"))
    assert (outcome.refused, outcome.said, session.finished) == (None, [], True)
    assert [(entry.kind, entry.data["n"]) for entry in session.recorder.entries] == [
        ("job", 0),
        ("action", 1),
        ("end", 2),
    ]
    for action in (Action("handback"), FIND[1], Action("note", ("a",))):
        assert session.do(action).refused == "the keys are handed back: this job is over"
    session.draft("cause", "too late")
    assert len(session.recorder.entries) == 3
