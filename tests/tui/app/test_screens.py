"""Every screen as text, at three sizes, against what it was when last read over; and its colours by contrast.

After a change that is meant: ``python -m pytest tests/tui/app/test_screens.py --snapshot-update``; read the difference.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import AsyncIterator, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from rich.color import Color
from syrupy.assertion import SnapshotAssertion
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.graded import fixed_debrief
from tests.tui.kept import write_record
from tests.tui.program import play, press, settle, still, strips_of
from tests.tui.terminal import plain, shown
from tui.app.app import Lukewarm
from tui.app.screens.getting_ready import GettingReady
from tui.app.screens.marking import Marking
from tui.app.screens.workshop import WorkshopScreen
from tui.app.theme import NO_COLOUR
from tui.app.warm_up import Physics
from tui.app.widgets.passing import Passing
from tui.presentation.settings import Settings

LARGEST = (200, 60)
SIZES = [
    (80, 24),
    pytest.param((120, 40), marks=pytest.mark.slow, id="120x40"),
    pytest.param(LARGEST, marks=pytest.mark.slow, id="200x60"),
]
TOUR: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("board", ()),
    ("progress", ("p",)),
    ("board help", ("escape", "question_mark")),
    ("another vehicle", ("escape", "v")),
    ("due again", ("escape", "down")),
    ("vehicle of the day", ("down",)),
    ("workshop", ("up", "up", "enter")),
    ("workshop help", ("question_mark",)),
    ("engine bay", ("escape", "2", "down", "down", "down")),
    ("caution", ("enter",)),
    ("reading", ("enter",)),
    ("suspects", ("s", "right", "down", "left", "left")),
    ("diagnosis", ("enter",)),
    ("declared", ("right", "enter")),
    ("declared beside it", ("up", "enter")),
    ("bench", ("escape", "5")),
    ("on the road", ("4",)),
    ("driving", ("d",)),
    ("wrong figure", (*["backspace"] * 2, *"9999", "enter")),
    ("job card", ("escape", "k")),
    ("notebook", ("n", "c")),
    ("controls", ("i", "plus", "b", "v", "a")),
    ("write up", ("t", *"no heat here", "enter")),
    ("written", (*"coolant was low", "enter", "enter")),
    ("hand back", ("x",)),
    ("palette", ("escape", "ctrl+p")),
    ("guided", ("escape", "escape", "m", "m")),
    ("guided workshop", ("n",)),
    ("hint offered", ("g",)),
    ("question", ("enter",)),
    ("explanation", ("enter", "enter")),
    ("exam chosen", ("escape", "escape", "m", "m")),
    ("how long", ("n",)),
    ("exam", ("enter",)),
    ("exam palette", ("ctrl+p",)),
)
WHEN = 1_000_000_000.0
"""The moment at which all of it takes place [s since 1970]."""


def _write_marked_records(records: Path) -> None:
    """One of a job that is there, with a wrong diagnosis, and some of a job that is no longer."""
    for number, (job, total, passed) in enumerate(
        [("old-tern", total, total >= 70.0) for total in (35.0, 52.0, 78.0, 64.0, 91.0)] + [("cold-tern", 71.0, True)]
    ):
        declared = [("diagnose", ["thermostat-stuck-open", 60.0])] if job == "cold-tern" else []
        criteria = {"diagnosis": total, "efficiency": total - 20.0, "safety": 100.0 - total / 2.0}
        marks = {"total": total, "passed": passed, "criteria": criteria, "competences": {"unit 4": total}}
        path = records / f"{job}-2001-02-0{number + 1}-040506.jsonl"
        write_record(path, job, [*declared, ("handback", [])], marks, WHEN + number)


@pytest.fixture(autouse=True)
def clock_stands_still(monkeypatch: pytest.MonkeyPatch) -> None:
    """Exams begin and no second of theirs passes; nothing marks beside the screen."""
    for module in ("grading.sessions.openings", "tui.app.screens.workshop_view", "tui.app.board_contents"):
        monkeypatch.setattr(f"{module}.now", lambda: WHEN)
    monkeypatch.setattr("tui.presentation.between_jobs.numbers.today", lambda: date(2001, 2, 9))
    monkeypatch.setattr("tui.presentation.between_jobs.numbers.secrets.randbelow", lambda most: 4711)
    monkeypatch.setattr(Marking, "mark", lambda self: None)


async def tour(app: Lukewarm, pilot: Pilot[Any]) -> AsyncIterator[tuple[str, str]]:
    """Name and text of every screen but the debrief: those that keys lead to, then those that go away by themselves."""
    for name, keys in TOUR:
        await press(pilot, *keys)
        yield name, await still(app, pilot)
    await press(pilot, "escape")
    assert isinstance(app.screen, WorkshopScreen)
    app.screen.pass_time(True)
    app.screen.query_one(Passing).tell("driving, engine 2000 rpm", 0.4)
    yield "time passes", await still(app, pilot)
    for name, screen in (("marking", Marking([], None)), ("getting ready", GettingReady(Physics()))):
        app.push_screen(screen)
        await settle(pilot)
        yield name, await still(app, pilot)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_every_screen(catalogue: Catalogue, records: Path, size: tuple[int, int], snapshot: SnapshotAssertion) -> None:
    _write_marked_records(records)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        weak: dict[str, float] = {}
        async for name, text in tour(app, pilot):
            assert text == snapshot(name=name)
            weak |= _weak_texts(app, name)
        assert not weak

    play(catalogue, part, size, painted=True)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_by_day_and_without_colour_the_same_words_stand_at_the_same_places(
    catalogue: Catalogue, records: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: dict[str, list[tuple[str, str]]] = {}

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        seen[app.theme] = [screen async for screen in tour(app, pilot)]

    for theme in ("lamplight", "daylight", NO_COLOUR):
        if theme == NO_COLOUR:
            monkeypatch.setenv("NO_COLOR", "1")
        shutil.rmtree(records, ignore_errors=True)
        _write_marked_records(records)
        play(catalogue, part, size, Settings(theme=theme))
    assert len(seen) == 3
    assert seen["lamplight"] == seen["daylight"] == seen[NO_COLOUR]


@pytest.mark.parametrize("size", [(79, 24), (20, 5)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_too_small(catalogue: Catalogue, size: tuple[int, int], snapshot: SnapshotAssertion) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert await still(app, pilot) == snapshot

    play(catalogue, part, size, painted=True)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_debrief(catalogue: Catalogue, size: tuple[int, int], snapshot: SnapshotAssertion) -> None:
    debrief = fixed_debrief(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(debrief)
        await settle(pilot)
        for page in "123456":
            await press(pilot, page)
            assert await still(app, pilot) == snapshot(name=page)

    play(catalogue, part, size, painted=True)


def test_a_step_of_the_debrief_fills_the_room_there_is(catalogue: Catalogue) -> None:
    texts = []

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(fixed_debrief(catalogue))
        await settle(pilot)
        await press(pilot, "3", "down", "down")
        if app.size.width != 120:
            await pilot.resize_terminal(120, 40)
        texts.append(await still(app, pilot))

    play(catalogue, part, (120, 40))
    play(catalogue, part, (80, 40))
    assert texts[0] == texts[1]


COLOURS = {*range(30, 39), *range(40, 49), *range(90, 98), *range(100, 108)}
"""Codes that choose a colour (ECMA-48, select graphic rendition, and the bright ones of common terminals)."""
LEAST_CONTRAST = 4.5
"""Contrast of text against what is behind it: WCAG 2.1, success criterion 1.4.3, level AA (M)."""


def _luminance(color: Color) -> float:
    """Relative luminance (WCAG 2.1)."""
    channels = [channel / 255.0 for channel in color.get_truecolor()]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _texts(app: Lukewarm) -> Iterator[tuple[str, float]]:
    for strip in strips_of(app):
        for segment in strip:
            style = segment.style
            if style is None or style.color is None or style.bgcolor is None or style.dim:
                continue
            if any(mark.isalnum() for mark in segment.text):
                a, b = sorted((_luminance(style.color), _luminance(style.bgcolor)))
                yield segment.text, (b + 0.05) / (a + 0.05)


def _weak_texts(app: Lukewarm, name: str) -> dict[str, float]:
    """Texts of a screen of that name that do not stand out, with their contrast; what a slip covers is dimmed."""
    if app.screen.is_modal:
        return {}
    return {f"{name}: {text}": ratio for text, ratio in _texts(app) if ratio < LEAST_CONTRAST}


@pytest.mark.slow
def test_all_text_stands_out_by_daylight(catalogue: Catalogue) -> None:
    """In the usual colours `test_every_screen` looks."""

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        weak: dict[str, float] = {}
        for name, keys in TOUR:
            await press(pilot, *keys)
            weak |= _weak_texts(app, name)
        assert not weak

    play(catalogue, part, settings=Settings(theme="daylight"))


def test_no_colour_is_no_loss(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")

    async def part(app: Lukewarm, pilot: Pilot[Any], written: list[str]) -> None:
        assert app.theme == "ansi-dark"
        await settle(pilot)
        await press(pilot, "enter", "s", "down")
        cursors = [line for line in (await still(app, pilot)).splitlines() if "▸" in line]
        assert len(cursors) == 1
        assert "thermostat" in cursors[0]

    written = "".join(shown(catalogue, part, (80, 24)))
    assert "thermostat" in plain(written)
    codes = {int(code) for codes in re.findall(r"\x1b\[([0-9;]+)m", written) for code in codes.split(";")}
    assert not codes & COLOURS, codes
