"""The command palette: what it finds, what it says where it finds nothing, keys that come too early."""

from __future__ import annotations

from typing import Any

from textual.command import CommandPalette
from textual.pilot import Pilot
from textual.widgets import OptionList

from scenarios.model import Catalogue
from tests.tui.program import play, press, text_of
from tui.app.app import Lukewarm
from tui.app.screens.board import Board
from tui.presentation.settings import Settings


async def until(app: Lukewarm, pilot: Pilot[Any], text: str) -> None:
    while text not in text_of(app):
        await pilot.pause(0.02)


def test_it_says_in_the_language_chosen_that_nothing_is_found(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.use_language("de")
        await press(pilot, "ctrl+p", *"xyzzy")
        await until(app, pilot, "Nichts unter diesem Namen")
        assert "No matches" not in text_of(app)
        await press(pilot, "enter")  # which is no command: the palette stays, to be asked again
        while "xyzzy" in text_of(app):
            await pilot.pause(0.02)
        assert isinstance(app.screen, CommandPalette)
        await press(pilot, "escape")
        assert isinstance(app.screen, Board)

    play(catalogue, part, settings=Settings(), patience=30.0)


def test_what_is_found_does_not_say_that_nothing_is(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "ctrl+p", *"theme")
        await until(app, pilot, "Theme: daylight")
        assert "Nothing by that name" not in text_of(app)

    play(catalogue, part, patience=30.0)


def test_page_keys_before_the_list_is_drawn_do_no_harm(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        for keys in (("ctrl+p", "pagedown", "pageup"), ("x", "pagedown"), ("backspace", "pagedown")):
            for key in keys:  # in one burst
                app.simulate_key(key)
        await until(app, pilot, "key Enter")
        found = app.screen.query_one(OptionList)
        await press(pilot, "home", "pagedown")
        moved = found.highlighted
        assert moved is not None
        assert moved > 1
        await press(pilot, "pageup")
        assert found.highlighted == 0

    play(catalogue, part, patience=30.0)
