"""One line of a record: what is refused, in which words, and the bounds of what is taken."""

from __future__ import annotations

import json
from typing import Any

import pytest

from grading.sessions.line_format import LONGEST_LINE, LONGEST_TEXT, checked, parse
from scenarios.actions import VERBS

FIRST: dict[str, Any] = {
    "n": 0,
    "kind": "job",
    "format": 2,
    "program": "0.1",
    "engine": "e",
    "catalogue": "c",
    "rubric": "",
    "job": "cold-tern",
    "seed": 1,
    "mode": "free",
}
READING: dict[str, Any] = {"label": "a", "instrument": "b", "step": -3, "shown": "c", "minute": 1.5}
SENSED: dict[str, Any] = {"label": "a", "step": 3, "shown": "c"}
ACTION: dict[str, Any] = {
    "n": 1,
    "kind": "action",
    "verb": "check",
    "arguments": ["gauge", 1, 2.5],
    "minute": 0.5,
    "minutes": 1.0,
    "readings": [READING],
    "noticed": [SENSED],
    "safety": [{"what": "burnt", "critical": True}],
}
HINT = ACTION | {"verb": "hint", "message": {"template": "{n} checks", "values": {"n": 2}}}
DRAFT: dict[str, Any] = {"n": 1, "kind": "draft", "what": "cause", "text": "as far as"}


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ('{"n": 1, "n": 1}', "a key stands twice"),
        ('{"a": {"b": 1, "b": 2}}', "a key stands twice"),
        ('{"n": NaN}', "the number NaN is not finite"),
        ('{"n": [-Infinity]}', "the number -Infinity is not finite"),
        ('{"n": 100000000000000000000}', "a number is too long"),
        ("[1]", "this is not an object"),
        ('"end"', "this is not an object"),
        ("null", "this is not an object"),
        ("[" * 100_000, "the line is nested too deep"),
    ],
    ids=lambda value: value[:30],
)
def test_json_that_no_line_has_is_refused(line: str, reason: str) -> None:
    with pytest.raises(ValueError) as error:
        parse(line)
    assert str(error.value) == reason


def test_a_number_may_have_twenty_digits() -> None:
    assert parse('{"n": 99999999999999999999}') == {"n": 10**20 - 1}


def test_a_line_may_be_as_long_as_it_may_be() -> None:
    frame = len('{"text": ""}')
    text = "x" * (LONGEST_LINE - frame)
    assert parse(f'{{"text": "{text}"}}') == {"text": text}
    with pytest.raises(ValueError) as error:
        parse(f'{{"text": "{text}x"}}')
    assert str(error.value) == "the line has 200001 characters"


def test_texts_that_no_file_can_hold_are_refused() -> None:
    assert parse('{"text": "\\u00fc\\u2603\\ud83d\\ude00"}') == {"text": "ü☃😀"}
    with pytest.raises(UnicodeEncodeError):
        parse('{"text": "\\ud800"}')
    with pytest.raises(UnicodeEncodeError):
        parse('{"\\udfff": 1}')


@pytest.mark.parametrize(
    ("line", "n"),
    [
        (FIRST, 0),
        (FIRST | {"candidate": "Zoë"}, 0),
        (FIRST | {"mode": "exam", "minutes": 30.0, "begun": 1.8e9}, 0),
        (ACTION, 1),
        (HINT, 1),
        (DRAFT, 1),
        ({"n": 1, "kind": "put-away"}, 1),
        ({"n": 1, "kind": "end"}, 1),
        *((ACTION | {"verb": verb, "arguments": []}, 1) for verb in VERBS),
    ],
    ids=lambda value: value.get("verb", value["kind"]) if isinstance(value, dict) else None,
)
def test_a_line_comes_through_as_it_is(line: dict[str, Any], n: int) -> None:
    assert checked(json.loads(json.dumps(line)), n) == line


def test_what_is_not_said_is_left_out() -> None:
    silent = {key: value for key, value in READING.items() if key != "minute"}
    found = checked(ACTION | {"prev": None, "message": None, "readings": [silent]}, 1)
    assert found == ACTION | {"readings": [silent | {"minute": None}]}


MISSING = "is missing, or not what belongs there"


@pytest.mark.parametrize(
    ("line", "n", "reason"),
    [
        ({"n": 1}, 1, f"'kind' {MISSING}"),
        ({"n": 1, "kind": "grade"}, 1, f"'kind' {MISSING}"),
        ({"kind": "end"}, 1, f"'n' {MISSING}"),
        ({"n": "1", "kind": "end"}, 1, f"'n' {MISSING}"),
        ({"n": 1, "kind": "end", "grade": 100}, 1, f"'grade' {MISSING}"),
        ({"n": 2, "kind": "end"}, 1, "its number is 2, and 1 was expected"),
        (FIRST | {"format": 3}, 0, f"'format' {MISSING}"),
        (FIRST | {"format": True}, 0, f"'format' {MISSING}"),
        (
            ACTION | {"readings": [READING | {"step": 1.5}]},
            1,
            f"'readings[0].step' {MISSING}",
        ),
        (ACTION | {"readings": [READING | {"colour": "red"}]}, 1, f"'readings[0].colour' {MISSING}"),
        (ACTION | {"noticed": [SENSED | {"minute": 1.0}]}, 1, f"'noticed[0].minute' {MISSING}"),
        (ACTION | {"safety": [{"what": "x", "critical": True, "n": 1}]}, 1, f"'safety[0].n' {MISSING}"),
        (ACTION | {"safety": [{"what": "x"}]}, 1, f"'safety[0].critical' {MISSING}"),
        (ACTION | {"message": {"template": "{x}", "values": {}}}, 1, "a template that names no value of its own"),
        (FIRST | {"mode": "relaxed"}, 0, "mode 'relaxed', expected one of guided, free, exam"),
        (FIRST | {"mode": "exam"}, 0, "an exam of 1 to 600 minutes was expected"),
    ],
)
def test_a_line_that_lukewarm_does_not_write_is_refused(line: dict[str, Any], n: int, reason: str) -> None:
    with pytest.raises(ValueError) as error:
        checked(line, n)
    assert str(error.value) == reason


@pytest.mark.parametrize(
    ("line", "field", "most"),
    [
        (DRAFT, "text", "x" * LONGEST_TEXT),
        (DRAFT, "what", "x" * 300),
        (DRAFT, "prev", "x" * 128),
        (ACTION, "arguments", ["x"] * 8),
        (ACTION, "arguments", ["x" * LONGEST_TEXT]),
        (ACTION, "readings", [READING] * 500),
        (ACTION, "noticed", [SENSED] * 100),
        (ACTION, "safety", [{"what": "x", "critical": False}] * 50),
        (FIRST, "candidate", "x" * 200),
    ],
)
def test_texts_and_lists_may_be_as_long_as_they_may_be(line: dict[str, Any], field: str, most: Any) -> None:
    n = line["n"]
    assert checked(line | {field: most}, n)["kind"] == line["kind"]
    longer = most + most[:1] if isinstance(most, str) or len(most) > 1 else [most[0] + "x"]
    with pytest.raises(ValueError, match=f"'{field}"):
        checked(line | {field: longer}, n)


@pytest.mark.parametrize(
    ("field", "least", "most"),
    [("minute", 0.0, 1e7), ("minutes", 0.0, 1e7), ("t_ms", 0, 10**15)],
)
def test_numbers_may_be_as_large_as_they_may_be(field: str, least: float, most: float) -> None:
    for value in (least, most):
        checked(ACTION | {field: value}, 1)
    for value in (least - 1, most + 1):
        with pytest.raises(ValueError, match=f"'{field}'"):
            checked(ACTION | {field: value}, 1)
