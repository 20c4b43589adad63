"""What is looked for by name: checks, repairs, suspects and jobs; and lines that go on below."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from textual.content import Content
from textual.pilot import Pilot

from scenarios.model import Catalogue
from tests.tui.program import play, press, text_of
from tests.tui.small import small_catalogue
from tui.app.app import Lukewarm
from tui.app.screens.board import Board
from tui.app.screens.workshop import WorkshopScreen
from tui.app.widgets.offers import Offers
from tui.app.widgets.rows import Rows
from tui.app.widgets.suspects import Suspects
from tui.app.widgets.wrapping import wrapped
from tui.text.text import TextJob


@pytest.mark.parametrize(
    ("text", "first", "rest", "lines"),
    [
        ("short", 10, 10, ["short"]),
        ("exactly ten", 11, 4, ["exactly ten"]),
        ("one two three", 7, 20, ["one two", "three"]),
        ("one two three", 6, 5, ["one", "two", "three"]),
        ("overlongword here", 6, 8, ["overlo", "ngword", "here"]),
        ("  set in words", 7, 9, ["  set", "in words"]),
        ("日本語の名前", 4, 5, ["日本", "語の", "名前"]),
        ("", 5, 5, [""]),
        ("ab", 1, 1, ["a", "b"]),
    ],
)
def test_lines_break_between_words_and_lose_nothing(text: str, first: int, rest: int, lines: list[str]) -> None:
    assert [line.plain for line in wrapped(Content(text), first, rest)] == lines


def test_styles_survive_the_break() -> None:
    text = Content.assemble(("one two ", "bold"), ("three", "italic"))
    first, second = wrapped(text, 7, 7)
    assert [(span.start, span.end, span.style) for span in first.spans] == [(0, 7, "bold")]
    assert [(span.start, span.end, span.style) for span in second.spans] == [(0, 5, "italic")]


def _rows(app: Lukewarm, kind: type[Rows]) -> list[str]:
    return [row.id for row in app.screen.query_one(kind)._rows if row.id is not None]


def test_a_check_is_found_by_a_part_of_its_name_and_done_with_enter(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "2", "slash", *"ret INFR")
        assert isinstance(app.screen, WorkshopScreen)
        assert _rows(app, Offers) == ["heater-return-infrared"]
        assert "/ ret INFR" in text_of(app)
        assert app.screen.session.workshop.control("ignition") == 0.0  # no letter was taken for a key
        await press(pilot, "enter")
        assert [reading.check for reading in app.screen.session.readings] == ["heater-return-infrared"]
        assert len(_rows(app, Offers)) > 1
        await press(pilot, "slash", *"xyz")
        assert "Nothing by that name" in text_of(app)
        await press(pilot, "backspace", "backspace", "backspace")
        assert len(_rows(app, Offers)) > 1
        await press(pilot, "z", "escape")
        assert isinstance(app.screen, WorkshopScreen)
        assert "Nothing by that name" not in text_of(app)

    play(catalogue, part)


def test_suspects_and_repairs_are_found(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "s", "slash", *"open", "enter")
        await press(pilot, "escape", "s", "slash", *"open")
        assert _rows(app, Suspects) == ["thermostat-stuck-open"]
        assert "coolant low" not in text_of(app).split("nothing wrong")[0].split("/ open")[-1]
        await press(pilot, "tab")  # who goes elsewhere looks for nothing more
        assert len(_rows(app, Suspects)) == 3
        await press(pilot, "5", "slash", *"renew")
        assert _rows(app, Offers) == ["renew-thermostat"]

    play(catalogue, part)


def test_a_job_is_found_on_the_board(catalogue: Catalogue) -> None:
    job = catalogue.jobs["cold-tern"]
    two = replace(catalogue, jobs={job.id: job, "damp-tern": replace(job, id="damp-tern", title="Damp Tern")})

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "slash", *"damp qn")
        assert isinstance(app.screen, Board)  # Q does not leave, and N begins no job
        assert _rows(app, Rows) == []
        await press(pilot, "backspace", "backspace", "backspace")
        assert _rows(app, Rows) == ["damp-tern"]
        await press(pilot, "enter")
        assert isinstance(app.screen, WorkshopScreen)
        assert app.screen.session.job.id == "damp-tern"

    play(two, part)


def test_a_heading_stays_with_what_is_found_under_it(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "s", "slash", *"low")
        shown = [row.left.plain for row in app.screen.query_one(Suspects)._rows]
        assert shown[1:] == ["coolant", " · coolant low"]

    play(catalogue, part)


def test_plain_text_looks_for_a_name(catalogue: Catalogue) -> None:
    from grading.sessions.session import Session

    job = TextJob(catalogue, Session(catalogue, catalogue.jobs["cold-tern"], 1))
    found = job.answer("look Infrared heater-re")
    assert [check["id"] for check in found["checks"]] == ["heater-return-infrared"]
    assert (found["repairs"], found["faults"]) == ([], [])
    assert len(job.answer("look")["checks"]) == len(small_catalogue().checks)
