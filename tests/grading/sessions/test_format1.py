"""Thirty records of format 1, kept for good, are read and marked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from grading.sessions.format1 import MADE_BY
from grading.sessions.modes import Mode
from grading.sessions.openings import resume
from grading.sessions.record import as_bytes, parse_record, read_record
from grading.sessions.records import handed_back
from grading.sessions.verification import CannotReplay, replayed
from scenarios.actions import VERBS
from scenarios.files.loader import load_catalogue
from scenarios.language import Message, _
from tui.presentation.judging import judge

FOLDER = Path(__file__).with_name("format1")
RECORDS = sorted(FOLDER.glob("*.jsonl"))
CATALOGUE = load_catalogue()
MARKED = ("quiet-dash-17", "back-row-103")


def test_there_are_thirty() -> None:
    assert len(RECORDS) == 30


@pytest.mark.parametrize("path", RECORDS, ids=lambda path: path.stem)
def test_an_old_record_says_the_same_in_format_2(path: Path) -> None:
    old = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    entries = read_record(path)
    assert parse_record(as_bytes(entries), path) == entries
    first = entries[0].data
    assert (first["job"], first["seed"], first["engine"]) == (old[0]["job"], old[0]["seed"], MADE_BY)
    assert Mode.of_record(first).name == old[0]["mode"]
    actions = [line for line in old if line["kind"] == "action"]
    assert len(actions) == len(entries) - 1
    for line, entry in zip(actions, entries[1:], strict=True):
        assert entry.data["verb"] == line["verb"]
        assert entry.steps == [reading["step"] for reading in line["readings"]]
        assert entry.noticed == [(sign["label"], sign["step"]) for sign in line["noticed"]]
        assert [entry.data[name] for name in ("minute", "minutes", "safety")] == [
            line[name] for name in ("minute", "minutes", "safety")
        ]
        if line["verb"] == "hint":
            assert list(entry.action.arguments) == line["arguments"][:2]
            assert entry.action.message is not None and "Said" not in _(entry.action.message)
        else:
            assert list(entry.action.arguments) == line["arguments"]


def test_hints_of_old_records_are_messages() -> None:
    (hint, *_others) = [
        entry.action for entry in read_record(FOLDER / "back-row-103.jsonl")[1:] if entry.data["verb"] == "hint"
    ]
    assert isinstance(hint.message, Message)


def test_recorded_names_are_names_still() -> None:
    """Ids, verbs and labels keep their names whatever is renamed in code: old records name them."""
    checks, repairs, faults = CATALOGUE.checks, CATALOGUE.repairs, CATALOGUE.faults
    known = {"check": checks, "repair": repairs, "diagnose": faults, "suspect": faults}
    for path in RECORDS:
        entries = read_record(path)
        assert entries[0].data["job"] in CATALOGUE.jobs
        for entry in entries[1:]:
            assert entry.data["verb"] in VERBS
            if entry.data["verb"] in known:
                assert entry.action.text(0) in known[entry.data["verb"]]


def _judged(path: Path) -> None:
    judged = judge(CATALOGUE, path.read_bytes(), path, look_ahead=False)
    assert not judged.same_version and judged.remarks()
    assert 0.0 <= judged.grade.total <= 100.0


@pytest.mark.parametrize("name", MARKED)
def test_an_old_record_is_marked(name: str) -> None:
    _judged(FOLDER / f"{name}.jsonl")


@pytest.mark.slow
def test_every_old_record_is_marked() -> None:
    for path in RECORDS:
        if handed_back(read_record(path)):
            _judged(path)


def test_an_old_record_goes_on_in_format_2(tmp_path: Path) -> None:
    path = tmp_path / "quiet-dash-106.jsonl"
    path.write_bytes((FOLDER / path.name).read_bytes())
    before = read_record(path)
    session = resume(CATALOGUE, CATALOGUE.jobs["quiet-dash"], path, lambda text: None)
    session.close()
    assert path.read_bytes() == as_bytes(before)
    assert json.loads(path.read_text(encoding="utf-8").splitlines()[0])["format"] == 2


def test_every_old_record_can_be_done_again() -> None:
    for path in RECORDS:
        if path.stem == "hill-climb-105":  # some two hundred repairs: a slow one
            continue
        try:
            again = replayed(CATALOGUE, read_record(path))
        except CannotReplay as error:
            raise AssertionError(f"{path.name}:{error.line}: {error.why}") from error
        assert again.sound and not again.same_version
