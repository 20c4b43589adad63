"""Marks rest on a replay: what is changed in a record is found, and never marked as it stands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from grading.sessions.record import RecordEntry, as_bytes
from grading.sessions.session import Outcome
from grading.sessions.verification import COMPARED, CannotReplay, replay_session, replayed
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.model import Catalogue
from tests.grading.workbench import FIND, PROVE, WRITE, bench, play
from tui.presentation.marking.graded_record import graded_record

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
SCALD = (Action("ignition", ("off",)), Action("check", ("coolant-level-cold",)))
"""With the engine hot, this opens the cap under pressure."""
DONE = (*FIND, *SCALD, Action("diagnose", ("coolant-low", 90.0)), *PROVE, *WRITE, Action("handback"))


@pytest.fixture(scope="module")
def entries() -> list[RecordEntry]:
    found = play(CATALOGUE, JOB, *DONE).recorder.entries
    assert any(entry.data.get("safety") for entry in found)
    return found


def changed(entries: list[RecordEntry], change: dict[str, Any], verb: str | None = None) -> list[RecordEntry]:
    return [
        RecordEntry(entry.kind, entry.data | change)
        if entry.kind == "action" and verb in (None, entry.data["verb"])
        else entry
        for entry in entries
    ]


def test_an_honest_record_is_sound(entries: list[RecordEntry]) -> None:
    again = replayed(CATALOGUE, entries)
    assert again.sound and again.same_version
    assert again.entries == entries


def test_a_record_without_its_safety_errors_is_not_sound(entries: list[RecordEntry]) -> None:
    again = replayed(CATALOGUE, changed(entries, {"safety": []}))
    assert again.difference is not None
    assert again.difference.line == len(FIND) + 3
    assert "safety" in str(again.difference.what)
    assert [entry.data for entry in again.entries] == [entry.data for entry in entries]


def test_a_record_with_fewer_minutes_is_not_sound(entries: list[RecordEntry]) -> None:
    shorter = [
        RecordEntry(entry.kind, entry.data | {name: entry.data[name] / 20.0 for name in ("minute", "minutes")})
        if entry.kind == "action"
        else entry
        for entry in entries
    ]
    again = replayed(CATALOGUE, shorter)
    assert again.difference is not None and "minute" in str(again.difference.what)
    with pytest.raises(DataError, match=r":2:1: the record is not sound"):
        graded_record(CATALOGUE, as_bytes(shorter), Path("mine.jsonl"))


@pytest.mark.parametrize("name", ["step", "shown", "label", "instrument"])
def test_a_record_with_another_reading_is_not_sound(entries: list[RecordEntry], name: str) -> None:
    one = next(k for k, entry in enumerate(entries) if entry.data.get("readings"))
    reading = entries[one].data["readings"][0]
    other = reading | {name: reading[name] + 1 if name == "step" else "another"}
    forged = [*entries]
    forged[one] = RecordEntry("action", entries[one].data | {"readings": [other, *entries[one].data["readings"][1:]]})
    again = replayed(CATALOGUE, forged)
    assert again.difference is not None and again.difference.line == one + 1
    assert again.entries == entries  # as the replay gives them


def test_a_record_of_another_engine_is_never_called_unsound(entries: list[RecordEntry]) -> None:
    for name in ("engine", "catalogue"):
        other = [
            RecordEntry("job", entries[0].data | {name: "f" * 32}),
            *changed(entries[1:], {"safety": [], "minutes": 0.1}),
        ]
        again = replayed(CATALOGUE, other)
        assert again.sound and not again.same_version
        # and its marks rest on the replay all the same
        assert [e.data["safety"] for e in again.entries if e.kind == "action"] == [
            e.data["safety"] for e in entries if e.kind == "action"
        ]
        assert [e.data["minutes"] for e in again.entries if e.kind == "action"] == [
            e.data["minutes"] for e in entries if e.kind == "action"
        ]


def test_an_action_that_cannot_be_done_is_told_with_its_line(entries: list[RecordEntry]) -> None:
    with pytest.raises(CannotReplay) as error:
        replayed(CATALOGUE, changed(entries, {"arguments": ["no-such-check"]}, "check"))
    assert error.value.line == 2


def test_a_fault_of_the_marking_itself_is_not_blamed_on_the_record(
    entries: list[RecordEntry], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*arguments: Any) -> None:
        raise KeyError("a mistake in the marking")

    monkeypatch.setattr("grading.marks.grade.Grader.grade", broken)
    with pytest.raises(KeyError, match="a mistake in the marking"):
        graded_record(CATALOGUE, as_bytes(entries), Path("mine.jsonl"))


def test_a_full_disk_while_marks_are_kept_is_told_in_words(
    entries: list[RecordEntry], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*arguments: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tui.presentation.marking.graded_record.save_marks", full)
    graded = graded_record(CATALOGUE, as_bytes(entries), Path("mine.jsonl"), look_ahead=False)
    assert "No space left" in graded.remarks()[0]
    assert not graded.grade.passed


def other_catalogue() -> Catalogue:
    return replace(CATALOGUE, jobs={JOB.id: replace(JOB, title="Another title")})


def test_another_catalogue_has_another_hash(entries: list[RecordEntry]) -> None:
    assert not replayed(other_catalogue(), entries).same_version


# -- what differs, and in which words -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("verb", "change", "told"),
    [
        ("drive", {"minute": 99.5}, "minute is 99.5, a replay gives 1.5"),
        ("drive", {"minutes": 99.5}, "minutes is 99.5, a replay gives 15.5"),
        ("drive", {"minute": 99.5, "minutes": 99.5}, "minute is 99.5, a replay gives 1.5"),
        ("engine", {"safety": ["x" * 76]}, f"safety is ['{'x' * 76}'], a replay gives []"),
        ("engine", {"safety": ["x" * 77]}, f"safety is ['{'x' * 75}..., a replay gives []"),
    ],
)
def test_the_first_difference_is_told(entries: list[RecordEntry], verb: str, change: dict[str, Any], told: str) -> None:
    again = replayed(CATALOGUE, changed(entries, change, verb))
    line = next(k for k, entry in enumerate(entries, 1) if entry.data.get("verb") == verb)
    assert again.difference is not None and not again.sound
    assert (again.difference.line, str(again.difference.what)) == (line, told)


@pytest.mark.parametrize("name", COMPARED[2:])  # verb and arguments are what is done again
def test_whatever_a_replay_gives_is_held_against_the_record(entries: list[RecordEntry], name: str) -> None:
    one = next(k for k, entry in enumerate(entries) if entry.data.get("readings") and entry.data["noticed"])
    other = 77.0 if name in ("minute", "minutes") else [*entries[one].data[name], {"label": "x", "step": 1}]
    forged = [*entries[:one], RecordEntry("action", entries[one].data | {name: other}), *entries[one + 1 :]]
    again = replayed(CATALOGUE, forged)
    assert again.difference is not None and again.difference.line == one + 1
    assert str(again.difference.what).startswith(f"{name} is ")


def test_what_is_no_action_keeps_its_place() -> None:
    session = play(CATALOGUE, JOB)
    session.draft("cause", "as far as")
    session.do(FIND[0])
    session.do(FIND[1])
    session.draft("cause", "further")
    session.do(Action("handback"))
    entries = session.recorder.entries
    again = replayed(CATALOGUE, entries)
    assert (again.entries, again.sound, again.same_version) == (entries, True, True)
    assert again.session.finished and again.session.recorder.path is None


def test_what_is_done_again_is_shown_line_by_line(entries: list[RecordEntry]) -> None:
    seen: list[tuple[int, RecordEntry, Outcome, RecordEntry]] = []
    draft = RecordEntry("draft", {"n": 1, "what": "cause", "text": "a"})
    later = [RecordEntry(entry.kind, entry.data | {"n": entry.data["n"] + 1}) for entry in entries[1:]]
    session = replay_session(CATALOGUE, JOB, [entries[0], draft, *later], lambda *given: seen.append(given))
    actions = [entry for entry in later if entry.kind == "action"]
    assert [line for line, *_ in seen] == list(range(3, 3 + len(actions)))
    assert [given for *_, given in seen] == [entry for _, entry, *_ in seen] == actions
    assert [len(outcome.readings) for _, _, outcome, _ in seen] == [len(entry.steps) for entry in actions]
    assert session.finished
    assert replay_session(CATALOGUE, JOB, entries).finished


@pytest.mark.parametrize(
    ("verb", "arguments", "why"),
    [
        ("check", ["no-such-check"], "there is no check 'no-such-check', expected one that 'look' lists"),
        ("drive", ["far", 50.0], "could not convert string to float: 'far'"),
        ("drive", [], "tuple index out of range"),
        ("engine", ["fly"], "engine cannot be 'fly', expected one of: start, stop"),
    ],
)
def test_why_an_action_cannot_be_done_again(
    entries: list[RecordEntry], verb: str, arguments: list[Any], why: str
) -> None:
    line = next(k for k, entry in enumerate(entries, 1) if entry.data.get("verb") == verb)
    with pytest.raises(CannotReplay) as error:
        replayed(CATALOGUE, changed(entries, {"arguments": arguments}, verb))
    assert (error.value.line, error.value.why, str(error.value)) == (line, why, why)


def test_readings_of_another_version_are_taken_as_they_were_seen(entries: list[RecordEntry]) -> None:
    other = RecordEntry("job", entries[0].data | {"engine": "f" * 32})
    one = next(k for k, entry in enumerate(entries) if entry.data.get("readings"))
    (reading,) = entries[one].data["readings"]
    for change, kept in (({"step": reading["step"] + 1}, True), ({"label": "another"}, False)):
        seen = entries[one].data | {"readings": [reading | change], "noticed": [], "minute": 50.0}
        again = replayed(CATALOGUE, [other, *entries[1:one], RecordEntry("action", seen), *entries[one + 1 :]])
        assert again.sound and not again.same_version
        given = entries[one].data
        readings = [reading | change] if kept else []
        assert again.entries[one].data == given | {"readings": readings, "noticed": []}
        assert again.entries[one + 1 :] == entries[one + 1 :]


def test_a_record_of_no_known_job_is_not_done_again(entries: list[RecordEntry]) -> None:
    with pytest.raises(KeyError):
        replayed(CATALOGUE, [RecordEntry("job", entries[0].data | {"job": "no-such-job"}), *entries[1:]])
