"""The program ends while a screen comes up: its parts are not there yet, and nothing asks for them."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest
from textual.pilot import Pilot

from grading.sessions.session import Session
from scenarios.model import Catalogue
from tests.tui.program import play
from tui.app.app import Lukewarm
from tui.app.screens.marking import Marking
from tui.app.screens.workshop import WorkshopScreen


@pytest.mark.parametrize("rounds", range(4))
def test_a_screen_comes_while_the_program_ends(catalogue: Catalogue, rounds: int) -> None:
    """rounds: of the event loop between the two; which parts are there by then depends on it."""

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(WorkshopScreen(Session(catalogue, catalogue.jobs["cold-tern"], 1)))
        app.push_screen(Marking([], None))
        for _round in range(rounds):
            await asyncio.sleep(0)

    play(catalogue, part)
