"""Values of a data file with their places, and typed access to them."""

import math
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Never, TypeVar, cast

from scenarios.files.data_error import DataError, Place, Problems, nearest, one_of, quoted
from scenarios.language import _, say

Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]
Scalar = None | bool | int | float | str

_IDENTIFIER = re.compile(r"[a-z][a-z0-9-]*")
_THOUSANDS = re.compile(r"[-+]?[1-9][0-9]{0,2}\.[0-9]{3}")
"""A number that may have been written with a point between thousands, as in German."""
_SEARCHED = 200  # keys searched for a misspelling of a missing key

T = TypeVar("T")
D = TypeVar("D")

REQUIRED: Never = cast("Never", object())
"""Marks a key without default. As a Never it adds nothing to the type of the value."""


@dataclass(frozen=True, slots=True)
class Node:
    """One value of a data file and where it begins."""

    place: Place
    value: Scalar | list["Node"] | dict[str, tuple["Node", "Node"]]
    """A scalar; a sequence's nodes; or a mapping's keys, each with the nodes of the key and of its value."""
    source: str = ""
    """A scalar as written in the file (`0x1F`, `1.50`), for messages; empty for other values."""
    cut: bool = False
    """Whether a comment follows an unquoted scalar on its line: text meant as part of it may be lost."""

    def error(self, problem: str, expected: str) -> DataError:
        """An error at this value, for the caller to raise."""
        return self.place.error(problem, expected)

    def describe(self) -> str:
        """A short description of the value, for a message."""
        match self.value:
            case None:
                return _("no value")
            case bool() | int() | float():
                return self.source
            case str(text):
                return say("the text {text}", text=quoted(text))
            case list():
                return _("a list")
            case _:
                return _("a mapping")

    def plain(self) -> Plain:
        """The value without places, as json.loads would return it."""
        match self.value:
            case list(items):
                return [item.plain() for item in items]
            case dict(entries):
                return {key: value.plain() for key, (_, value) in entries.items()}
            case scalar:
                return scalar

    def mapping(self) -> "Mapping":
        """The keys and values, as a view that records which keys were read."""
        if not isinstance(self.value, dict):
            raise self.error(self.describe(), _("a mapping (lines of `key: value`)"))
        return Mapping(self, self.value)

    def items(self, *, least: int = 0, most: int | None = None) -> list["Node"]:
        """The nodes of a list with least to most items."""
        if not isinstance(self.value, list):
            raise self.error(self.describe(), _("a list (lines of `- item`)"))
        if len(self.value) < least or (most is not None and len(self.value) > most):
            bounds = (
                say("at least {least}", least=least)
                if most is None
                else f"{least}"
                if least == most
                else say("{low} to {high}", low=least, high=most)
            )
            raise self.error(say("a list of {number}", number=len(self.value)), bounds)
        return list(self.value)

    def text(self, *, longest: int = 400) -> str:
        """One line of text that is not blank, without surrounding space; longest: characters at most."""
        return self._line(self.prose(longest=longest))

    def _line(self, text: str) -> str:
        if "\n" in text:
            raise self.error(say("{value} runs over several lines", value=self.describe()), _("one line"))
        return text

    def prose(self, *, longest: int = 10_000) -> str:
        """Text of one or more lines that is not blank, without surrounding space; longest: characters at most."""
        text = self._prose(longest)
        if self.cut:
            raise self.error(_("a text that ends before ' #'"), _("it in quotes, a comment on a line of its own"))
        return text

    def name(self, *, longest: int) -> str:
        """One line of text that is looked up elsewhere, so that a lost part would be noticed."""
        return self._line(self._prose(longest))

    def _prose(self, longest: int) -> str:
        if not isinstance(self.value, str):
            raise self.error(self.describe(), _("text (put it in quotes)") if self.source else _("text"))
        text = self.value.strip()
        if not text:
            raise self.error(_("blank text"), _("some text"))
        if len(text) > longest:
            raise self.error(say("text of {number} characters", number=len(text)), say("at most {most}", most=longest))
        return text

    def number(self, *, low: float = -math.inf, high: float = math.inf, above: float = -math.inf) -> float:
        """A number from low to high, both included, and greater than `above`."""
        if isinstance(self.value, bool) or not isinstance(self.value, int | float):
            raise self.error(self.describe(), _("a number"))
        number = float(self.value)
        if _THOUSANDS.fullmatch(self.source) and (self.source.endswith(".000") or 1000.0 * abs(number) <= high < 1e9):
            meant = self.source.replace(".", "")
            expected = say("{number:g} or {meant}, without a point between thousands", number=number, meant=meant)
            raise self.error(say("{number}, which reads as {value:g}", number=self.source, value=number), expected)
        if not (low <= number <= high and number > above):
            raise self.error(self.describe(), say("a number {bounds}", bounds=_bounds(low, high, above)))
        return number

    def integer(self, *, low: float = -math.inf, high: float = math.inf) -> int:
        """A whole number, written without a point, from low to high, both included."""
        if isinstance(self.value, bool) or not isinstance(self.value, int):
            raise self.error(self.describe(), _("a whole number"))
        if not low <= self.value <= high:
            raise self.error(self.describe(), say("a whole number {bounds}", bounds=_bounds(low, high, -math.inf)))
        return self.value

    def boolean(self) -> bool:
        """True or false, written so: `yes`, `no`, `on` and `off` are text."""
        if not isinstance(self.value, bool):
            raise self.error(self.describe(), _("true or false"))
        return self.value

    def choice(self, options: Collection[str]) -> str:
        """One of the texts given."""
        if not isinstance(self.value, str) or self.value not in options:
            given = self.value if isinstance(self.value, str) else self.source
            raise self.error(self.describe(), one_of(given, options))
        return self.value

    def identifier(self) -> str:
        """A name of small letters, digits and hyphens that begins with a letter."""
        text = self.name(longest=64)
        if not _IDENTIFIER.fullmatch(text):
            raise self.error(
                self.describe(), _("a name of small letters a-z, digits and hyphens that begins with a letter")
            )
        return text


def _bounds(low: float, high: float, above: float) -> str:
    """The finite bounds in words."""
    words = [
        say("above {bound:g}", bound=above)
        if above > -math.inf and above >= low
        else say("of at least {bound:g}", bound=low)
        if low > -math.inf
        else "",
        say("at most {bound:g}", bound=high) if high < math.inf else "",
    ]
    return _(" and ").join(filter(None, words))


class Mapping:
    """The keys and values of a mapping, read one by one; `done()` then raises errors for keys that were never read.

    Every reading method has a `default` that is used if the key is missing. A key without a value is an error, as it
    is more often forgotten than meant.

    ```python
    entry = node.mapping()
    name = entry.text("name")
    minutes = entry.number("minutes", low=0, high=120, default=5.0)
    cautions = [caution.text() for caution in entry.items("cautions", default=[])]
    entry.done()
    ```
    """

    def __init__(self, node: Node, entries: dict[str, tuple[Node, Node]]) -> None:
        self.node = node
        self._entries = entries
        self._asked: set[str] = set()

    def __contains__(self, key: str) -> bool:
        """Whether the key is present; it then counts as read."""
        self._asked.add(key)
        return key in self._entries

    def error(self, problem: str, expected: str) -> DataError:
        """An error at the start of this mapping, for the caller to raise."""
        return self.node.error(problem, expected)

    def pairs(self) -> list[tuple[Node, Node]]:
        """All keys and values, for a mapping whose keys are data; all then count as read."""
        self._asked.update(self._entries)
        return list(self._entries.values())

    def done(self) -> None:
        """Raise an error for each key that was never read."""
        problems = Problems()
        for key, (key_node, _value) in self._entries.items():
            if key not in self._asked:
                problems.add(key_node.error(say("unknown key {key}", key=quoted(key)), one_of(key, self._asked)))
        problems.finish()

    def value(self, key: str, *, default: D = REQUIRED) -> Node | D:
        """The key's node itself."""
        return self._take(key, default, lambda node: node)

    def mapping(self, key: str, *, default: D = REQUIRED) -> "Mapping | D":
        """A mapping inside this one. Call its own `done()`."""
        return self._take(key, default, Node.mapping)

    def items(self, key: str, *, least: int = 0, most: int | None = None, default: D = REQUIRED) -> list[Node] | D:
        """The nodes of a list; see `Node.items`."""
        return self._take(key, default, lambda node: node.items(least=least, most=most))

    def text(self, key: str, *, longest: int = 400, default: D = REQUIRED) -> str | D:
        """One line of text; see `Node.text`."""
        return self._take(key, default, lambda node: node.text(longest=longest))

    def prose(self, key: str, *, longest: int = 10_000, default: D = REQUIRED) -> str | D:
        """Text of one or more lines; see `Node.prose`."""
        return self._take(key, default, lambda node: node.prose(longest=longest))

    def number(
        self,
        key: str,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        above: float = -math.inf,
        default: D = REQUIRED,
    ) -> float | D:
        """A number within bounds; see `Node.number`."""
        return self._take(key, default, lambda node: node.number(low=low, high=high, above=above))

    def integer(self, key: str, *, low: float = -math.inf, high: float = math.inf, default: D = REQUIRED) -> int | D:
        """A whole number within bounds; see `Node.integer`."""
        return self._take(key, default, lambda node: node.integer(low=low, high=high))

    def boolean(self, key: str, *, default: D = REQUIRED) -> bool | D:
        """True or false; see `Node.boolean`."""
        return self._take(key, default, Node.boolean)

    def choice(self, key: str, options: Collection[str], *, default: D = REQUIRED) -> str | D:
        """One of the texts given; see `Node.choice`."""
        return self._take(key, default, lambda node: node.choice(options))

    def identifier(self, key: str, *, default: D = REQUIRED) -> str | D:
        """A name such as `heater-core`; see `Node.identifier`."""
        return self._take(key, default, Node.identifier)

    def _take(self, key: str, default: D, read: Callable[[Node], T]) -> T | D:
        if key in self:
            return read(self._entries[key][1])
        if default is not REQUIRED:
            return default
        unasked = [name for name in self._entries if name not in self._asked][:_SEARCHED]
        near = nearest(key, unasked)
        line = self._entries[near][0].place.line if near else 0
        hint = say("one (is {near} on line {line} meant?)", near=quoted(near), line=line) if near else _("one")
        raise self.error(say("no key {key} in this mapping", key=quoted(key)), hint)
