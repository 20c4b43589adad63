"""Running the terminal program in a test: no film, the physics loaded, keys pressed one by one."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any
from unittest.mock import patch

from textual.pilot import Pilot
from textual.screen import Screen
from textual.strip import Strip

from scenarios.model import Catalogue
from tui.app.app import Lukewarm
from tui.app.notices import Shelf
from tui.app.warm_up import Physics
from tui.app.widgets.key_line import KeyLine
from tui.presentation.settings import Settings

PATIENCE = 120.0
"""Seconds after which a part that waits for something will wait for ever; few take a tenth of it."""


class Ready(Physics):
    """Physics that is ready from the start."""

    def __init__(self) -> None:
        super().__init__()
        self.ready.set()
        self.compiled.set()

    def begin(self) -> None:
        """There is nothing to prepare."""


class Leaping:
    """A clock that leaps a second whenever it is looked at: no key comes too early for the question it answers."""

    def __init__(self) -> None:
        self.time = 0.0

    def __call__(self) -> float:
        """The time [s]."""
        self.time += 1.0
        return self.time


_repaint = Screen._compositor_refresh


def _laid_out_only(screen: Screen[Any]) -> None:
    """In place of a repaint that nobody sees, a quarter of a test's time. What a test asks for is rendered for it."""
    if screen is not screen.app.screen:
        _repaint(screen)
        return
    screen._compositor._dirty_regions.clear()
    screen._dirty_widgets.clear()
    screen.app._update_mouse_over(screen)


def play(
    catalogue: Catalogue,
    part: Callable[[Lukewarm, Pilot[Any]], Awaitable[None]],
    size: tuple[int, int] = (80, 24),
    settings: Settings | None = None,
    patience: float = PATIENCE,
    clock: Callable[[], float] | None = None,
    painted: bool = False,
) -> None:
    """Open the program at a size and play a part in it.

    patience: seconds that it may take; clock: as of the program, one by which no key comes too early if not given;
    painted: whether every change is painted, as in a terminal.
    """

    async def run() -> None:
        app = Lukewarm(Shelf.of(catalogue), Ready(), settings or Settings(), clock=clock or Leaping())
        app.pace = 0.0
        async with app.run_test(size=size) as pilot:
            await settle(pilot)
            try:
                async with asyncio.timeout(patience):
                    await part(app, pilot)
            except TimeoutError:
                raise AssertionError(f"after {patience:g} s it still waits before\n{text_of(app)}") from None

    with patch.object(Screen, "_compositor_refresh", _repaint if painted else _laid_out_only):
        asyncio.run(run())


async def settle(pilot: Pilot[Any]) -> None:
    """Wait for everything that was begun: messages, workers, and what those posted.

    A pause of a length given: without one the pilot would wait for the whole process to be idle.
    """
    quiet = 0
    while quiet < 3:
        await pilot.pause(0.004)
        busy = [worker for worker in pilot.app.workers if worker.is_running]
        asking = pilot.app.screen.is_modal and all(worker.group == "act" for worker in busy)
        quiet = 0 if busy and not asking else quiet + 1


async def press(pilot: Pilot[Any], *keys: str) -> None:
    """Press keys, each once the one before has been dealt with."""
    for key in keys:
        before = pilot.app.screen
        pilot.app.simulate_key(key)
        await settle(pilot)
        if pilot.app.screen is not before:
            await asyncio.sleep(0.03)  # a new screen takes a few rounds to lay itself out
            await settle(pilot)


def strips_of(app: Lukewarm) -> list[Strip]:
    """Everything on the screen, line by line. Textual keeps it to itself: there is no public way to ask for it."""
    return app.screen._compositor.render_strips()


def text_of(app: Lukewarm) -> str:
    """Everything on the screen as text."""
    width, height = app.size
    lines = strips_of(app)
    assert len(lines) <= height and all(line.cell_length <= width for line in lines)
    return "\n".join(line.text for line in lines)


async def still(app: Lukewarm, pilot: Pilot[Any]) -> str:
    """The text of the screen once it no longer changes; a footer fills itself a little later than the rest."""
    before = ""
    while True:
        await settle(pilot)
        now = text_of(app)
        if now == before and all(line.keys for line in app.screen.query(KeyLine)):
            return now
        before = now
        await asyncio.sleep(0.02)
