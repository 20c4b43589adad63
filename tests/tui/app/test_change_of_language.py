"""What is open can be said in another language, from wherever one is, and back again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from scenarios.language import chosen
from scenarios.model import Catalogue
from tests.language.pseudo import left_over, nobodys_language
from tests.tui.app.test_languages import KEYS, SAID_SO_EVERYWHERE, Run, ids, typed
from tests.tui.app.test_screens import TOUR, _write_marked_records
from tests.tui.graded import fixed_debrief
from tests.tui.program import play, press, settle, still, text_of
from tui.app.app import Lukewarm
from tui.app.screens.board import Board
from tui.app.screens.spoken import Spoken
from tui.app.screens.workshop import WorkshopScreen
from tui.presentation.settings import load_settings

SAID_ANEW = {"board", "progress", "workshop", "reading", "suspects", "repairs", "job card", "notebook"}


async def _said_in_another_language_and_back(app: Lukewarm, pilot: Pilot[Any], allowed: set[str], name: str) -> None:
    """Nothing of a screen stays as it was when the language changes, and all is as it was when it changes back."""
    assert app.can_reword
    if isinstance(app.screen, WorkshopScreen):
        app.screen.told = app.screen.told[:1]  # what was said before stays as it was said
        app.screen.redraw()
    before = await still(app, pilot)
    with nobodys_language():
        for screen in app.screen_stack:
            assert isinstance(screen, Spoken)
            screen.reword()
        await pilot.pause(0.05)  # a footer fills itself a little later than the rest
        assert left_over(await still(app, pilot), allowed) == [], name
    for screen in app.screen_stack:
        screen.reword()  # pyright: ignore[reportAttributeAccessIssue]
    await pilot.pause(0.05)
    assert await still(app, pilot) == before, name


@pytest.mark.slow
def test_every_open_screen_can_be_said_in_another_language(catalogue: Catalogue, records: Path) -> None:
    _write_marked_records(records)
    allowed = SAID_SO_EVERYWHERE | KEYS | typed(["no heat here coolant was low"]) | {"tern", "old", "unit"}

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        said = set()
        for name, keys in TOUR:
            await press(pilot, *keys)
            if name in SAID_ANEW:
                await _said_in_another_language_and_back(app, pilot, allowed, name)
                said.add(name)
                if len(said) == len(SAID_ANEW):
                    break

    play(catalogue, part, (120, 40))


@pytest.mark.slow
def test_an_open_debrief_can_be_said_in_another_language(catalogue: Catalogue) -> None:
    allowed = SAID_SO_EVERYWHERE | KEYS | ids(catalogue) | {"as", "read", "line", "another", "indented", "section"}
    debrief = fixed_debrief(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(debrief)
        await settle(pilot)
        for number in "123456":
            await press(pilot, number)
            await _said_in_another_language_and_back(app, pilot, allowed, number)

    play(catalogue, part, (120, 40))


def test_the_language_is_chosen_from_wherever_one_is(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "ctrl+l")
        assert "Fahrersitz" in (german := await still(app, pilot))
        assert "driver's seat" not in german
        await press(pilot, "question_mark")
        assert "Hilfe" in text_of(app)
        await press(pilot, "ctrl+l")
        assert "Help" in text_of(app)
        assert "The line of places" in text_of(app)
        assert chosen() == "en_US"
        await press(pilot, "ctrl+l", "ctrl+l", "escape", "n", "escape")
        assert isinstance(app.screen, Board)
        assert "Fahrzeuge, deren Innenraum nicht warm wird" in await still(app, pilot)
        assert load_settings().language == "de"

    play(catalogue, part, (120, 40))


def test_a_question_is_answered_in_the_language_it_was_asked_in(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "t", "ctrl+l")
        assert chosen() == "en"
        assert "Write up the job" in text_of(app)

    play(catalogue, part, (120, 40))


def test_the_language_is_chosen_on_the_board_and_kept(catalogue: Catalogue, lukewarm: Run) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "ctrl+l")
        assert "Fahrzeuge, deren Innenraum nicht warm wird" in await still(app, pilot)
        assert isinstance(app.screen, Board)
        assert len(app.screen_stack) == 1
        assert load_settings().language == "de"
        await press(pilot, "ctrl+p", *"english", "enter")
        assert "vehicles whose cabin will not get warm" in await still(app, pilot)
        assert load_settings().language == "en"

    play(catalogue, part)
