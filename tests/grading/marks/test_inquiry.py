"""Inquiry: 55 marks for checks that could tell something, 35 for the proof, 10 for what is written."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.criteria import inquiry, written
from grading.marks.proof import UNPROVEN, Proof
from scenarios.language import Message
from tests.grading.cases import PROVEN, Did, case, did, entries, marking
from tests.packaged import packaged_catalogue

TELLING = did("check", "gauge", bits=0.02)
IDLE = did("check", "road-gauge", bits=0.019)
IDLE_TOO = did("check", "heater-feed-infrared", bits=0.019)
PROTECTED = did("check", "vent-temperature", bits=0.0)
SAID = did("diagnose", "coolant-low", 90.0)


def note(kind: str, text: str) -> Did:
    return did("note", kind, text)


@pytest.mark.parametrize(
    ("done", "marks"),
    [
        ((SAID,), 0.0),  # nothing was looked at
        ((PROTECTED, SAID), 55.0),
        ((TELLING, SAID), 55.0),
        ((IDLE, SAID), 55.0),  # one may tell nothing: it confirms
        ((IDLE, IDLE_TOO, SAID), 27.5),
        ((IDLE, IDLE, SAID), 55.0),  # each may be taken once more
        ((IDLE, IDLE, IDLE, SAID), 55.0 * 2.0 / 3.0),
        ((TELLING, IDLE, IDLE_TOO, IDLE, SAID), 55.0 * 3.0 / 4.0),
        ((TELLING, PROTECTED, PROTECTED, SAID), 55.0),  # protected ones never count against anyone
        ((IDLE, IDLE_TOO, PROTECTED, SAID), 27.5),  # nor for them
        ((TELLING, SAID, IDLE, IDLE_TOO), 55.0),  # what is looked at after the diagnosis proves the repair
        ((TELLING, SAID, note("complaint", "one two three")), 55.0 + 10.0 / 3.0),
        ((TELLING, SAID, note("complaint", "a b c"), note("cause", "a b c"), note("correction", "a b c")), 65.0),
    ],
)
def test_telling_checks_and_write_up(done: tuple[Did, ...], marks: float) -> None:
    assert inquiry(case(*done, proof=UNPROVEN))[0] == pytest.approx(marks)
    assert inquiry(case(*done, proof=PROVEN))[0] == pytest.approx(marks + 35.0)


def test_where_the_fault_is_to_be_found_alone_there_is_nothing_to_prove() -> None:
    one = case(TELLING, SAID, proof=UNPROVEN)
    one = replace(one, job=replace(one.job, diagnosis_only=True))
    assert inquiry(one)[0] == pytest.approx(90.0)


COLD = Proof(False, (), (Message("{label}: {shown}, the limit was {limit}", label="vent", shown="20", limit="50"),))
NOT_PROVEN = "the repair was not proven: vent: 20, the limit was 50"
UNWRITTEN = "not written down: complaint, cause, correction"


@pytest.mark.parametrize(
    ("done", "proven", "reasons"),
    [
        ((TELLING, SAID, *(note(kind, "a b c") for kind in ("complaint", "cause", "correction"))), True, []),
        ((TELLING, SAID), False, [NOT_PROVEN, UNWRITTEN]),
        ((IDLE, IDLE_TOO, SAID), True, ["2 checks could tell nothing new", UNWRITTEN]),
        ((IDLE, SAID, note("cause", "a b c")), True, ["not written down: complaint, correction"]),
    ],
)
def test_it_says_what_was_missing(done: tuple[Did, ...], proven: bool, reasons: list[str]) -> None:
    assert list(map(str, inquiry(case(*done, proof=PROVEN if proven else COLD))[1])) == reasons


READ, CLEAR = did("check", "trouble-codes"), did("check", "clear-codes")


@pytest.mark.parametrize(
    ("done", "lost"),
    [
        ((READ, SAID), 0.0),
        ((READ, CLEAR, SAID), 0.0),
        ((CLEAR, READ, SAID), 20.0),
        ((TELLING, CLEAR, SAID), 20.0),
        ((TELLING, CLEAR, CLEAR, SAID), 20.0),
    ],
)
def test_trouble_codes_are_read_before_they_are_cleared(done: tuple[Did, ...], lost: float) -> None:
    known = packaged_catalogue()
    checks = {name: known.checks[name] for name in ("trouble-codes", "clear-codes")}
    catalogue = replace(marking(), checks=marking().checks | checks)
    got, reasons = inquiry(case(*done, catalogue=catalogue))
    assert got == pytest.approx(90.0 - lost)
    assert ("trouble codes were cleared before they were read" in map(str, reasons)) == bool(lost)


@pytest.mark.parametrize(
    ("notes", "kept"),
    [
        ((note("cause", "hose leaks badly"),), {"cause": "hose leaks badly"}),
        ((note("cause", "hose leaks"),), {}),  # two words say nothing
        ((note("thoughts", "one two three"),), {}),
        ((did("note", "cause", "one two three", "four"),), {}),
        ((did("note", "one two three"),), {}),
        ((note("cause", "one two three"), note("cause", "four five six")), {"cause": "four five six"}),
        ((note("cause", "one two three"), note("cause", "four five")), {"cause": "one two three"}),
        ((did("check", "cause", "one two three"),), {}),
    ],
)
def test_a_note_counts_from_three_words(notes: tuple[Did, ...], kept: dict[str, str]) -> None:
    assert written(entries(*notes)) == kept
