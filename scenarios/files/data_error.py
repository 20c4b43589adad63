"""Errors in data files with their places: a single error, several together, and a collector."""

from collections.abc import Iterable
from difflib import get_close_matches
from types import TracebackType
from typing import NamedTuple, Self

from scenarios.language import _, say

_LISTED = 12  # valid names an error lists in full
_QUOTED = 60  # characters of a file's own text that an error repeats


def quoted(text: str) -> str:
    r"""The text in quotes, shortened, and safe to print: control and invisible characters as escapes.

    >>> print(quoted("a\x1b[2Jb"))
    'a\x1b[2Jb'
    """
    return repr(text if len(text) <= _QUOTED else text[: _QUOTED - 3] + "...")


def nearest(given: str, names: Iterable[str]) -> str | None:
    """The most similar name, ignoring case; None if none is similar.

    >>> nearest("Thermostatt", ["thermostat", "heater-core"])
    'thermostat'
    """
    by_fold = {name.casefold(): name for name in names}
    close = get_close_matches(given[:_QUOTED].casefold(), by_fold, n=1)
    return by_fold[close[0]] if close else None


def one_of(given: str, names: Iterable[str]) -> str:
    """The text of what was expected where one of some names was required, with the most similar as a suggestion.

    >>> one_of("hoot", ["hot", "cold"])
    "one of 'cold', 'hot' (is 'hot' meant?)"
    """
    names = sorted(names)
    if not names:
        return _("none here")
    near = nearest(given, names)
    listed = (
        say("one of {names}", names=", ".join(map(quoted, names)))
        if len(names) <= _LISTED
        else say("one of {number} names", number=len(names))
    )
    return say("{names} (is {near} meant?)", names=listed, near=quoted(near)) if near else listed


class DataError(Exception):
    """One error in a data file. Lines and columns count from 1.

    >>> print(DataError("jobs.yaml", 3, 5, "minutes is -1", "a number of at least 0"))
    jobs.yaml:3:5: minutes is -1, expected a number of at least 0
    """

    def __init__(self, file: str, line: int, column: int, problem: str, expected: str) -> None:
        super().__init__(file, line, column, problem, expected)
        self.file = file
        self.line = line
        self.column = column
        self.problem = problem
        self.expected = expected

    @property
    def errors(self) -> tuple["DataError", ...]:
        """All single errors: here this one."""
        return (self,)

    def __str__(self) -> str:
        file = "".join(mark if mark.isprintable() else "\N{REPLACEMENT CHARACTER}" for mark in self.file)
        wrong = say("{problem}, expected {expected}", problem=self.problem, expected=self.expected)
        return f"{file}:{self.line}:{self.column}: {wrong}"


class DataErrors(DataError):
    """Several errors, printed one a line. Its own attributes are those of the first."""

    def __init__(self, errors: tuple[DataError, ...]) -> None:
        first = errors[0]
        super().__init__(first.file, first.line, first.column, first.problem, first.expected)
        self.args = (errors,)
        self._errors = errors

    @property
    def errors(self) -> tuple[DataError, ...]:
        """All single errors, in the order found."""
        return self._errors

    def __str__(self) -> str:
        return "\n".join(map(str, self._errors))


class Place(NamedTuple):
    """A point in a data file. Lines and columns count from 1."""

    file: str
    line: int
    column: int

    def error(self, problem: str, expected: str) -> DataError:
        """An error at this place, for the caller to raise or collect."""
        return DataError(*self, problem, expected)


class Problems:
    """Collects errors, so that as many as possible are reported at once.

    Inside `with problems:` an error ends the block and is collected:

    >>> problems = Problems()
    >>> for minutes in (5, -1, -2):
    ...     with problems:
    ...         if minutes < 0:
    ...             raise DataError("jobs.yaml", 1, 1, f"minutes is {minutes}", "at least 0")
    >>> len(problems.errors)
    2

    `problems.finish()` then raises the collected errors, if any.
    """

    most = 50
    """Number of errors at which collecting stops and raises them."""

    def __init__(self) -> None:
        self.errors: list[DataError] = []

    def add(self, error: DataError) -> None:
        """Collect an error, or each of several."""
        self.errors.extend(error.errors)
        if len(self.errors) >= self.most:
            self.finish()

    def finish(self) -> None:
        """Raise the collected errors, if any, and forget them: a single one as itself, several as DataErrors."""
        errors, self.errors = self.errors, []
        if len(errors) == 1:
            raise errors[0]
        if errors:
            raise DataErrors(tuple(errors))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> bool:
        if isinstance(error, DataError):
            self.add(error)
            return True
        return False
