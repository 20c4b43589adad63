r"""A strict reader of YAML data files: YAML 1.2 core scalars and a safe subset of the syntax.

A file is one document of mappings, lists and scalars. Anchors, aliases, tags, merge keys, directives, repeated keys,
numbers that are not finite, control and bidirectional characters, and files that are too large, too deep or of too many
values are errors. `no`, `yes`, `on`, `1:30` and `2026-01-31` are text.

>>> entry = parse("name: Heater hose\nminutes: 4", "checks.yaml").mapping()
>>> entry.text("name"), entry.number("minutes", low=0, high=120)
('Heater hose', 4.0)
>>> entry.done()

Source of the scalar rules: YAML 1.2.2, section 10.3.2 (F: read in a secondary copy).
"""

import math
import re
from pathlib import Path
from typing import Any

import yaml

from scenarios.files.data_error import DataError, DataErrors, Place, Problems, nearest, one_of, quoted
from scenarios.files.data_node import Mapping, Node, Plain, Scalar
from scenarios.language import _, say

__all__ = [
    "DataError",
    "DataErrors",
    "Mapping",
    "Node",
    "Place",
    "Plain",
    "Problems",
    "load",
    "nearest",
    "one_of",
    "parse",
    "quoted",
    "read",
]

MAX_BYTES = 1 << 20
MAX_DEPTH = 32
MAX_NODES = 50_000

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""Parser: the compiled one where PyYAML has it, otherwise the one in Python."""

# Controls C0 (but for tab and line ends) and C1, line and paragraph separators, bidirectional marks, byte-order mark,
# surrogates, noncharacters.
_FORBIDDEN = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ud800-\udfff\ufffe\uffff]"
)
_LINE_END = re.compile(r"\r\n|[\n\r\x85\u2028\u2029]")
_COMMENT = re.compile(r"\S?[ \t]+#")
_NULL = re.compile(r"null|Null|NULL|~|")
_BOOLEAN = re.compile(r"(true|True|TRUE)|false|False|FALSE")
_INTEGER = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_NOT_FINITE = re.compile(r"[-+]?(\.inf|\.Inf|\.INF)|\.nan|\.NaN|\.NAN")
_LONGEST_INTEGER = 25  # characters that the longest 64-bit integer takes (octal, 0o...), with some to spare


def load(path: Path) -> Node:
    """The root node of a file. Every error in the file is a DataError."""
    start = Place(str(path), 1, 1)
    try:
        if not path.is_file():  # a pipe or a device may never end
            raise start.error(_("not a plain file") if path.exists() else _("no such file"), _("a YAML file"))
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise start.error(say("the file cannot be read ({reason})", reason=reason), _("a YAML file")) from error
    return read(data, str(path))


def read(data: bytes, name: str) -> Node:
    """The root node of a file's bytes; `name` is the file named in errors."""
    if len(data) > MAX_BYTES:
        raise _too_large(name)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        place = _place_of(data[: error.start].decode("utf-8"), name)
        raise place.error(
            say("the byte 0x{byte:02x} is not UTF-8", byte=data[error.start]), _("a text file saved as UTF-8")
        ) from error
    return parse(text, name)


def parse(text: str, name: str) -> Node:
    """The root node of a text; `name` is the file named in errors. As many errors as possible are raised together."""
    text = text.removeprefix("\ufeff")  # some Windows editors write one
    if len(text) > MAX_BYTES:
        raise _too_large(name)
    problems = Problems()
    for found in _FORBIDDEN.finditer(text):
        problems.add(_forbidden(found[0], _place_of(text[: found.start()], name)))
    problems.finish()
    root = Node(Place(name, 1, 1), None)
    with problems:
        root = _Builder(text, name, problems).document()
    problems.finish()
    return root


def _too_large(name: str) -> DataError:
    return Place(name, 1, 1).error(_("the file is too large"), say("at most {size} KiB", size=MAX_BYTES // 1024))


def _forbidden(mark: str, place: Place) -> DataError:
    return place.error(say("the control or invisible character U+{code:04X}", code=ord(mark)), _("text without it"))


def _place_of(before: str, name: str) -> Place:
    """The place just after some text."""
    lines = before.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return Place(name, len(lines), len(lines[-1]) + 1)


class _Builder:
    """Builds nodes from a parser's events only, so that aliases and tags are never resolved."""

    def __init__(self, text: str, name: str, problems: Problems) -> None:
        self._events = yaml.parse(text, Loader=LOADER)
        self._text, self._lines = text, None
        self._name = name
        self._problems = problems
        self._last = Place(name, 1, 1)
        self._end = _place_of(text, name)
        self._nodes = 0

    def document(self) -> Node:
        try:
            self._next()
            start = self._next()
            if isinstance(start, yaml.StreamEndEvent):
                raise self._last.error(_("the file is empty"), _("a mapping or a list"))
            if start.version or start.tags:
                self._problems.add(self._last.error(_("a directive (%)"), _("plain YAML")))
            root = self._node(self._next(), 1)
            self._next()
            if not isinstance(self._next(), yaml.StreamEndEvent):
                raise self._last.error(_("a second document"), _("one document in a file"))
        except (yaml.YAMLError, ValueError, OverflowError) as error:  # the last two: escapes, in the Python parser
            raise self._syntax_error(error) from error
        return root

    def _next(self) -> Any:
        event = next(self._events)
        self._last = self._place(event.start_mark)
        return event

    def _place(self, mark: Any) -> Place:
        # The compiled parser puts the end of a file without a final line end on a line of its own.
        return min(Place(self._name, mark.line + 1, mark.column + 1), self._end)

    def _syntax_error(self, error: Exception) -> DataError:
        place, problem = self._last, _("it cannot be parsed")
        if isinstance(error, yaml.MarkedYAMLError):
            problem = " ".join(filter(None, (error.problem, error.context)))
            if error.problem_mark:
                place = self._place(error.problem_mark)
        expected = _("valid YAML (indent with spaces, put text that holds ': ' or ' #' in quotes)")
        return place.error(say("not YAML: {problem}", problem=problem), expected)

    def _node(self, event: Any, depth: int) -> Node:
        place = self._last
        self._nodes += 1
        if self._nodes > MAX_NODES:
            raise place.error(_("too many values"), say("at most {number} in a file", number=MAX_NODES))
        if depth > MAX_DEPTH:
            raise place.error(_("values nested too deep"), say("at most {number} levels", number=MAX_DEPTH))
        if isinstance(event, yaml.AliasEvent):
            self._problems.add(place.error(_("an alias (*)"), _("the value itself, or quotes if it is text")))
            return Node(place, None)
        if event.anchor:
            self._problems.add(place.error(_("an anchor (&)"), _("none, or quotes if it is text")))
        if event.tag:
            self._problems.add(place.error(_("a tag (!)"), _("none, or quotes if it is text")))
        if isinstance(event, yaml.ScalarEvent):
            return Node(place, self._scalar(event, place), event.value, self._is_cut(event))
        if isinstance(event, yaml.SequenceStartEvent):
            items = []
            while not isinstance(event := self._next(), yaml.SequenceEndEvent):
                items.append(self._node(event, depth + 1))
            return Node(place, items)
        entries: dict[str, tuple[Node, Node]] = {}
        while not isinstance(event := self._next(), yaml.MappingEndEvent):
            key = self._node(event, depth + 1)
            text = self._key(event, key)
            value = self._node(self._next(), depth + 1)
            if text in entries:
                first = entries[text][0].place.line
                self._problems.add(
                    key.error(
                        say("key {key} again, first on line {line}", key=quoted(text), line=first), _("each key once")
                    )
                )
            elif text is not None:
                entries[text] = key, value
        return Node(place, entries)

    def _key(self, event: Any, key: Node) -> str | None:
        """The text of a key; None after an error is reported."""
        if isinstance(event, yaml.AliasEvent):
            return None  # reported already
        if not isinstance(key.value, str):
            self._problems.add(
                key.error(
                    say("{value} as a key", value=key.describe()), _("a text key, in quotes if it looks otherwise")
                )
            )
            return None
        if key.value == "<<" and event.implicit[0]:
            self._problems.add(key.error(_("a merge key (<<)"), _("the keys themselves")))
            return None
        return key.value

    def _is_cut(self, event: yaml.ScalarEvent) -> bool:
        """Whether a scalar without quotes is followed by a comment on its line."""
        if event.style not in (None, "") or not event.end_mark:
            return False
        if self._lines is None:
            self._lines = _LINE_END.split(self._text)
        line = self._lines[event.end_mark.line] if event.end_mark.line < len(self._lines) else ""
        return _COMMENT.match(line, max(event.end_mark.column - 1, 0)) is not None

    def _scalar(self, event: yaml.ScalarEvent, place: Place) -> Scalar:
        text = event.value
        if found := re.search(r"[\t\r]", text) or _FORBIDDEN.search(text):  # escapes can write any character
            self._problems.add(_forbidden(found[0], place))
        if not event.implicit[0]:  # in quotes, or a block
            return text
        if _NULL.fullmatch(text):
            return None
        if truth := _BOOLEAN.fullmatch(text):
            return bool(truth[1])
        if _INTEGER.fullmatch(text):
            return self._integer(text, place)
        if _NOT_FINITE.fullmatch(text):
            self._problems.add(place.error(text, _("a finite number, or quotes if it is text")))
        elif _FLOAT.fullmatch(text):
            if math.isfinite(number := float(text)):
                return number
            self._problems.add(
                place.error(say("the number {number} is too large", number=quoted(text)), _("one below 1.8e308"))
            )
        return text

    def _integer(self, text: str, place: Place) -> int:
        base = {"0o": 8, "0x": 16}.get(text[:2], 10)
        # int() of a long text is slow or refused, so its length is checked first.
        if len(text) <= _LONGEST_INTEGER and -(1 << 63) <= (number := int(text, base)) < 1 << 63:
            return number
        self._problems.add(
            place.error(say("the whole number {number} is too large", number=quoted(text)), _("one of at most 64 bits"))
        )
        return 0
