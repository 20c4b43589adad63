"""One value from outside the project, and what Lukewarm gives for it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Letter = Literal["C", "F", "M", "P"]

LETTERS: dict[Letter, str] = {
    "C": "computed with the named open library when this page is made",
    "F": "read in a secondary copy of the named source",
    "M": "recalled from memory, the source not seen",
    "P": "common practice in the trade, no source",
}


@dataclass(frozen=True)
class PublishedValue:
    """A value that Lukewarm is held against."""

    key: str
    """`section/short-name`, unique; the part before the slash is its section of the validation page."""
    what: str
    """The quantity and its conditions, in one line."""
    source: str
    """Where `expected` comes from: a standard, a book, a library."""
    letter: Letter
    """How well that source was seen."""
    expected: float
    """The outside value [unit]."""
    unit: str
    """Unit of `expected`, of `tolerance` and of what `compute` gives; `-` where there is none."""
    tolerance: float
    """Greatest deviation allowed to either side [unit], above 0."""
    compute: Callable[[], float]
    """What Lukewarm gives [unit]."""
