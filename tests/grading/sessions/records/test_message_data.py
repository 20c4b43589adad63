"""Messages as JSON, and back without trust."""

from __future__ import annotations

import json
from typing import Any

import pytest

from grading.sessions.message_data import DEEPEST, from_data, to_data
from scenarios.language import FirstSentence, Listed, Message, Shown, Text

NEITHER, UNNAMED = "neither text, number nor message", "a template that names no value of its own"
DEEP, NUMBER = "messages nested too deep", "a number where a text was expected"
UNFORMATTED = "a template that formats a text as a number"


@pytest.mark.parametrize(
    ("text", "data"),
    [
        ("plain", "plain"),
        (Message("{n} of {all:.1f}", n=2, all=2.5), {"template": "{n} of {all:.1f}", "values": {"n": 2, "all": 2.5}}),
        (Message("nothing to fill in"), {"template": "nothing to fill in", "values": {}}),
        (Listed(["a", Shown("2 V")]), {"items": ["a", {"shown": "2 V"}], "between": ", "}),
        (Listed([], " or "), {"items": [], "between": " or "}),
        (FirstSentence("One. Two."), {"first_sentence_of": "One. Two."}),
        (
            Message("{a}", a=Message("{b}", b=Listed(["c"], " "))),
            {
                "template": "{a}",
                "values": {"a": {"template": "{b}", "values": {"b": {"items": ["c"], "between": " "}}}},
            },
        ),
    ],
)
def test_a_text_becomes_data_and_comes_back(text: Text, data: Any) -> None:
    assert to_data(text) == data
    assert from_data(json.loads(json.dumps(data))) == text


def test_numbers_among_values_keep_their_kind() -> None:
    message = from_data({"template": "{a} {b} {c}", "values": {"a": 1, "b": 1.0, "c": "1"}})
    assert isinstance(message, Message)
    assert [type(value) for value in message.values.values()] == [int, float, str]


def message(template: str, **values: Any) -> dict[str, Any]:
    return {"template": template, "values": values}


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (1, NUMBER),
        (2.5, NUMBER),
        (True, NEITHER),
        (None, NEITHER),
        ([], NEITHER),
        ({}, NEITHER),
        ({"template": "a"}, NEITHER),
        ({"template": 1, "values": {}}, NEITHER),
        ({"template": "a", "values": []}, NEITHER),
        ({"template": "a", "values": {}, "more": 1}, NEITHER),
        ({"items": ["a"]}, NEITHER),
        ({"items": "a", "between": ", "}, NEITHER),
        ({"items": ["a"], "between": 1}, NEITHER),
        ({"items": ["a"], "between": ", ", "more": 1}, NEITHER),
        ({"items": [1], "between": ", "}, NUMBER),
        ({"shown": 1}, NEITHER),
        ({"shown": "a", "more": 1}, NEITHER),
        ({"first_sentence_of": None}, NEITHER),
        ({"first_sentence_of": "a", "more": 1}, NEITHER),
        (message("{a}", a=True), NEITHER),
        (message("{a}", a=None), NEITHER),
        (message("{a}"), UNNAMED),
        (message("{b}", a=1), UNNAMED),
        (message("{}", a=1), UNNAMED),
        (message("{0}", **{"0": 1}), UNNAMED),
        (message("{{a}} {b}", a=1), UNNAMED),
        (message("{a.real}", a=1), UNNAMED),
        (message("{a[0]}", a="b"), UNNAMED),
        (message("{a!r}", a="b"), UNNAMED),
        (message("{a:>10}", a="b"), UNNAMED),
        (message("{a:.10f}", a=1.0), UNNAMED),
        (message("{a:{b}}", a=1, b=2), UNNAMED),
        (message("good {a}, bad {b}", a=1), UNNAMED),
        (message("{a:.1f}", a="b"), UNFORMATTED),
        (message("{a:g}", a={"shown": "b"}), UNFORMATTED),
        (message("text {a} and {b:.0f}", a=1, b="c"), UNFORMATTED),
    ],
)
def test_what_no_message_gives_is_refused(data: Any, reason: str) -> None:
    with pytest.raises(ValueError) as error:
        from_data(data)
    assert str(error.value) == reason


@pytest.mark.parametrize("form", ["", ":f", ":g", ":.1f", ":+.2f", ":.0%", ":+", ":%"])
def test_forms_of_the_program_s_own_templates_are_taken(form: str) -> None:
    data = message(f"{{a{form}}}", a=1.5)
    assert to_data(from_data(data)) == data


@pytest.mark.parametrize("kind", ["message", "list"])
def test_messages_may_be_nested_as_deep_as_they_may_be(kind: str) -> None:
    def nested(depth: int) -> Any:
        data: Any = "text"
        for _ in range(depth - 1):
            data = message("{a}", a=data) if kind == "message" else {"items": [data], "between": ", "}
        return data

    assert to_data(from_data(nested(DEEPEST))) == nested(DEEPEST)
    with pytest.raises(ValueError) as error:
        from_data(nested(DEEPEST + 1))
    assert str(error.value) == DEEP
