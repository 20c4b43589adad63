"""A whole job in the terminal program, by mouse alone."""

from __future__ import annotations

from typing import Any

import pytest
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import play, settle, still, text_of
from tui.app.app import Lukewarm
from tui.app.screens.board import Board
from tui.app.screens.caution import CautionSlip
from tui.app.screens.debrief import Debrief
from tui.app.screens.workshop import WorkshopScreen


async def click_on(app: Lukewarm, pilot: Pilot[Any], text: str, times: int = 1) -> None:
    """Click on the first place on the screen where a text stands."""
    await still(app, pilot)
    for y, line in enumerate(text_of(app).splitlines()):
        if (x := line.find(text)) >= 0:
            await pilot.click(offset=(x, y), times=times)
            await settle(pilot)
            return
    raise AssertionError(f"{text!r} is not on the screen:\n{text_of(app)}")


@pytest.mark.slow
def test_a_whole_job_by_mouse_alone(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        async def click(text: str, times: int = 1) -> None:
            await click_on(app, pilot, text, times)

        await click("Cold Tern", times=2)
        assert isinstance(app.screen, WorkshopScreen)
        session = app.screen.session
        await click("2 engine bay")
        await click("coolant level cold", times=2)
        assert isinstance(app.screen, CautionSlip)
        await click("done, go on")
        assert len(session.readings) == 1
        await click("s suspects")
        await click("coolant low")
        await click("likelier")
        await click("Enter declare")
        await click("surer", times=5)
        await click("Enter declare")
        assert session.diagnosis == ("coolant-low", 0.95)
        await click("5 bench")
        await click("Top up", times=2)
        assert session.repairs == ["top-up"]
        await click("+- heater", times=10)
        await click("b blower")
        await click("engine o")
        await click("d drive")
        await click("Enter start")
        assert session.minute > 30.0
        await click("1●driver")
        await click("vent temperature", times=2)
        assert session.readings[-1].check == "vent-temperature"
        await click("x Hand back")
        await click("Enter hand back")
        await settle(pilot)
        assert isinstance(app.screen, Debrief)
        assert app.screen.grade.passed
        await click("Back to the board")
        assert isinstance(app.screen, Board)

    play(catalogue, part)
