"""A whole job in the terminal program, by keys alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from grading.sessions.records import kept_records
from scenarios.actions import Action
from scenarios.model import Catalogue
from tests.tui.program import play, press, settle, text_of
from tui.app.app import Lukewarm
from tui.app.notices import Shelf
from tui.app.screens.board import Board
from tui.app.screens.caution import CautionSlip
from tui.app.screens.confirm import Confirm
from tui.app.screens.debrief import Debrief
from tui.app.screens.workshop import WorkshopScreen
from tui.app.widgets.key_line import KeyLine
from tui.app.widgets.offers import Offers
from tui.presentation.settings import load_settings

SIZES = [(80, 24), pytest.param((120, 40), marks=pytest.mark.slow), pytest.param((200, 60), marks=pytest.mark.slow)]


@pytest.mark.parametrize("size", SIZES)
def test_a_whole_job_by_keys_alone(catalogue: Catalogue, size: tuple[int, int]) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        assert isinstance(app.screen, WorkshopScreen)
        session = app.screen.session
        await press(pilot, "2", "down", "down", "down", "enter")  # the coolant level, cold
        assert isinstance(app.screen, CautionSlip)
        await press(pilot, "enter")
        assert [reading.shown for reading in session.readings] == ["no coolant to be seen"]
        assert session.workshop.place == "engine bay"
        await press(pilot, "s", "right", "enter", "9", "right", "enter")  # likely, and declared 95 % sure
        assert session.suspects == {"coolant-low": "likely"}
        assert session.diagnosis == ("coolant-low", 0.95)
        await press(pilot, "5", "enter")  # the repair; its caution was given already
        assert session.repairs == ["top-up"]
        await press(pilot, *["plus"] * 10, "b", "b", "e", "d", "enter")
        assert session.workshop.control("engine") == 1.0
        assert session.minute > 30.0
        await press(pilot, "1", "down", "enter")  # proof at the vents
        assert session.readings[-1].check == "vent-temperature"
        await press(pilot, "x")
        assert "Read since the last work: " in text_of(app)
        await press(pilot, "enter")
        await settle(pilot)
        assert isinstance(app.screen, Debrief)
        assert app.screen.grade.passed
        assert "passed" in text_of(app)
        for page in "123456":
            await press(pilot, page)
        await press(pilot, "3", "down", "down", "escape")
        assert isinstance(app.screen, Board)

    play(catalogue, part, size)
    (kept,) = kept_records()
    assert kept.grade is not None
    assert kept.grade["passed"] is True


def test_a_job_goes_on_where_it_was_left(catalogue: Catalogue) -> None:
    async def begin(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "i", "enter", "escape")
        assert isinstance(app.screen, Board)

    async def go_on(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "begun" in text_of(app)
        await press(pilot, "enter")
        assert isinstance(app.screen, WorkshopScreen)
        assert [reading.check for reading in app.screen.session.readings] == ["gauge"]

    play(catalogue, begin)
    play(catalogue, go_on)
    assert len(kept_records()) == 1


def test_what_needs_something_first_says_so_and_enter_does_both(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        assert "Ignition is off. Enter switches it on and" in text_of(app)
        await press(pilot, "enter")
        assert _done(app) == [("ignition", "on"), ("check", "gauge")]
        await press(pilot, "d")
        assert "The engine is stopped. Enter starts it and drives." in text_of(app)
        await press(pilot, "escape")
        assert _done(app)[2:] == []
        await press(pilot, "d", "enter")
        assert _done(app)[2:] == [("engine", "start"), ("drive", "15.0")]

    play(catalogue, part)


def test_a_caution_can_be_heeded_by_stepping_back(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "2", "down", "down", "down", "enter")
        assert isinstance(app.screen, CautionSlip)
        await press(pilot, "escape")
        assert isinstance(app.screen, WorkshopScreen)
        assert app.screen.session.readings == []
        notes = [entry.data["arguments"] for entry in app.screen.session.recorder.entries if entry.kind == "action"]
        assert notes == [["caution", "hot-cap", "heeded"]]

    play(catalogue, part)


def test_marks_can_be_undone_and_readings_compared(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "2", "down", "enter", "down", "enter", "n", "m")
        assert isinstance(app.screen, WorkshopScreen)
        assert "!" in text_of(app)
        await press(pilot, "c", "up")
        await pilot.pause()
        assert " K" in text_of(app)
        await press(pilot, "z", "o", "o", "o")
        assert "The last mark is taken back" in text_of(app)
        await press(pilot, "s", "right", "right", "z")
        assert app.screen.session.suspects == {"coolant-low": "likely"}

    play(catalogue, part)


def test_time_is_played_and_any_key_skips_it(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "e", "d")
        app.pace = 0.001  # the film alone would take an hour
        await pilot.press("enter")
        for _ in range(100):
            await pilot.pause(0.02)
            if "any key skips" in text_of(app):
                break
        assert "driving" in text_of(app)
        await press(pilot, "space")
        assert isinstance(app.screen, WorkshopScreen)
        assert not app.screen.busy
        assert app.screen.session.minute == 15.0

    play(catalogue, part)


def _done(app: Lukewarm) -> list[tuple[str, ...]]:
    """The verbs and first arguments in the record of the job that is open."""
    screen = next(screen for screen in app.screen_stack if isinstance(screen, WorkshopScreen))
    actions = [entry.action for entry in screen.session.recorder.entries if entry.kind == "action"]
    return [(action.verb, *map(str, action.arguments[:1])) for action in actions]


@pytest.mark.parametrize("pace", [0.0, 20.0])
def test_enter_twice_in_one_burst_does_one_thing(catalogue: Catalogue, pace: float) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "e")
        app.pace = pace
        offers = app.screen.query_one(Offers)
        await press(pilot, "4", *["down"] * 5)
        assert offers.current == "road-gauge"  # which is a drive of its own
        for _ in range(2):
            app.simulate_key("enter")
        await settle(pilot)
        assert _done(app) == [("engine", "start"), ("check", "road-gauge")]
        await press(pilot, "d")
        for _ in range(2):
            app.simulate_key("enter")
        await settle(pilot)
        assert _done(app)[2:] == [("drive", "15.0")]
        await press(pilot, "2", "enter")  # and what is asked for afterwards is done
        assert len(_done(app)) == 4

    play(catalogue, part)


@pytest.mark.parametrize("key", ["enter", *(pytest.param(key, marks=pytest.mark.slow) for key in ("u", "escape"))])
def test_enter_twice_before_a_caution_asks_once(catalogue: Catalogue, key: str) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "2", "down", "down", "down")
        screen = app.screen
        for _ in range(2):
            app.simulate_key("enter")
        await settle(pilot)
        assert isinstance(app.screen, CautionSlip)
        assert isinstance(screen, WorkshopScreen)
        await press(pilot, key)
        assert app.screen is screen
        assert not screen.busy
        assert _done(app) == [("note", "caution"), *([] if key == "escape" else [("check", "coolant-level-cold")])]

    play(catalogue, part)


def test_what_goes_wrong_while_time_passes_leaves_the_workshop_usable(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "e")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        with monkeypatch.context() as patched:
            patched.setattr(screen.desk, "do", lambda action: 1 / 0)
            with pytest.raises(ZeroDivisionError):
                screen.busy = True
                await screen._perform(Action("idle", (5.0,)))
        assert not screen.busy

    play(catalogue, part)


def test_time_can_pass_at_once_if_one_likes(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    async def turn_off(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.action_animation()
        assert (app.pace, app.animation_level) == (0.0, "none")
        assert not load_settings().animation

    play(catalogue, turn_off)
    kept = load_settings()
    assert Lukewarm(Shelf.of(catalogue), settings=kept).pace == 0.0
    turned_on = Lukewarm(Shelf.of(catalogue), settings=kept._replace(animation=True))
    assert turned_on.pace == 1.0
    monkeypatch.setattr("textual.constants.TEXTUAL_ANIMATIONS", "none")
    assert Lukewarm(Shelf.of(catalogue), settings=kept._replace(animation=True)).pace == 0.0


def test_keys_before_a_screen_is_there_do_no_harm(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        unseen = WorkshopScreen(screen.session)
        for action in ("heater(10)", "undo", "side('notebook')", "notes('mark')", "ask('drive')", "hand_back"):
            assert not unseen.check_action(action.split("(")[0], ())
            await app.run_action(action, unseen)
        assert app.screen is screen
        assert screen.session.workshop.control("heater") == 0.0

    play(catalogue, part)


def test_keys_of_one_burst_are_taken_in_their_order(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "e", "d")
        for key in (*["backspace"] * 4, "2", "0", "enter"):
            app.simulate_key(key)
        await settle(pilot)
        assert isinstance(app.screen, WorkshopScreen)
        assert app.screen.session.minute == 20.0

    play(catalogue, part)


def test_the_palette_takes_phrases(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "ctrl+p")
        await press(pilot, *"set heater 70".replace(" ", "_").replace("_", " "))
        await pilot.pause(0.3)
        await press(pilot, "enter")
        await pilot.pause(0.3)
        workshop = next(screen for screen in app.screen_stack if isinstance(screen, WorkshopScreen))
        assert workshop.session.workshop.control("heater") == 0.7

    play(catalogue, part)


def test_help_lists_the_keys_of_every_screen(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "question_mark")
        assert "Take the key" in text_of(app)
        await press(pilot, "escape", "enter", "question_mark")
        assert "Hand back" in text_of(app)
        assert "This is training" in text_of(app) or app.size.height < 40

    play(catalogue, part, (120, 60))


def test_fahrenheit_is_a_key_away(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "2 °C" in text_of(app)
        await press(pilot, "f")
        assert "36 °F" in text_of(app)
        await press(pilot, "f")

    play(catalogue, part)


@pytest.mark.parametrize("size", [(79, 24), (80, 23), (20, 5)])
def test_a_terminal_too_small_says_what_is_needed(catalogue: Catalogue, size: tuple[int, int]) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "needs 80 x 24" in text_of(app)
        await pilot.resize_terminal(100, 30)
        await settle(pilot)
        assert "lukewarm" in text_of(app).replace(" ", "")

    play(catalogue, part, size)


def test_at_most_six_keys_in_the_footer(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        for keys in ((), ("enter",), ("n",), ("s",), ("k",)):
            await press(pilot, *keys)
            await pilot.pause()
            assert 3 <= len(app.screen.query_one(KeyLine).keys) <= 6

    play(catalogue, part)


def test_a_record_that_cannot_go_on_says_so(
    catalogue: Catalogue, records: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    records.mkdir(parents=True)
    lines = (
        '{"kind": "job", "format": 1, "job": "cold-tern", "seed": 1}',
        '{"kind": "action", "verb": "check", "arguments": ["gone"], "minute": 0, "minutes": 1}',
    )
    (records / "cold-tern-2001.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")

    told: list[str] = []
    monkeypatch.setattr(Lukewarm, "notify", lambda self, message, **options: told.append(message))

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        assert isinstance(app.screen, Board)
        assert ["cannot be done again" in message for message in told] == [True]
        await press(pilot, "n")
        assert isinstance(app.screen, WorkshopScreen)

    play(catalogue, part, (120, 40))


def test_a_screen_goes_only_from_the_top(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "x", "question_mark")
        helping, asking = app.screen, app.screen_stack[-2]
        asking.dismiss(None)  # as a key that was on its way when the help came up
        asking.dismiss(None)
        assert app.screen is helping
        await press(pilot, "escape")
        assert app.screen is asking
        await press(pilot, "escape")
        assert isinstance(app.screen, WorkshopScreen)

    play(catalogue, part)


def test_a_debrief_comes_after_the_help_that_is_read(catalogue: Catalogue) -> None:
    from tui.app.screens.marking import Marking

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "x", "enter")
        app.simulate_key("enter")
        while not isinstance(app.screen, Marking):
            await pilot.pause(0.001)
        marking = app.screen
        app.action_help()
        helping = app.screen
        while any(worker.is_running for worker in app.workers):
            await pilot.pause(0.02)
        await pilot.pause(0.3)
        assert app.screen is helping
        assert marking in app.screen_stack
        await press(pilot, "escape")
        while not isinstance(app.screen, Debrief):
            await pilot.pause(0.02)
        assert marking not in app.screen_stack

    play(catalogue, part)


@pytest.mark.parametrize(("key", "card"), [("enter", ()), ("n", ("not to be driven",))])
def test_the_keys_go_back_with_or_without_a_line_on_the_card(
    catalogue: Catalogue, key: str, card: tuple[str, ...]
) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        screen.action_hand_back()
        await pilot.pause()
        await press(pilot, "escape")
        assert app.screen is screen
        screen.action_hand_back()
        await pilot.pause()
        await press(pilot, key)
        assert isinstance(app.screen, Confirm)  # nothing was done
        await press(pilot, "enter")
        actions = [entry.action for entry in screen.session.recorder.entries if entry.kind == "action"]
        assert actions == [Action("handback", card)]

    play(catalogue, part)
