"""A drawn vehicle's number in plain text: on the card, after the marks, in the debrief and in the list of records."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

import scenarios.files.loader
from scenarios.files.drawn_jobs import with_drawn_jobs
from scenarios.model import Catalogue
from tests.tui.presentation.learner import draw
from tui.text import plain

Run = Callable[..., tuple[int, str, str]]
TOLD = "Number 4711. Give this number to a mate for the same vehicle."


@pytest.fixture(autouse=True)
def drawn(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> str:
    """Id of a job that was drawn."""

    def load(*folders: Path) -> Catalogue:
        return with_drawn_jobs(catalogue, [folder.name for folder in folders])

    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", load)
    return draw(catalogue, "4711")


def test_it_is_told_from_the_card_to_the_records(records: Path, lukewarm: Run) -> None:
    out = lukewarm("text", "--draw", "4711", lines=("diagnose coolant-low 80", "handback"))[1]
    assert out.count(TOLD) == 2  # on the card, and after the marks
    (record,) = map(str, records.glob("*.jsonl"))
    assert TOLD in lukewarm("debrief", record)[1]
    assert "Drawn by chance, number 4711" in lukewarm("show", "records")[1]
    assert "Drawn by chance, number 4711" in lukewarm("show", "progress")[1]
    assert json.loads(lukewarm("show", "records", "--format", "json")[1])[0]["number"] == "4711"


def test_no_other_job_has_one(lukewarm: Run) -> None:
    out = lukewarm("text", "cold-tern", "--format", "json", lines=("card",))[1]
    assert json.loads(out.splitlines()[0])["number"] is None
    assert "Number" not in lukewarm("text", "cold-tern", lines=("quit",))[1]


def test_the_same_complaint_is_offered_where_another_fault_brings_it(
    catalogue: Catalogue, lukewarm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    alone = {name: replace(fault, shows=("gauge",)) for name, fault in catalogue.faults.items()}
    alone["coolant-low"] = catalogue.faults["coolant-low"]
    monkeypatch.setattr("tui.text.text.TextJob._grade", lambda self: {"passed": self.session.diagnosis is not None})
    monkeypatch.setattr(plain, "_grade", lambda answer: [str(answer["same_complaint"])])
    for known, declares, offered in (
        (replace(catalogue, faults=alone), True, "False"),
        (catalogue, True, "True"),
        (catalogue, False, "False"),
    ):
        monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders, known=known: known)
        lines = ("diagnose coolant-low 80",) if declares else ()
        assert lukewarm("text", "cold-tern", lines=(*lines, "handback"))[1].splitlines()[-1] == offered


def test_exactly_one_of_job_number_and_word_is_expected(lukewarm: Run) -> None:
    for arguments in ((), ("cold-tern", "--draw", "4711"), ("--draw", "4711", "--pick", "any")):
        status, _out, errors = lukewarm("text", *arguments)
        assert status == 2 and "--pick WHAT, one of them" in errors
    assert "invalid choice: 'whatever'" in lukewarm("text", "--pick", "whatever")[2]
