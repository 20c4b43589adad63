"""A terminal of a test: the program runs as at a real one, and what it writes is kept."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable
from typing import Any, ClassVar

from textual.driver import Driver
from textual.drivers.headless_driver import HeadlessDriver
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import PATIENCE, Leaping, Ready
from tui.app.app import Lukewarm
from tui.app.notices import Shelf
from tui.presentation.settings import Settings

_SEQUENCE = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


class _Terminal(HeadlessDriver):
    written: ClassVar[list[str]] = []

    @property
    def is_headless(self) -> bool:
        """Whether the program need not write anything."""
        return False

    def write(self, data: str) -> None:
        """Keep it."""
        self.written.append(data)


class _Shown(Lukewarm):
    def get_driver_class(self) -> type[Driver]:
        """Ours."""
        return _Terminal


def shown(
    catalogue: Catalogue, part: Callable[[Lukewarm, Pilot[Any], list[str]], Awaitable[None]], size: tuple[int, int]
) -> list[str]:
    """All that is written to a terminal of this size while a part is played; the part sees what has been so far."""
    written = _Terminal.written = []

    async def run() -> None:
        app = _Shown(Shelf.of(catalogue), Ready(), Settings(), clock=Leaping())
        app.pace = 0.0

        async def play(pilot: Pilot[Any]) -> None:
            await part(app, pilot, written)
            app.exit()

        async with asyncio.timeout(PATIENCE):
            await app.run_async(size=size, auto_pilot=play)

    asyncio.run(run())
    return written


def plain(written: str) -> str:
    """The text alone, without the sequences that place and colour it."""
    return _SEQUENCE.sub("", written)
