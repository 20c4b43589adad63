"""Messages as JSON data, validated when read."""

from __future__ import annotations

import re
from string import Formatter
from typing import Any

from scenarios.language import FirstSentence, Listed, Message, Shown, Text, Value

DEEPEST = 12
"""Deepest nesting of messages."""
_FORM = re.compile(r"[+]?(\.\d)?[fg%]?")


def to_data(value: Value) -> Any:
    """A text or value as JSON data: texts and numbers unchanged, others as an object."""
    match value:
        case Message():
            return {"template": value.template, "values": {k: to_data(v) for k, v in value.values.items()}}
        case Listed():
            return {"items": [to_data(item) for item in value.items], "between": value.between}
        case Shown():
            return {"shown": value.reading}
        case FirstSentence():
            return {"first_sentence_of": value.text}
        case _:
            return value


def from_data(data: Any) -> Text:
    """The inverse of ``to_data``. Raises ValueError for invalid data.

    >>> from_data(to_data(Message("{n} checks", n=2))).spoken()
    '2 checks'
    """
    return _text(data, DEEPEST)


def _text(data: Any, deep: int) -> Text:
    value = _value(data, deep)
    if isinstance(value, int | float):
        raise ValueError("a number where a text was expected")
    return value


def _value(data: Any, deep: int) -> Value:
    if deep == 0:
        raise ValueError("messages nested too deep")
    match data:
        case bool() | None:
            raise ValueError("neither text, number nor message")
        case str() | int() | float():
            return data
        case {"template": str(template), "values": dict(values), **rest} if not rest:
            _check_template(template, values)
            return Message(template, **{str(k): _value(v, deep - 1) for k, v in values.items()})
        case {"items": list(items), "between": str(between), **rest} if not rest:
            return Listed([_text(item, deep - 1) for item in items], between)
        case {"shown": str(reading), **rest} if not rest:
            return Shown(reading)
        case {"first_sentence_of": str(text), **rest} if not rest:
            return FirstSentence(text)
        case _:
            raise ValueError("neither text, number nor message")


def _check_template(template: str, values: dict[str, Any]) -> None:
    """Raise ValueError unless a template uses only its own values, in the formats of the program's templates."""
    for _literal, name, form, conversion in Formatter().parse(template):
        if name is None:
            continue
        known = name.isidentifier() and name in values
        if not known or not _FORM.fullmatch(form or "") or conversion is not None:
            raise ValueError("a template that names no value of its own")
        if form and not isinstance(values[name], int | float):
            raise ValueError("a template that formats a text as a number")
