"""Thirty records of format 1, kept for good, are read and marked."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from grading.sessions import format1
from grading.sessions.format1 import MADE_BY
from grading.sessions.message_data import DEEPEST
from grading.sessions.modes import Mode
from grading.sessions.openings import resume
from grading.sessions.record import as_bytes, parse_record, read_record
from grading.sessions.records import handed_back
from grading.sessions.verification import CannotReplay, replayed
from scenarios.actions import VERBS
from scenarios.language import Message, _
from tests.packaged import packaged_catalogue
from tui.presentation.marking.graded_record import graded_record

FOLDER = Path(__file__).with_name("format1")
RECORDS = sorted(FOLDER.glob("*.jsonl"))
CATALOGUE = packaged_catalogue()
MARKED = ("quiet-dash-17",)


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
    graded = graded_record(CATALOGUE, path.read_bytes(), path, look_ahead=False)
    assert not graded.same_version and graded.remarks()
    assert 0.0 <= graded.grade.total <= 100.0


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


FIRST = {"kind": "job", "format": 1, "job": "cold-tern", "seed": 3, "candidate": "Ada"}
MADE = {"engine": MADE_BY, "catalogue": MADE_BY, "rubric": MADE_BY, "program": MADE_BY}
BEGUN = {"n": 0, "kind": "job", "format": 2, **MADE, "job": "cold-tern", "seed": 3}
CLOCK = {"mode": "exam", "minutes": 30.0, "begun": 1.8e9}
SIGNS = {"readings": [{"label": "a", "step": 1}], "noticed": [{"label": "b", "step": 0}], "safety": []}
HINT = {"kind": "action", "verb": "hint", "minute": 1.0, "minutes": 0.0, **SIGNS}


@pytest.mark.parametrize(
    ("line", "first"),
    [
        (FIRST, True),
        (FIRST | {"format": 2}, False),
        (FIRST | {"format": True}, False),
        (FIRST | {"kind": "action"}, False),
        ({"kind": "job"}, False),
        ({"format": 1}, False),
    ],
)
def test_a_first_line_of_format_1_is_known(line: dict[str, Any], first: bool) -> None:
    assert format1.is_first(line) is first


@pytest.mark.parametrize(
    ("n", "line", "new"),
    [
        (0, FIRST, BEGUN | {"mode": "free"}),
        (0, FIRST | CLOCK, BEGUN | CLOCK),
        (4, {"kind": "grade", "total": 90.0}, None),
        (4, {"kind": "end"}, None),
        (
            2,
            {"kind": "action", "number": 2, "verb": "note", "arguments": ["cause", "low", "more"]},
            {
                "kind": "action",
                "n": 2,
                "verb": "note",
                "arguments": ["cause", "low", "more"],
                "minute": 0.0,
                "minutes": 0.0,
                "readings": [],
                "noticed": [],
                "safety": [],
            },
        ),
        (
            3,
            {"kind": "action", "number": 9, "n": 7, "verb": "check", "arguments": ["gauge"], "minute": 2.5, **SIGNS},
            {"kind": "action", "n": 3, "verb": "check", "arguments": ["gauge"], "minute": 2.5, "minutes": 0.0, **SIGNS},
        ),
        (1, HINT | {"arguments": ["question", "gauge"]}, HINT | {"n": 1, "arguments": ["question", "gauge"]}),
        (1, HINT | {"arguments": "abc"}, HINT | {"n": 1, "arguments": "abc"}),
        (1, HINT, HINT | {"n": 1}),
    ],
    ids=["first", "exam", "grade", "end", "bare note", "check", "hint without text", "no list", "no arguments"],
)
def test_a_line_of_format_1_as_format_2_has_it(n: int, line: dict[str, Any], new: dict[str, Any] | None) -> None:
    assert format1.converted(line, n) == new


@pytest.mark.parametrize("kind", ["note", None, 1])
def test_another_kind_of_line_is_refused(kind: object) -> None:
    with pytest.raises(ValueError) as error:
        format1.converted({"kind": kind}, 1)
    assert str(error.value) == "a line of kind 'job', 'action' or 'grade' was expected"


@pytest.mark.parametrize(
    ("packed", "message"),
    [
        ('["Said", "{n} checks", {"n": 2}]', {"template": "{n} checks", "values": {"n": 2}}),
        (
            '["Said", "{what}", {"what": ["Said", "{v}", {"v": ["Shown", "2 V", null]}]}]',
            {"template": "{what}", "values": {"what": {"template": "{v}", "values": {"v": {"shown": "2 V"}}}}},
        ),
        (
            '["Several", " or ", ["a", ["Shown", "2 V", {}], 3]]',
            {"items": ["a", {"shown": "2 V"}, "3"], "between": " or "},
        ),
        ("plain words", "plain words"),
        ("[1, 2]", "[1, 2]"),
        ("3", "3"),
        ('["Said", "{n}", {}]', '["Said", "{n}", {}]'),
        ('["Said", "{n}", 5]', '["Said", "{n}", 5]'),
        ("[" * 100_000, "[" * 100_000),
    ],
    ids=["message", "nested", "several", "words", "two parts", "number", "no value", "no values", "deep"],
)
def test_the_text_of_a_hint_is_unpacked_where_it_can_be(packed: str, message: Any) -> None:
    given = HINT | {"arguments": ["question", "gauge", packed]}
    assert format1.converted(given, 1) == HINT | {"n": 1, "arguments": ["question", "gauge"], "message": message}


def test_a_hint_may_be_nested_as_deep_as_it_may_be() -> None:
    def unpacked(depth: int) -> Any:
        packed: Any = "text"
        for _depth in range(depth):
            packed = ["Said", "{a}", {"a": packed}]
        line = format1.converted(HINT | {"arguments": ["question", "gauge", json.dumps(packed)]}, 1)
        assert line is not None
        return line["message"]

    assert isinstance(unpacked(DEEPEST - 1), dict)
    assert isinstance(unpacked(DEEPEST), str)
    assert isinstance(unpacked(300), str)
