"""``python -m tests.tui.hostile_terminal N ...``: the terminal program on hostile catalogues, one after the other.

Every field of the catalogue, and every text that a record can hold, is the hostile text of that number; the program
walks through its screens by itself, to its debrief. What it writes is read by whoever holds the other end.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

import scenarios.files.loader
from grading.sessions.records import records_folder
from scenarios.model import Catalogue
from tests.tui.hostile import HOSTILE, hostile_catalogue
from tests.tui.program import Leaping, Ready, press, settle, still
from tui.app.app import Lukewarm
from tui.app.notices import Shelf
from tui.app.screens.debrief import Debrief
from tui.app.screens.workshop import WorkshopScreen
from tui.presentation.settings import Settings

WAY: tuple[tuple[str, ...], ...] = (
    ("question_mark",),
    ("escape", "p"),
    ("escape", "enter"),
    ("2", "down", "down", "down", "enter"),
    ("enter",),
    ("n", "c"),
    ("s", "right", "enter"),
    ("escape", "k"),
    ("5", "down"),
    ("4",),
    ("t",),
    ("escape", "g"),
    ("enter", "enter", "enter"),
    ("escape", "x"),
)


def write_record(text: str) -> Path:
    """A record that is not handed back, with the text in whatever of it a person typed."""
    notes = [["complaint", text], ["cause", text], ["correction", text], ["text", text], ["caution", text, "heeded"]]
    actions = [{"verb": "note", "arguments": [str(word) for word in words]} for words in notes]
    actions.append({"verb": "hint", "arguments": ["question", text, text]})
    lines: list[dict[str, Any]] = [{"kind": "job", "format": 1, "job": "cold-tern", "seed": 1, "mode": "guided"}]
    lines += [{"kind": "action", "number": k, "minute": 0.0, "minutes": 0.0, **a} for k, a in enumerate(actions, 1)]
    path = records_folder() / "cold-tern-hostile.jsonl"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    return path


def walk(catalogue: Catalogue) -> None:
    """Run the program through its screens."""

    async def part(pilot: Pilot[Any]) -> None:
        app = pilot.app
        assert isinstance(app, Lukewarm)
        await settle(pilot)
        while "◐" not in await still(app, pilot):  # records are read beside the screen
            await pilot.pause(0.02)
        for keys in WAY:
            await press(pilot, *keys)
            await still(app, pilot)
        assert isinstance(app.screen_stack[-2], WorkshopScreen), app.screen_stack
        await press(pilot, "enter")
        while not isinstance(app.screen, Debrief):
            await pilot.pause(0.02)
        for page in "123456":
            await press(pilot, page)
            await still(app, pilot)
        app.exit()

    app = Lukewarm(Shelf.of(catalogue), Ready(), Settings(mode="guided"), clock=Leaping())
    app.pace = 0.0
    app.run(auto_pilot=part)
    if app.return_code:
        sys.exit(app.return_code)


if __name__ == "__main__":
    for number in map(int, sys.argv[1:]):
        hostile = hostile_catalogue(HOSTILE[number]) if number >= 0 else hostile_catalogue("harmless")
        scenarios.files.loader.load_catalogue = lambda *folders, catalogue=hostile: catalogue
        record = write_record(HOSTILE[number] if number >= 0 else "harmless")
        walk(hostile)
        record.unlink()
