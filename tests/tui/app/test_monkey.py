"""Thousands of keys and clicks at random, over every screen: nothing crashes, nothing hangs."""

from __future__ import annotations

import random
from contextlib import suppress
from typing import Any

import pytest
from textual.errors import NoWidget
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import play, settle
from tui.app.app import Lukewarm
from tui.app.screens.too_small import TooSmall

KEYS = (
    *"abcdefghijklmnopqrstuvwxyz12345BZ ",
    *("up", "down", "left", "right", "enter", "escape", "tab", "shift+tab", "plus", "minus", "home", "end", "pagedown"),
    *(
        "question_mark",
        "ctrl+p",
        "ctrl+t",
        "ctrl+l",
        "shift+left",
        "shift+right",
        "delete",
        "backspace",
        "period",
        "f1",
        "space",
    ),
)


async def _stay(app: Lukewarm) -> None:
    """Instead of leaving."""


@pytest.mark.parametrize(
    ("seed", "count"), [(1, 60), *(pytest.param(seed, 2500, marks=pytest.mark.slow) for seed in range(2, 10))]
)
def test_random_keys_and_clicks(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch, seed: int, count: int) -> None:
    monkeypatch.setattr(Lukewarm, "action_quit", _stay)
    dice = random.Random(seed)
    seen: set[str] = set()

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        for _ in range(count):
            roll = dice.random()
            if roll < 0.85:
                app.simulate_key(dice.choice(KEYS))
            elif roll < 0.99:
                with suppress(NoWidget):  # the pilot finds nothing where a screen is not laid out yet
                    await pilot.click(offset=(dice.randrange(app.size.width), dice.randrange(app.size.height)))
            else:
                await pilot.resize_terminal(dice.choice((60, 80, 120, 200)), dice.choice((20, 24, 40, 60)))
            if dice.random() < 0.7:  # at times faster than the screen follows
                await settle(pilot)
            seen.add(type(app.screen).__name__)
        await pilot.resize_terminal(100, 30)
        await settle(pilot)
        assert not isinstance(app.screen, TooSmall)

    play(catalogue, part, patience=count, painted=True)
    assert {"Board", "WorkshopScreen"} <= seen
