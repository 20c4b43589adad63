"""Numbers of vehicles that are drawn, and a vehicle drawn ahead for whoever asks next."""

from __future__ import annotations

import secrets
import subprocess
from collections.abc import Collection

from grading.drawing.by_number import SYSTEM_WORDS
from grading.sessions.records import kept_records
from scenarios.files.own_folders import drawn_folder
from scenarios.language import chosen
from tui.presentation.process.child_process import module_command

NUMBERS = 1_000_000
"""Numbers that are taken at random: short enough to tell a mate."""


def random_number() -> str:
    """A number by chance."""
    return str(secrets.randbelow(NUMBERS))


def with_system(number: str, system: str) -> str:
    """A number as typed, for a fault of a system (its name; empty: any)."""
    bare = number.strip().rpartition("-")[2]
    word = next((word for word, name in SYSTEM_WORDS.items() if name == system), "")
    return f"{word}-{bare}" if word else bare


def unused_number(opened: Collection[str]) -> str | None:
    """Number of a vehicle with a fault of any system that was drawn and never opened, None where there is none.

    opened: ids of jobs that have records.
    """
    ready = sorted(path.stem for path in drawn_folder("").glob("draw-*/jobs/draw-*.yaml"))
    numbers = (name.removeprefix("draw-") for name in ready if name not in opened)
    return next((number for number in numbers if number.isdecimal()), None)


class _Ahead:
    process: subprocess.Popen[bytes] | None = None


def draw_ahead() -> None:
    """Have a vehicle drawn in a process of its own where none waits; it ends by itself."""
    busy = _Ahead.process is not None and _Ahead.process.poll() is None
    if not busy and unused_number({kept.job for kept in kept_records()}) is None:
        _Ahead.process = subprocess.Popen(
            [*module_command("tui.presentation.process.draw_ahead"), chosen()],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
