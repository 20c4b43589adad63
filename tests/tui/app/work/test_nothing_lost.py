"""Nothing that was typed is lost, and no key answers a question that nobody has read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding
from textual.pilot import Pilot

from grading.sessions.openings import begin, hand_in, mode_of
from grading.sessions.record import read_record
from grading.sessions.records import kept_records
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue
from tests.tui.program import play, press, settle, text_of
from tui.app.app import Lukewarm
from tui.app.screens.ask_time import AskTime
from tui.app.screens.board import Board
from tui.app.screens.caution import SKIP, CautionSlip
from tui.app.screens.confirm import Confirm
from tui.app.screens.slip import DEAF_SECONDS
from tui.app.screens.workshop import WorkshopScreen
from tui.app.screens.workshop_keys import KEYS
from tui.app.screens.write_up import WriteUp
from tui.presentation.settings import Settings


class Held:
    """A clock that moves only when it is told to."""

    def __init__(self) -> None:
        self.time = 0.0

    def __call__(self) -> float:
        return self.time


def _session(app: Lukewarm) -> Session:
    return next(screen.session for screen in app.screen_stack if isinstance(screen, WorkshopScreen))


def _notes(session: Session) -> list[tuple[str | float, ...]]:
    entries = [entry for entry in session.recorder.entries if entry.kind == "action"]
    return [entry.action.arguments for entry in entries if entry.data["verb"] == "note"]


def test_what_is_typed_survives_escape_and_the_program(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tui.app.screens.write_up.KEPT_AFTER", 60.0)  # a slow machine must not pause between two keys

    async def leave(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "t", *"no heat", "enter", *"coolant low", "escape")
        assert isinstance(app.screen, WorkshopScreen)
        assert "Kept as a draft, not written down yet: complaint, cause." in text_of(app)
        await press(pilot, "t", "tab", "tab", *"quit now")
        await app.action_quit()

    async def come_back(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "t")
        assert isinstance(app.screen, WriteUp)
        assert [field.value for field in app.screen.query("Field")] == ["no heat", "coolant low", "quit now"]  # pyright: ignore[reportAttributeAccessIssue]
        assert _notes(_session(app)) == []

    play(catalogue, leave)
    (kept,) = kept_records()
    drafts = [(entry.data["what"], entry.data["text"]) for entry in read_record(kept.path) if entry.kind == "draft"]
    assert drafts == [("complaint", "no heat"), ("cause", "coolant low"), ("correction", "quit now")]
    play(catalogue, come_back)


def test_what_is_typed_is_kept_while_it_is_typed(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tui.app.screens.write_up.KEPT_AFTER", 0.001)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "t", *"cold")
        kept = [entry.data["text"] for entry in _session(app).recorder.entries if entry.kind == "draft"]
        while not kept or kept[-1] != "cold":
            await pilot.pause(0.01)
            kept = [entry.data["text"] for entry in _session(app).recorder.entries if entry.kind == "draft"]
        assert isinstance(app.screen, WriteUp)

    play(catalogue, part)


def test_a_line_counts_its_words_and_is_written_down_from_three_on(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "t", *"no heat")
        assert "– 2 words, 3 are needed" in text_of(app)
        await press(pilot, *" here")
        assert "✓ 3 words" in text_of(app)
        await press(pilot, "enter", *"low", "enter", "enter")
        assert _notes(_session(app)) == [("complaint", "no heat here")]
        assert "Kept as a draft, not written down yet: cause." in text_of(app)
        await press(pilot, "x")
        assert "Kept as a draft, not written down yet: cause." in text_of(app)

    play(catalogue, part)


def test_an_exam_hands_in_what_was_typed(catalogue: Catalogue, tmp_path: Path) -> None:
    session = begin(catalogue, catalogue.jobs["cold-tern"], 1, tmp_path / "exam.jsonl", mode_of("exam", 10.0))
    session.do(Action("note", ("cause", "the coolant is low")))
    session.draft("cause", "the coolant is")
    session.draft("complaint", "no heat at all")
    hand_in(session)
    assert _notes(session) == [("cause", "the coolant is low"), ("complaint", "no heat at all")]
    assert session.finished


def test_when_an_exam_ends_what_is_being_typed_goes_in(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    times = {"now": 1000.0}
    for module in ("grading.sessions.openings", "tui.app.screens.workshop", "tui.app.screens.workshop_view"):
        monkeypatch.setattr(f"{module}.now", lambda: times["now"])
    told: list[str] = []
    monkeypatch.setattr(Lukewarm, "notify", lambda self, message, **options: told.append(message))

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "enter")
        workshop = app.screen
        assert isinstance(workshop, WorkshopScreen)
        workshop._mind_the_clock()
        assert told == []
        for left, said in ((301.0, []), (299.0, ["5"]), (200.0, ["5"]), (59.0, ["5", "1"]), (30.0, ["5", "1"])):
            times["now"] = 1000.0 + 1800.0 - left
            workshop._mind_the_clock()
            assert [message.split()[4] for message in told] == said
        await press(pilot, "t", *"no heat at all")
        times["now"] = 3000.0
        workshop._mind_the_clock()
        assert _notes(workshop.session) == [("complaint", "no heat at all")]
        assert workshop.session.finished
        await settle(pilot)

    play(catalogue, part, settings=Settings(mode="exam"))


def test_an_early_key_answers_no_question(catalogue: Catalogue) -> None:
    clock = Held()

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "2", "down", "down", "down", "enter")
        assert isinstance(app.screen, CautionSlip)
        await press(pilot, SKIP, "enter", "escape")
        assert isinstance(app.screen, CautionSlip)
        clock.time = DEAF_SECONDS * 0.99
        await press(pilot, SKIP, "enter", "escape")
        assert isinstance(app.screen, CautionSlip)
        assert _notes(_session(app)) == []
        clock.time = DEAF_SECONDS * 1.01
        await press(pilot, "enter")
        assert _notes(_session(app)) == [("caution", "hot-cap", "heeded")]
        await press(pilot, "e", "d", *"20", "enter")  # text is taken at once, the answer is not
        assert isinstance(app.screen, AskTime)
        clock.time += DEAF_SECONDS * 1.01
        await press(pilot, "enter")
        assert _session(app).minute == pytest.approx(1.5 + 20.0, abs=1.0)

    play(catalogue, part, clock=clock)


def test_the_key_that_skips_a_caution_means_nothing_else() -> None:
    keys = {key for binding in [*KEYS, *Board.BINDINGS, *Lukewarm.BINDINGS] for key in _keys(binding)}
    assert SKIP not in keys
    assert SKIP.upper() not in keys


def _keys(binding: Any) -> list[str]:
    return (binding.key if isinstance(binding, Binding) else binding[0]).split(",")


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [("7,5", 7.5), *(pytest.param(*one, marks=pytest.mark.slow) for one in (("7.5", 7.5), ("40", 40.0)))],
)
def test_a_figure_may_have_a_comma(catalogue: Catalogue, typed: str, minutes: float) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "e", "l", *typed, "enter")
        assert _session(app).minute == minutes

    play(catalogue, part)


def test_a_figure_that_is_hardly_meant_is_asked_back(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "e", "l", *"75", "enter")
        assert isinstance(app.screen, AskTime)
        assert "75 minutes are far more than usual. Did you mean 7.5?" in text_of(app)
        await press(pilot, "backspace", "backspace", *"76", "enter")
        assert isinstance(app.screen, AskTime)  # another figure is asked back again
        await press(pilot, "enter")
        assert _session(app).minute == 76.0

    play(catalogue, part)


def test_an_untouched_job_is_not_handed_back_by_accident(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "x", "enter")
        assert isinstance(app.screen, Confirm)
        assert "Nothing was checked, diagnosed or repaired." in text_of(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, WorkshopScreen)
        assert not _session(app).finished

    play(catalogue, part)


def test_a_job_that_was_begun_can_be_put_away(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "escape", "a")
        assert isinstance(app.screen, Confirm)
        await press(pilot, "escape")
        assert [kept.open for kept in kept_records()] == [True]
        await press(pilot, "a", "enter")
        assert [kept.given_up for kept in kept_records()] == [True]
        assert "begun" not in text_of(app)
        await press(pilot, "a")
        assert isinstance(app.screen, Board)

    play(catalogue, part)


def test_an_exam_is_not_put_away(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[str] = []
    monkeypatch.setattr(Lukewarm, "notify", lambda self, message, **options: told.append(message))

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "enter", "escape")
        told.clear()
        await press(pilot, "a", "n")  # nor is another one asked about while it is open
        assert isinstance(app.screen, Board)
        assert told == [
            "An exam is handed in, not put away.",
            "An exam of this job is not handed in: Enter goes on with it.",
        ]
        assert [kept.open for kept in kept_records()] == [True]

    play(catalogue, part, settings=Settings(mode="exam"))
