"""One entry of a catalogue file: reads all keys in spite of errors, and collects errors and references."""

import math
from collections.abc import Callable, Collection, Mapping
from typing import NamedTuple, TypeVar

from scenarios.files.data_error import Problems, quoted
from scenarios.files.data_node import REQUIRED, Node
from scenarios.language import _, say

T = TypeVar("T")
Bounds = tuple[float, float]
"""Least and greatest number."""


class Reference(NamedTuple):
    """A name in a data file that must be known elsewhere: what it names (`repair`, `quantity`) and where it stands."""

    kind: str
    node: Node

    @property
    def name(self) -> str:
        """The name itself."""
        return str(self.node.value)


class LoadContext:
    """Errors and references collected while data files are loaded."""

    def __init__(self) -> None:
        self.problems = Problems()
        self.references: list[Reference] = []


class Entry:
    r"""One mapping of a data file, read key by key.

    An error in a value is collected and an empty value of the same type is returned, so that all errors of an entry are
    reported at once. The values are valid only if `context.problems` is empty in the end.

    >>> from scenarios.files.strict_yaml import parse
    >>> context = LoadContext()
    >>> entry = Entry(parse("minutes: -1\nplace: engine bay", "checks.yaml"), context)
    >>> entry.number("minutes", low=0.0), entry.text("place")
    (0.0, 'engine bay')
    >>> print(context.problems.errors[0])
    checks.yaml:1:10: -1, expected a number of at least 0
    """

    def __init__(self, node: Node, context: LoadContext) -> None:
        """Raises DataError if the node is not a mapping."""
        self.node = node
        self.context = context
        self._mapping = node.mapping()

    def __contains__(self, key: str) -> bool:
        return key in self._mapping

    def read(self, take: Callable[[], T], instead: T) -> T:
        """Result of `take`; if it raises a DataError, that is collected and `instead` is returned."""
        with self.context.problems:
            return take()
        return instead

    def text(self, key: str, *, longest: int = 400, default: str = REQUIRED) -> str:
        """One line of text."""
        return self.read(lambda: self._mapping.text(key, longest=longest, default=default), "")

    def prose(self, key: str, *, longest: int = 2000, default: str = REQUIRED) -> str:
        """Text of one or more lines."""
        return self.read(lambda: self._mapping.prose(key, longest=longest, default=default), "")

    def identifier(self, key: str) -> str:
        """A name such as `heater-core`."""
        return self.read(lambda: self._mapping.identifier(key), "")

    def number(self, key: str, *, low: float, high: float = math.inf, default: float = REQUIRED) -> float:
        """A number from low to high, both included."""
        return self.read(lambda: self._mapping.number(key, low=low, high=high, default=default), low)

    def integer(self, key: str, *, low: int, high: int) -> int:
        """A whole number from low to high, both included."""
        return self.read(lambda: self._mapping.integer(key, low=low, high=high), low)

    def boolean(self, key: str, *, default: bool = REQUIRED) -> bool:
        """True or false."""
        return self.read(lambda: self._mapping.boolean(key, default=default), False)

    def choice(self, key: str, options: Collection[str], *, default: str = REQUIRED) -> str:
        """One of the texts given."""
        return self.read(lambda: self._mapping.choice(key, options, default=default), "")

    def choices(self, key: str, options: Collection[str], *, least: int = 0) -> tuple[str, ...]:
        """A list of some of the given texts, each once; empty if the key is missing and none are required."""
        return self._each(key, lambda node: node.choice(options), least)

    def words(self, key: str) -> tuple[str, ...]:
        """A list of identifiers, each once; empty if the key is missing."""
        return self._each(key, Node.identifier)

    def name(self, key: str, kind: str) -> str:
        """A name that must be known elsewhere as one of a kind."""
        return self.read(lambda: self._refer(kind, self._mapping.value(key)), "")

    def names(self, key: str, kind: str) -> tuple[str, ...]:
        """A list of such names, each once; empty if the key is missing."""
        return self._each(key, lambda node: self._refer(kind, node))

    def pair(self, key: str, low: float, high: float) -> tuple[float, float]:
        """A list of two numbers within bounds, the second not below the first."""

        def take() -> tuple[float, float]:
            first, second = self._mapping.items(key, least=2, most=2)
            least = first.number(low=low, high=high)
            return least, second.number(low=least, high=high)

        return self.read(take, (low, high))

    def table(self, key: str) -> dict[str, tuple[Node, Node]]:
        """A mapping whose keys are data: each key with the nodes of key and value; empty if it is missing."""

        def take() -> dict[str, tuple[Node, Node]]:
            inner = self._mapping.mapping(key, default=None)
            return {str(name.value): (name, value) for name, value in inner.pairs()} if inner is not None else {}

        return self.read(take, {})

    def figures(self, key: str, bounds: Mapping[str, Bounds]) -> dict[str, float]:
        """A mapping of names to numbers, each name with its own bounds; empty if it is missing."""
        found = {}
        for name, (key_node, value) in self.table(key).items():
            with self.context.problems:
                key_node.choice(bounds.keys())
                found[name] = value.number(low=bounds[name][0], high=bounds[name][1])
        return found

    def chosen(self, key: str, options: Collection[str]) -> dict[str, str]:
        """A mapping of any names to one of the given texts; empty if it is missing."""
        return {
            name: self.read(lambda value=value: value.choice(options), "")
            for name, (_key, value) in self.table(key).items()
        }

    def exactly_one(self, *keys: str) -> tuple[str, ...]:
        """The one key that is present of several that exclude each other; an error if there is not exactly one."""
        given = tuple(key for key in keys if key in self)
        if len(given) == 1:
            return given
        names = ", ".join(map(repr, given))
        wrong = say("a change with {goals}", goals=names) if given else _("a change with no goal")
        self.problem(keys[1], wrong, _("one of 'to', 'factor' and 'between'"))
        return ()

    def number_for(self, key: str, other: str, name: str, bounds: Mapping[str, Bounds]) -> float:
        """A number within the bounds of the name at another key; 0 if that name is unknown."""
        low, high = bounds.get(name, (0.0, 0.0))
        return self.number(key, low=low, high=high) if name in bounds else 0.0

    def pair_for(self, key: str, other: str, name: str, bounds: Mapping[str, Bounds]) -> tuple[float, float]:
        """A pair of numbers within the bounds of the name at another key."""
        return self.pair(key, *bounds[name]) if name in bounds else (0.0, 0.0)

    def texts(self, key: str, kind: str | None = None) -> dict[str, str]:
        """A mapping of names to texts; with a kind, its names must be known as such."""
        found = {}
        for name, (key_node, value) in self.table(key).items():
            if kind:
                self.context.references.append(Reference(kind, key_node))
            found[name] = self.read(value.prose, "")
        return found

    def entries(self, key: str, *, least: int = 0, required: bool = False) -> list["Entry"]:
        """A list of mappings, optional unless `least` or `required` says otherwise. Call `done()` on each."""
        default = REQUIRED if least or required else []
        nodes: list[Node] = self.read(lambda: self._mapping.items(key, least=least, default=default), [])
        found = []
        for node in nodes:
            with self.context.problems:
                found.append(Entry(node, self.context))
        return found

    def listed(self, key: str) -> list[Node]:
        """The nodes of a list; empty if it is missing or not a list."""
        node = self.value(key)
        return list(node.value) if node is not None and isinstance(node.value, list) else []

    def value(self, key: str) -> Node | None:
        """The node of a key, None if it is missing."""
        return self._mapping.value(key, default=None)

    def problem(self, key: str, problem: str, expected: str) -> None:
        """Collect an error at a key's value, or at the start of the entry if the key is missing."""
        self.context.problems.add((self.value(key) or self.node).error(problem, expected))

    def done(self) -> None:
        """Collect an error for each key that was never read."""
        with self.context.problems:
            self._mapping.done()

    def _refer(self, kind: str, node: Node) -> str:
        name = node.name(longest=80)
        self.context.references.append(Reference(kind, node))
        return name

    def _each(self, key: str, take: Callable[[Node], str], least: int = 0) -> tuple[str, ...]:
        default = REQUIRED if least else []
        nodes: list[Node] = self.read(lambda: self._mapping.items(key, least=least, default=default), [])
        found: dict[str, None] = {}
        for node in nodes:
            with self.context.problems:
                name = take(node)
                if name in found:
                    raise node.error(say("{name} again", name=quoted(name)), _("each once"))
                found[name] = None
        return tuple(found)
