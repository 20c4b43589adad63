"""What a benchmark is, and how they are found: a module of this package with a list ``BENCHES`` adds its keys."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path


@dataclass(frozen=True)
class Bar:
    """What one key should reach: at_most or at_least a number [the key's unit], or nothing, where it only informs."""

    at_most: float | None = None
    at_least: float | None = None

    def met(self, value: float) -> bool:
        """Whether a measured value reaches it."""
        low = self.at_least is None or value >= self.at_least
        return low and (self.at_most is None or value <= self.at_most)

    def __str__(self) -> str:
        """The bar as people write it."""
        if self.at_most is not None:
            return f"<= {self.at_most:g}"
        return "" if self.at_least is None else f">= {self.at_least:g}"


@dataclass(frozen=True)
class Bench:
    """Measurements that are made together.

    keys: what it yields, with its bar; measure: does the work and gives every key a number.
    """

    keys: dict[str, Bar]
    measure: Callable[[], dict[str, float]]


def say(text: str) -> None:
    """Progress, on standard error."""
    print(text, file=sys.stderr, flush=True)


def find() -> list[Bench]:
    """Benchmarks of every module of this package, by name."""
    found: list[Bench] = []
    for module in sorted(Path(__file__).parent.glob("*.py")):
        if not module.stem.startswith("_"):
            found += getattr(import_module(f"tests.bench.{module.stem}"), "BENCHES", [])
    return found
