"""What the first picture waits for: nothing that the board does not show, and no drawing that nobody sees."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest
from textual._compositor import Compositor
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import play, press, still, text_of
from tui.app.app import Lukewarm
from tui.app.screens.board import Board

LOADED = """
import json, sys
import tui.commands.command
tui.commands.command.load_asyncio()
import tui.app.app, tui.app.ready_catalogue
assert tui.app.ready_catalogue.ready_catalogue().notices
print(json.dumps(sorted(sys.modules)))
"""
HEAVY = ("numpy", "numba", "scipy", "simpy", "yaml", "_hashlib")
LATER = (
    *HEAVY,
    "argparse",
    "grading.marks.practice",
    "scenarios.files.loader",
    "scenarios.model",
    "ssl",
    "tui.app.palette",
    "tui.presentation.progress",
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


def test_nothing_is_drawn_that_may_not_be_shown_yet(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = []
    render = Compositor.render_update

    def counted(self: Compositor, *arguments: Any, **options: Any) -> Any:
        drawn.append(self)
        return render(self, *arguments, **options)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        with app.batch_update():
            drawn.clear()
            app.screen._compositor_refresh()  # as when a screen comes to the top
            assert drawn == []
        app.screen.refresh()
        await pilot.pause()
        assert drawn != []

    monkeypatch.setattr(Compositor, "render_update", counted)
    play(catalogue, part)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_the_first_picture_is_of_the_whole_board(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    pictures = []
    render = Compositor.render_update

    def kept(self: Compositor, *arguments: Any, **options: Any) -> Any:
        pictures.append("\n".join(strip.text for strip in self.render_strips()))
        return render(self, *arguments, **options)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await still(app, pilot)
        for text in (
            "vehicles whose cabin",
            "▸○ Cold Tern",
            "“",
            "● free",
            "The vehicles are ready.",
            "Enter Take the key",
        ):
            assert text in pictures[0], text

    monkeypatch.setattr(Compositor, "render_update", kept)
    play(catalogue, part, size)


def test_a_terminal_too_small_for_the_board_is_told_so_at_once(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert not app._batch_count
        assert "needs 80 x" in text_of(app)

    play(catalogue, part, (10, 3))


def test_what_is_said_of_the_physics_takes_no_more_lines_than_it_fills(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.physics.ready.clear()
        app.physics.compiling = True
        assert isinstance(app.screen, Board)
        app.screen.redraw()
        await press(pilot, "m", "m")  # another text of the mode, and with it a new layout
        *_, above, said, keys = (await still(app, pilot)).splitlines()
        assert "once on this machine" in said
        assert "▏" in above
        assert "Take the key" in keys

    play(catalogue, part, (100, 30))
