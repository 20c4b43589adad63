"""What the first picture waits for, and what it shows: the whole board, and nothing that the board does not show."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import play, press, still, text_of
from tests.tui.terminal import plain, shown
from tui.app.app import Lukewarm
from tui.app.screens.board import Board

LOADED = """
import json, sys
import tui.commands.command
import tui.app.app, tui.app.ready_catalogue
assert tui.app.ready_catalogue.ready_catalogue().notices
print(json.dumps(sorted(sys.modules)))
"""
HEAVY = ("numpy", "numba", "scipy", "simpy", "yaml")
LATER = (
    *HEAVY,
    "argparse",
    "grading.marks.practice",
    "scenarios.files.loader",
    "scenarios.model",
    "tui.app.palette",
    "tui.presentation.between_jobs.progress",
    "grading.sessions.records",
    "tui.app.screens.getting_ready",
)


def _loaded() -> list[str]:
    ran = subprocess.run(
        [sys.executable, "-P", "-c", LOADED], capture_output=True, text=True, encoding="utf-8", check=True
    )
    return json.loads(ran.stdout)


def test_what_the_board_does_not_show_is_not_loaded_for_it() -> None:
    _loaded()  # the first time, the catalogue may have to be parsed
    loaded = _loaded()
    assert "tui.app.screens.board" in loaded
    assert [name for name in LATER if name in loaded] == []


KEYS = " Enter Take the key  v Draw another  p Progress  q Quit  ? Help  ^p Commands"
PARTS = ("vehicles whose cabin", "▸○ Next: Cold Tern", "“", "● free", "The vehicles are ready.", KEYS)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_the_first_picture_is_of_the_whole_board(catalogue: Catalogue, size: tuple[int, int]) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any], written: list[str]) -> None:
        while any(text not in plain("".join(written)) for text in PARTS):
            await pilot.pause(0.02)

    pictures = [plain(data) for data in shown(catalogue, part, size)]
    first = next(picture for picture in pictures if any(text in picture for text in PARTS))
    assert [text for text in PARTS if text not in first] == []


def test_a_terminal_too_small_for_the_board_is_told_so_at_once(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "needs 80 x" in text_of(app)

    play(catalogue, part, (10, 3))


def test_what_is_said_of_the_physics_takes_no_more_lines_than_it_fills(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.physics.compiled.clear()
        assert isinstance(app.screen, Board)
        app.screen.redraw()
        await press(pilot, "m", "m")  # another text of the mode, and with it a new layout
        *_, above, said, keys = (await still(app, pilot)).splitlines()
        assert "Drives are slow while" in said
        assert "▏" in above
        assert "Take the key" in keys

    play(catalogue, part, (100, 30))
