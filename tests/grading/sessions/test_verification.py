"""Marks rest on a replay: what is changed in a record is found, and never marked as it stands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from grading.sessions.record import Entry, as_bytes
from grading.sessions.verification import CannotReplay, replayed
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from scenarios.model import Catalogue
from tests.grading.workbench import FIND, PROVE, WRITE, bench, play
from tui.presentation.judging import judge

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
SCALD = (Action("ignition", ("off",)), Action("check", ("coolant-level-cold",)))
"""With the engine hot, this opens the cap under pressure."""
DONE = (*FIND, *SCALD, Action("diagnose", ("coolant-low", 90.0)), *PROVE, *WRITE, Action("handback"))


@pytest.fixture(scope="module")
def entries() -> list[Entry]:
    found = play(CATALOGUE, JOB, *DONE).recorder.entries
    assert any(entry.data.get("safety") for entry in found)
    return found


def changed(entries: list[Entry], change: dict[str, Any], verb: str | None = None) -> list[Entry]:
    return [
        Entry(entry.kind, entry.data | change)
        if entry.kind == "action" and verb in (None, entry.data["verb"])
        else entry
        for entry in entries
    ]


def test_an_honest_record_is_sound(entries: list[Entry]) -> None:
    again = replayed(CATALOGUE, entries)
    assert again.sound and again.same_version
    assert again.entries == entries


def test_a_record_without_its_safety_errors_is_not_sound(entries: list[Entry]) -> None:
    again = replayed(CATALOGUE, changed(entries, {"safety": []}))
    assert again.difference is not None
    assert again.difference.line == len(FIND) + 3
    assert "safety" in str(again.difference.what)
    assert [entry.data for entry in again.entries] == [entry.data for entry in entries]


def test_a_record_with_fewer_minutes_is_not_sound(entries: list[Entry]) -> None:
    shorter = [
        Entry(entry.kind, entry.data | {name: entry.data[name] / 20.0 for name in ("minute", "minutes")})
        if entry.kind == "action"
        else entry
        for entry in entries
    ]
    again = replayed(CATALOGUE, shorter)
    assert again.difference is not None and "minute" in str(again.difference.what)
    with pytest.raises(DataError, match=r":2:1: the record is not sound"):
        judge(CATALOGUE, as_bytes(shorter), Path("mine.jsonl"))


@pytest.mark.parametrize("name", ["step", "shown", "label", "instrument"])
def test_a_record_with_another_reading_is_not_sound(entries: list[Entry], name: str) -> None:
    one = next(k for k, entry in enumerate(entries) if entry.data.get("readings"))
    reading = entries[one].data["readings"][0]
    other = reading | {name: reading[name] + 1 if name == "step" else "another"}
    forged = [*entries]
    forged[one] = Entry("action", entries[one].data | {"readings": [other, *entries[one].data["readings"][1:]]})
    again = replayed(CATALOGUE, forged)
    assert again.difference is not None and again.difference.line == one + 1


def test_a_record_of_another_engine_is_never_called_unsound(entries: list[Entry]) -> None:
    for name in ("engine", "catalogue"):
        other = [
            Entry("job", entries[0].data | {name: "f" * 32}),
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


def test_an_action_that_cannot_be_done_is_told_with_its_line(entries: list[Entry]) -> None:
    with pytest.raises(CannotReplay) as error:
        replayed(CATALOGUE, changed(entries, {"arguments": ["no-such-check"]}, "check"))
    assert error.value.line == 2


def test_a_fault_of_the_marking_itself_is_not_blamed_on_the_record(
    entries: list[Entry], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*arguments: Any) -> None:
        raise KeyError("a mistake in the marking")

    monkeypatch.setattr("tui.presentation.judging.grade_record", broken)
    with pytest.raises(KeyError, match="a mistake in the marking"):
        judge(CATALOGUE, as_bytes(entries), Path("mine.jsonl"))


def test_a_full_disk_while_marks_are_kept_is_told_in_words(
    entries: list[Entry], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*arguments: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tui.presentation.judging.save_marks", full)
    judged = judge(CATALOGUE, as_bytes(entries), Path("mine.jsonl"), look_ahead=False)
    assert "No space left" in judged.remarks()[0]
    assert not judged.grade.passed


def other_catalogue() -> Catalogue:
    return replace(CATALOGUE, jobs={JOB.id: replace(JOB, title="Another title")})


def test_another_catalogue_has_another_hash(entries: list[Entry]) -> None:
    assert not replayed(other_catalogue(), entries).same_version
