"""JSON Schema 2020-12 of data files, for editors: made by running the reading functions on an entry that records which
keys they read.

Rules that concern several entries (unknown names, faults that a vehicle cannot have) are left to the loader. Here the
length of a text includes surrounding blanks, and a whole number may be written ``2.0``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from typing import Any, TypeVar

from scenarios import model
from scenarios.files.cross_references import names_of, names_of_physics
from scenarios.files.data_node import REQUIRED
from scenarios.files.entry import Bounds, Entry, LoadContext
from scenarios.files.loader import READERS
from scenarios.model import Catalogue
from sim.vehicle.parameters import PARAMETERS

DIALECT = "https://json-schema.org/draft/2020-12/schema"
Schema = dict[str, Any]
T = TypeVar("T")

_IDENTIFIER = r"^[a-z][a-z0-9-]*$"
_ONE_LINE = r"^\s*\S[^\n\r]*\s*$"
_NAME_IN_CODE = re.compile(r"[A-Z]{4}|``")
_ABOUT = {
    "vehicles": model.Vehicle,
    "faults": model.Fault,
    "checks": model.Check,
    "repairs": model.Repair,
    "cautions": model.Caution,
    "jobs": model.Job,
    "faults.changes": model.Change,
    "checks.readings": model.ReadingSpec,
    "jobs.faults": model.Planted,
}
"""Place in a file to the class read there, whose docstring describes each key."""


def schema_of(kind: str, catalogue: Catalogue) -> Schema:
    """The schema of a file in a folder (`faults`): an entry, or a list of them.

    catalogue: whose ids are offered where an entry refers to others.
    """
    return {"$schema": DIALECT, "title": kind, **_entry_or_list(kind, _names(catalogue))}


def whole_schema(catalogue: Catalogue) -> Schema:
    """The schema of a file in any of the folders; that of each folder is in its ``$defs``."""
    names = _names(catalogue)
    return {
        "$schema": DIALECT,
        "anyOf": [{"$ref": f"#/$defs/{kind}"} for kind in READERS],
        "$defs": {kind: _entry_or_list(kind, names) for kind in READERS},
    }


def _entry_or_list(kind: str, names: Mapping[str, Collection[str]]) -> Schema:
    shape = _Shape(kind, names)
    READERS[kind](shape)
    entry = shape.schema()
    return {"if": {"type": "array"}, "then": {"type": "array", "items": entry, "minItems": 1}, "else": entry}


def _names(catalogue: Catalogue) -> dict[str, Collection[str]]:
    kinds = {kind: getattr(catalogue, kind) for kind in READERS}
    return names_of(kinds) | names_of_physics()


def _meanings(about: type) -> dict[str, str]:
    """Descriptions of the keys from the class docstring, written as `key, key: meaning;`."""
    text = " ".join((about.__doc__ or "").split())
    found = {}
    for part in re.split(r"[;.] ", text):
        keys, colon, meaning = part.partition(": ")
        if (
            colon
            and all(key in about.__annotations__ for key in keys.split(", "))
            and not _NAME_IN_CODE.search(meaning)
        ):
            found |= dict.fromkeys(keys.split(", "), meaning.rstrip("."))
    return found


class _Shape(Entry):
    """An empty entry that records which keys a reading function reads, and returns empty values.

    names: known names by kind of reference.
    """

    def __init__(self, where: str, names: Mapping[str, Collection[str]]) -> None:
        self.context = LoadContext()
        self._where, self._names = where, names
        self._keys: dict[str, Schema] = {}
        self._required: list[str] = []
        self._optional: set[str] = set()
        self._inner: dict[str, _Shape] = {}
        self._rules: list[Schema] = []

    def schema(self) -> Schema:
        """Schema of the mapping that was read."""
        for key, inner in self._inner.items():
            self._keys[key]["items"] = inner.schema()
        meanings = _meanings(_ABOUT[self._where])
        keys = {
            key: {"description": meanings[key]} | one if key in meanings else one for key, one in self._keys.items()
        }
        schema: Schema = {"type": "object", "properties": keys, "required": self._required}
        if self._rules:
            schema["allOf"] = self._rules
        return schema | {"additionalProperties": False}

    def _note(self, key: str, schema: Schema, required: bool) -> None:
        self._keys[key] = schema
        if required and key not in self._optional and key not in self._required:
            self._required.append(key)

    def __contains__(self, key: str) -> bool:
        self._optional.add(key)
        return True

    def read(self, take: Callable[[], T], instead: T) -> T:
        """Return the empty value."""
        return instead

    def text(self, key: str, *, longest: int = 400, default: str = REQUIRED) -> str:
        """One line of text."""
        self._note(key, {"type": "string", "maxLength": longest, "pattern": _ONE_LINE}, default is REQUIRED)
        return ""

    def prose(self, key: str, *, longest: int = 2000, default: str = REQUIRED) -> str:
        """Text of one or more lines."""
        self._note(key, {"type": "string", "maxLength": longest, "pattern": r"\S"}, default is REQUIRED)
        return ""

    def identifier(self, key: str) -> str:
        """A name such as `heater-core`."""
        self._note(key, _identifier(), True)
        return ""

    def number(self, key: str, *, low: float, high: float = float("inf"), default: float = REQUIRED) -> float:
        """A number within bounds."""
        self._note(key, _number(low, high), default is REQUIRED)
        return low

    def integer(self, key: str, *, low: int, high: int) -> int:
        """A whole number within bounds."""
        self._note(key, {"type": "integer", "minimum": low, "maximum": high}, True)
        return low

    def boolean(self, key: str, *, default: bool = REQUIRED) -> bool:
        """True or false."""
        self._note(key, {"type": "boolean"}, default is REQUIRED)
        return False

    def choice(self, key: str, options: Collection[str], *, default: str = REQUIRED) -> str:
        """One of the texts given."""
        self._note(key, {"enum": list(options)}, default is REQUIRED)
        return next(iter(options))

    def choices(self, key: str, options: Collection[str], *, least: int = 0) -> tuple[str, ...]:
        """A list of some of the texts given."""
        self._note(key, _list_of({"enum": list(options)}, least), least > 0)
        return ()

    def words(self, key: str) -> tuple[str, ...]:
        """A list of identifiers."""
        offered = (
            {"anyOf": [{"enum": sorted(self._names[key])}, _identifier()]} if key in self._names else _identifier()
        )
        self._note(key, _list_of(offered), False)
        return ()

    def name(self, key: str, kind: str) -> str:
        """A name of a kind."""
        self._note(key, self._name_of(kind), True)
        return ""

    def names(self, key: str, kind: str) -> tuple[str, ...]:
        """A list of names of a kind."""
        self._note(key, _list_of(self._name_of(kind)), False)
        return ()

    def pair(self, key: str, low: float, high: float) -> tuple[float, float]:
        """Two numbers within bounds."""
        self._note(key, _pair(low, high), True)
        return low, high

    def figures(self, key: str, bounds: Mapping[str, Bounds]) -> dict[str, float]:
        """A mapping of names to numbers."""
        schema = {name: _described(name, _number(*within)) for name, within in bounds.items()}
        self._note(key, {"type": "object", "properties": schema, "additionalProperties": False}, False)
        return {}

    def chosen(self, key: str, options: Collection[str]) -> dict[str, str]:
        """A mapping of any names to one of the texts given."""
        self._note(key, {"type": "object", "additionalProperties": {"enum": list(options)}}, False)
        return {}

    def texts(self, key: str, kind: str | None = None) -> dict[str, str]:
        """A mapping of names to texts."""
        schema: Schema = {"type": "object", "additionalProperties": {"type": "string", "pattern": r"\S"}}
        if kind:
            schema["propertyNames"] = self._name_of(kind)
        self._note(key, schema, False)
        return {}

    def exactly_one(self, *keys: str) -> tuple[str, ...]:
        """All of the keys: each is asked for, and a rule says that one is there."""
        self._optional.update(keys)
        self._rules.append({"oneOf": [{"required": [key]} for key in keys]})
        return keys

    def number_for(self, key: str, other: str, name: str, bounds: Mapping[str, Bounds]) -> float:
        """A number whose bounds depend on another key."""
        self._note(key, {"type": "number"}, True)
        self._bound(key, other, bounds, _number)
        return 0.0

    def pair_for(self, key: str, other: str, name: str, bounds: Mapping[str, Bounds]) -> tuple[float, float]:
        """Two numbers whose bounds depend on another key."""
        self._note(key, _pair(float("-inf"), float("inf")), True)
        self._bound(key, other, bounds, _pair)
        return 0.0, 0.0

    def entries(self, key: str, *, least: int = 0, required: bool = False) -> list[Entry]:
        """One more of the kind, for each of a list."""
        self._note(key, {"type": "array", "minItems": least}, required or least > 0)
        self._inner[key] = _Shape(f"{self._where}.{key}", self._names)
        return [self._inner[key]]

    def problem(self, key: str, problem: str, expected: str) -> None:
        """A blank has none."""

    def done(self) -> None:
        """Every key was noted."""

    def _bound(
        self, key: str, other: str, bounds: Mapping[str, Bounds], schema: Callable[[float, float], Schema]
    ) -> None:
        alike: dict[Bounds, list[str]] = {}
        for name, within in bounds.items():
            alike.setdefault(within, []).append(name)
        for within, names in alike.items():
            when = {"properties": {other: {"enum": names}}, "required": [other]}
            self._rules.append({"if": when, "then": {"properties": {key: schema(*within)}}})

    def _name_of(self, kind: str) -> Schema:
        """A name of a kind: one that the physics knows, or one that another file may add to those known."""
        known = sorted(self._names[kind])
        if kind in names_of_physics():
            return {"enum": known}
        return {"anyOf": [{"enum": known}, {"type": "string", "maxLength": 80, "pattern": _ONE_LINE}]}


def _identifier() -> Schema:
    return {"type": "string", "maxLength": 64, "pattern": _IDENTIFIER}


def _number(low: float, high: float) -> Schema:
    schema: Schema = {"type": "number"}
    if low > float("-inf"):
        schema["minimum"] = low
    if high < float("inf"):
        schema["maximum"] = high
    return schema


def _pair(low: float, high: float) -> Schema:
    return {"type": "array", "items": _number(low, high), "minItems": 2, "maxItems": 2}


def _list_of(item: Schema, least: int = 0) -> Schema:
    return {"type": "array", "items": item, "minItems": least, "uniqueItems": True}


def _described(name: str, schema: Schema) -> Schema:
    """With what a parameter means; other names stand for themselves."""
    parameter = PARAMETERS.get(name)
    if parameter is None:
        return schema
    return {"description": f"{parameter.meaning} [{parameter.unit}]", "default": parameter.default} | schema
