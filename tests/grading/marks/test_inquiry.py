"""Inquiry: 55 marks for checks that could tell something, 35 for the proof, 10 for what is written."""

from __future__ import annotations

import pytest

from grading.marks.criteria import inquiry, written
from grading.marks.proof import Proof
from scenarios.language import Message
from tests.grading.cases import Did, case, did, entries

TELLING = did("check", "gauge", bits=0.02)
IDLE = did("check", "gauge", bits=0.019)
PROTECTED = did("check", "vent-temperature", bits=0.0)
PROVEN = Proof(True)
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
        ((IDLE, IDLE, SAID), 27.5),
        ((TELLING, IDLE, IDLE, IDLE, SAID), 27.5),
        ((TELLING, PROTECTED, PROTECTED, SAID), 55.0),  # protected ones never count against anyone
        ((IDLE, IDLE, PROTECTED, SAID), 27.5),  # nor for them
        ((TELLING, SAID, IDLE, IDLE), 55.0),  # what is looked at after the diagnosis proves the repair
        ((TELLING, SAID, note("complaint", "one two three")), 55.0 + 10.0 / 3.0),
        ((TELLING, SAID, note("complaint", "a b c"), note("cause", "a b c"), note("correction", "a b c")), 65.0),
    ],
)
def test_telling_checks_proof_and_write_up(done: tuple[Did, ...], marks: float) -> None:
    assert inquiry(case(*done))[0] == pytest.approx(marks)
    assert inquiry(case(*done, proof=PROVEN))[0] == pytest.approx(marks + 35.0)


COLD = Proof(False, (), (Message("{label}: {shown}, the limit was {limit}", label="vent", shown="20", limit="50"),))
NOT_PROVEN = "the repair was not proven: vent: 20, the limit was 50"


@pytest.mark.parametrize(
    ("done", "proof", "reasons"),
    [
        ((TELLING, SAID, *(note(kind, "a b c") for kind in ("complaint", "cause", "correction"))), PROVEN, []),
        ((TELLING, SAID), COLD, [NOT_PROVEN, "not written down: complaint, cause, correction"]),
        (
            (IDLE, IDLE, SAID),
            PROVEN,
            ["2 checks could tell nothing new", "not written down: complaint, cause, correction"],
        ),
        ((IDLE, SAID, note("cause", "a b c")), PROVEN, ["not written down: complaint, correction"]),
    ],
)
def test_it_says_what_was_missing(done: tuple[Did, ...], proof: Proof, reasons: list[str]) -> None:
    assert list(map(str, inquiry(case(*done, proof=proof))[1])) == reasons


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
