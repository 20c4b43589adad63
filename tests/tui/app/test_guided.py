"""What a learner is told beside a reading, and predicts of it, by keys."""

from __future__ import annotations

from typing import Any

import pytest
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import play, press, settle, still
from tui.app.app import Lukewarm
from tui.app.screens.workshop import WorkshopScreen
from tui.app.widgets.offers import Offers
from tui.presentation.settings import Settings


@pytest.mark.parametrize("mode", ["guided", "free"])
def test_a_prediction_is_one_key_and_its_result_comes_with_the_reading(catalogue: Catalogue, mode: str) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "e")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        screen.query_one(Offers).move_to("vent-temperature")
        await settle(pilot)
        await press(pilot, "full_stop")
        (line,) = [entry for entry in screen.session.recorder.entries if entry.kind == "prediction"]
        assert (line.data["check"], line.data["expects"]) == ("vent-temperature", "higher than sound")
        await press(pilot, "enter")
        seen = " ".join((await still(app, pilot)).split())
        assert screen.session.readings[-1].check == "vent-temperature"
        if mode == "guided":
            assert "here and now" in seen
            assert "You predicted: higher than sound. That was wrong." in seen
            assert "It depends." in seen
        else:
            assert "here and now" not in seen
            assert "Your prediction is noted" in seen
            assert "It depends." not in seen

    play(catalogue, part, (120, 40), Settings(mode=mode))


def test_what_is_not_compiled_is_not_waited_for_and_the_stages_are_clicked(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        app.physics.compiled.clear()
        await press(pilot, "e", "p")
        assert not [entry for entry in screen.session.recorder.entries if entry.kind == "prediction"]
        assert "Compiling" in await still(app, pilot)
        rows = (await still(app, pilot)).splitlines()
        await pilot.click(offset=(rows[1].index("repair"), 1))
        await settle(pilot)
        assert screen.looked_at == 4

    play(catalogue, part, (120, 40), Settings(mode="guided"))
