"""The last line of a screen: what it lists, and what a mouse does on it."""

from __future__ import annotations

from typing import Any

from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import play, press, settle, text_of
from tui.app.app import Lukewarm
from tui.app.screens.board import Board
from tui.app.screens.progress import ProgressScreen
from tui.app.widgets.key_line import KeyLine


def _label(app: Lukewarm, text: str) -> tuple[int, int]:
    """Where a label of the last line stands."""
    line = text_of(app).splitlines()[-1]
    return line.index(text), app.size.height - 1


def test_it_lists_each_action_once_by_its_first_key(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        listed = app.screen.query_one(KeyLine).keys
        assert [does for _key, _sign, does in listed] == [
            "Take the key",
            "Draw another",
            "Progress",
            "Quit",
            "Help",
            "Commands",
        ]
        await press(pilot, "p")  # which is left by Escape and by q
        listed = app.screen.query_one(KeyLine).keys
        assert [(key, sign) for key, sign, does in listed if does == "Back to the board"] == [("escape", "Esc")]

    play(catalogue, part)


def test_a_click_does_what_the_key_does(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await pilot.click(offset=_label(app, "Progress"))
        await settle(pilot)
        assert isinstance(app.screen, ProgressScreen)
        await press(pilot, "escape")
        x, y = _label(app, "Commands")
        await pilot.click(offset=(x + len("Commands") + 3, y))  # beyond the last one
        await settle(pilot)
        assert isinstance(app.screen, Board)

    play(catalogue, part, (120, 30))


def test_the_key_under_the_mouse_is_lit(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        line = app.screen.query_one(KeyLine)

        def lit() -> list[str]:
            return [piece.plain.strip() for piece in line.pieces() if any("on $" in str(s.style) for s in piece.spans)]

        assert lit() == []
        await pilot.hover(offset=_label(app, "Progress"))
        await settle(pilot)
        assert lit() == ["p Progress"]
        await pilot.hover(offset=(5, 5))
        await settle(pilot)
        assert lit() == []

    play(catalogue, part)
