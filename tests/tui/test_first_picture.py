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
from tests.tui.program import play
from tui.app import Lukewarm

LOADED = """
import json, sys
import tui.app, tui.ready_catalogue
print(json.dumps(sorted(sys.modules)))
"""
HEAVY = ("numpy", "numba", "scipy", "simpy", "yaml", "_hashlib")
LATER = (*HEAVY, "grading.practice", "tui.palette", "tui.progress", "tui.records", "tui.screens.getting_ready")


def test_what_the_board_does_not_show_is_not_loaded_for_it() -> None:
    ran = subprocess.run([sys.executable, "-c", LOADED], capture_output=True, text=True, encoding="utf-8", check=True)
    loaded = json.loads(ran.stdout)
    assert "tui.screens.board" in loaded
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
