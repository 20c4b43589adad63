"""The first job of README.md, taken out of the page: what is typed, and what it says comes of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

README = Path(__file__).parents[2] / "README.md"


@dataclass(frozen=True)
class Step:
    """A command, and the lines that the page shows of its answer."""

    command: str
    shown: tuple[str, ...]


def steps() -> list[Step]:
    """Every step of the fenced blocks marked ``lukewarm``; a command stands behind ``>``."""
    found: list[Step] = []
    for block in re.findall(r"^```lukewarm\n(.*?)^```", README.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL):
        for part in re.split(r"^> ", block, flags=re.MULTILINE)[1:]:
            command, *shown = part.splitlines()
            found.append(Step(command, tuple(line for line in shown if line)))
    return found
