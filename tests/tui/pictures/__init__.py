"""The pictures of README.md: screens of the program itself, on its own jobs, drawn as SVG without outside fonts."""

from __future__ import annotations

import re
from contextlib import AbstractContextManager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from unittest.mock import patch

from textual.pilot import Pilot

import grading.sessions.records
from grading.sessions.record import as_bytes
from grading.sessions.session import Session
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue
from tests.tui.first_job import steps
from tests.tui.program import play, press, settle, still
from tui.app.app import Lukewarm
from tui.app.screens.debrief import Debrief
from tui.app.screens.workshop import WorkshopScreen
from tui.presentation.curves.truth import true_course
from tui.presentation.marking.graded_record import graded_record
from tui.text.phrases import parse

FOLDER = Path(__file__).parent
JOB = "quiet-dash"
SIZE = (112, 34)
UNTIL_THE_WORKSHOP = 6
"""How much of the first job is done where the workshop is drawn [commands]."""
_FONT = re.compile(r"@font-face\s*\{.*?\}", re.DOTALL)
_WORD = re.compile(r"[^\W\d_]{2,}")


def words(picture: str) -> list[str]:
    """The words of a picture in order; figures and bars move whenever the physics is tuned, words do not."""
    texts = re.findall(r"<text[^>]*>(.*?)</text>", picture, re.DOTALL)
    return _WORD.findall(" ".join(re.sub(r"&#?\w+;", " ", text) for text in texts))


def draw(catalogue: Catalogue | None = None) -> dict[str, str]:
    """Name and SVG of every picture: the job board, the workshop in the first job, its debrief."""
    whole = catalogue or packaged_catalogue()
    commands = [parse(step.command) for step in steps() if step.command != "look"]
    pictures: dict[str, str] = {}

    def session_after(count: int | None) -> Session:
        session = Session(whole, whole.jobs[JOB], 1)
        for action in commands[:count]:
            refused = session.do(action).refused
            assert refused is None, refused
        return session

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        async def take(name: str) -> None:
            await still(app, pilot)
            pictures[name] = _FONT.sub("", app.export_screenshot(title="lukewarm", simplify=True))

        await press(pilot, *["down"] * list(whole.jobs).index(JOB))
        await take("board")
        app.push_screen(WorkshopScreen(session_after(UNTIL_THE_WORKSHOP)))
        await settle(pilot)
        await press(pilot, "3")
        await take("workshop")
        session = session_after(None)
        entries = session.recorder.entries
        graded = graded_record(whole, as_bytes(entries), Path("record"))
        app.push_screen(
            Debrief(entries, graded.grade, graded.sections, true_course(whole, entries), graded.ways, graded.sound)
        )
        await settle(pilot)
        await press(pilot, "3", *["down"] * 4)
        await take("debrief")

    with TemporaryDirectory() as empty, _no_records(Path(empty)):
        play(whole, part, SIZE)
    return pictures


def _no_records(folder: Path) -> AbstractContextManager[Any]:
    return patch.object(grading.sessions.records, "records_folder", lambda: folder)
