"""A part of a debrief."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Section:
    """A heading in English, by which screens identify the section, and its lines in the language chosen."""

    title: str
    lines: list[str]
