"""One-line changes that the tests must notice: what a list of them is made of."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Mutant:
    """A change that some test must notice.

    name: what goes wrong, in a few words; file: from the root of the checkout, with slashes; old: text that stands in
    it exactly once; new: what replaces it; tests: arguments for pytest that must fail.
    """

    name: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]
