"""Conversion of records from format 1 to format 2."""

from __future__ import annotations

import json
from typing import Any

from grading.sessions.message_data import from_data, to_data
from scenarios.language import Listed, Message, Shown, Text, Value, _

MADE_BY = "format 1"
"""Placeholder for hashes that format 1 does not have; no engine or catalogue has this hash."""


def is_first(data: dict[str, Any]) -> bool:
    """Whether a first line is of format 1."""
    return data.get("kind") == "job" and data.get("format") == 1 and not isinstance(data["format"], bool)


def converted(data: dict[str, Any], n: int) -> dict[str, Any] | None:
    """Line n in format 2; None for marks, which format 1 stored in the record. Raises ValueError."""
    match data.get("kind"):
        case "job":
            rest = {key: data[key] for key in ("job", "seed", "mode", "minutes", "begun") if key in data}
            made = {"engine": MADE_BY, "catalogue": MADE_BY, "rubric": MADE_BY, "program": MADE_BY}
            return {"n": n, "kind": "job", "format": 2, **made, "mode": "free", **rest}
        case "action":
            return _action(data, n)
        case "grade" | "end":
            return None
        case _:
            raise ValueError(_("a line of kind 'job', 'action' or 'grade' was expected"))


def _action(data: dict[str, Any], n: int) -> dict[str, Any]:
    lists = {name: data.get(name, []) for name in ("readings", "noticed", "safety")}
    given = {key: value for key, value in data.items() if key not in ("number", *lists)}
    arguments = data.get("arguments")
    if data.get("verb") == "hint" and isinstance(arguments, list) and len(arguments) == 3:
        given["arguments"] = arguments[:2]
        given["message"] = _message(str(arguments[2]))
    return {"minute": 0.0, "minutes": 0.0, **given, "n": n, **lists}


def _message(packed: str) -> Any:
    """A hint's text, which format 1 stored as a JSON string of message and values."""
    try:
        message = _unpacked(json.loads(packed))
        from_data(to_data(message))  # refuses messages nested too deeply, too
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return packed
    return to_data(message)


def _unpacked(parts: Any) -> Text:
    kind, template, values = parts
    if kind == "Shown":
        return Shown(str(template))
    if kind == "Several":
        return Listed([_unpacked(item) if isinstance(item, list) else str(item) for item in values], template)

    def value(given: Any) -> Value:
        return _unpacked(given) if isinstance(given, list) else given

    return Message(template, **{str(name): value(given) for name, given in values.items()})
