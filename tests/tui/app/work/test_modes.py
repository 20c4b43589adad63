"""Guided jobs and exams, in plain text and in the terminal program."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from grading.sessions.modes import GUIDED, RUNGS
from grading.sessions.record import read_record
from grading.sessions.records import kept_records
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue
from tests.tui.program import play, press, settle, still, text_of
from tui.app.app import Lukewarm
from tui.app.screens.caution import CautionSlip
from tui.app.screens.debrief import Debrief
from tui.app.screens.hint import HintSlip
from tui.app.screens.workshop import WorkshopScreen
from tui.presentation.settings import Settings, load_settings
from tui.text.text import TextJob

Run = Callable[..., tuple[int, str, str]]
JOB = "cold-tern"


def told(run: Run, *lines: str, options: tuple[str, ...] = ()) -> list[dict[str, Any]]:
    _, output, _ = run("text", JOB, "--format", "json", *options, lines=lines)
    return [json.loads(line) for line in output.splitlines()]


def newest(records: Path) -> Path:
    return max(records.glob("*.jsonl"), key=lambda path: path.stat().st_mtime_ns)


def let_time_run_out(record: Path) -> None:
    first, *rest = record.read_text(encoding="utf-8").splitlines(keepends=True)
    begun = json.loads(first)
    record.write_text(json.dumps(begun | {"begun": begun["begun"] - 3600.0}) + "\n" + "".join(rest), encoding="utf-8")


def test_a_hint_comes_in_three_steps_and_is_in_record_and_debrief(lukewarm: Run, records: Path) -> None:
    answers = told(lukewarm, *["hint"] * 4, "diagnose none 20", "handback", options=("--mode", "guided"))
    assert [answer["hint"]["rung"] for answer in answers[:4]] == [*RUNGS, None]
    assert [answer["hint"]["marks"] for answer in answers[:4]] == [1.0, 2.0, 4.0, 0.0]
    assert answers[-1]["grade"]["hints"] == 7.0
    assert answers[-1]["grade"]["mode"] == "guided"
    record = newest(records)
    hints = [entry.action for entry in read_record(record) if entry.kind == "action" and entry.data["verb"] == "hint"]
    assert [hint.text(0) for hint in hints] == list(RUNGS)
    _, story, _ = lukewarm("debrief", str(record))
    assert story.count(answers[0]["hint"]["text"][:60]) >= 2
    assert "Hints took 7 marks off." in story
    assert "Mode: guided" in story


def test_a_hint_survives_a_resume(lukewarm: Run, records: Path) -> None:
    first = told(lukewarm, "hint", options=("--mode", "guided"))
    second = told(lukewarm, "hint", options=("--resume",))
    assert [answer["hint"]["rung"] for answer in first + second] == list(RUNGS[:2])


@pytest.mark.parametrize("mode", ["free", "exam"])
def test_elsewhere_a_hint_is_refused(lukewarm: Run, mode: str) -> None:
    (answer,) = told(lukewarm, "hint", options=("--mode", mode))
    assert "expected" in answer["error"]


@pytest.mark.parametrize(
    "options",
    [
        ("--mode", "open"),
        ("--minutes", "10"),
        ("--mode", "guided", "--minutes", "10"),
        ("--mode", "exam", "--minutes", "0"),
        ("--mode", "exam", "--minutes", "nan"),
        ("--mode", "exam", "--resume"),
    ],
)
def test_a_mode_that_cannot_be_is_refused(lukewarm: Run, options: tuple[str, ...]) -> None:
    status, output, errors = lukewarm("text", JOB, *options)
    assert (status, output) == (2, "")
    assert "expected" in errors


def test_an_exam_is_handed_in_when_its_time_has_run_out(lukewarm: Run, records: Path) -> None:
    answers = told(lukewarm, "look", "ignition on", options=("--mode", "exam", "--minutes", "20"))
    assert 0.0 < answers[0]["seconds_left"] <= 1200.0
    record = newest(records)
    status, output, _ = lukewarm("text", JOB, "--resume", "--format", "json", lines=("look",))
    assert status == 1
    let_time_run_out(record)
    status, output, _ = lukewarm("text", JOB, "--resume", "--format", "json", lines=("check gauge", "look"))
    assert status == 0
    (last,) = [json.loads(line) for line in output.splitlines()]
    assert last["grade"]["passed"] is False
    assert any("time ran out" in reason for reason in last["grade"]["reasons"])
    actions = [entry.action for entry in read_record(record) if entry.kind == "action"]
    assert [action.verb for action in actions] == ["ignition", "handback"]
    assert actions[-1].arguments == ("time",)


def test_nobody_is_waited_for_when_the_time_runs_out(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    import io
    import threading

    from grading.sessions.openings import mode_of
    from tui.text.conversation import converse

    session = Session(catalogue, catalogue.jobs[JOB], 1, mode=mode_of("exam", 1.0))
    asleep = threading.Event()

    def typing():
        yield "ignition on"
        monkeypatch.setattr("grading.sessions.openings.now", lambda: (session.mode.begun or 0.0) + 61.0)
        monkeypatch.setattr("tui.text.conversation.now", lambda: (session.mode.begun or 0.0) + 61.0)
        asleep.wait()
        yield "never typed"

    sink = io.StringIO()
    converse(TextJob(catalogue, session), typing(), sink, "plain")
    asleep.set()
    assert session.finished
    assert "Time is up" in sink.getvalue()


def test_while_an_exam_is_open_nothing_of_its_job_is_told(lukewarm: Run, records: Path) -> None:
    told(lukewarm, "diagnose none 20", "handback")
    done = newest(records)
    told(lukewarm, "ignition on", options=("--mode", "exam"))
    status, output, errors = lukewarm("debrief", str(done))
    assert (status, output) == (2, "")
    assert "exam" in errors
    status, output, errors = lukewarm("text", JOB, "--mode", "guided")
    assert (status, output) == (2, "")
    assert "exam" in errors


def test_a_person_is_cautioned_before_the_act(catalogue: Catalogue) -> None:
    def noted(session: Session) -> list[tuple[str, str]]:
        entries = [entry for entry in session.recorder.entries if entry.kind == "action"]
        return [(e.data["verb"], str(e.action.arguments[-1])) for e in entries]

    check = "check coolant-level-cold"
    for line, expected in {
        "": [("note", "heeded"), ("check", "coolant-level-cold")],
        "skip": [("note", "skipped"), ("check", "coolant-level-cold")],
        "back": [("note", "heeded")],
        "ignition on": [("note", "heeded"), ("ignition", "on")],
    }.items():
        job = TextJob(catalogue, Session(catalogue, catalogue.jobs[JOB], 1), asks=True)
        first = job.answer(check)
        assert first["asks"] and first["cautions"]
        assert noted(job.session) == []
        assert "error" not in job.answer(line)
        assert noted(job.session) == expected


def test_cautions_can_be_read_before_and_passed_over_in_a_script(lukewarm: Run) -> None:
    first, second = told(lukewarm, "cautions coolant-level-cold", "check coolant-level-cold")
    assert len(first["cautions"]) == 1
    assert "cautions" not in second
    told(lukewarm, "skip check coolant-level-cold", "diagnose coolant-low 90", "handback")
    (kept, *_) = kept_records()
    assert any("was skipped" in reason for reason in (kept.grade or {})["reasons"])


def test_what_the_screen_can_the_text_can(lukewarm: Run) -> None:
    lines = (
        "check heater-feed-infrared",
        "check heater-return-infrared",
        "compare 1 2",
        "mark 1 odd",
        "undo",
        "undo",
        "suspect none likely",
        "undo",
        "readings point",
        "units us",
        "compare 1 2",
        "note look at the hose again",
        "card",
        "look",
    )
    answers = told(lukewarm, *lines)
    assert " K" in answers[2]["said"][0]
    assert ["error" in answer for answer in answers[4:6]] == [False, True]
    labels = [reading["label"] for reading in answers[8]["readings"]]
    assert labels == sorted(labels)
    assert answers[8]["readings"][0]["mark"] is None
    assert "°F" in answers[10]["said"][0]
    assert answers[12]["notes"] == ["look at the hose again"]
    assert {fault["id"]: fault["mark"] for fault in answers[13]["faults"]}["none"] == "maybe"


def test_what_was_recorded_is_listed(lukewarm: Run) -> None:
    told(lukewarm, "diagnose none 20", "handback", options=("--mode", "guided"))
    told(lukewarm, "ignition on")
    _, output, _ = lukewarm("show", "records", "--format", "json")
    begun, done = json.loads(output)
    assert (begun["open"], begun["mode"], begun["total"]) == (True, "free", None)
    assert (done["open"], done["mode"], done["passed"]) == (False, "guided", False)
    _, output, _ = lukewarm("show", "records")
    assert f"Cold Tern, guided: {done['total']:.0f} of 100, failed." in output
    assert len(output.splitlines()) == 2


# -- the terminal program ----------------------------------------------------------------------------------------------


def test_the_mode_is_chosen_at_the_board_and_kept(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "● free" in await still(app, pilot)
        await press(pilot, "m", "m")
        assert "● guided" in text_of(app)
        line = next(k for k, row in enumerate(text_of(app).splitlines()) if "○ exam" in row)
        await pilot.click(offset=(text_of(app).splitlines()[line].index("○ exam"), line))
        await settle(pilot)
        assert "● exam" in text_of(app)

    play(catalogue, part)
    assert load_settings().mode == "exam"


def test_a_guided_job_gives_hints(catalogue: Catalogue) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        assert isinstance(app.screen, WorkshopScreen)
        session = app.screen.session
        assert "guided" in text_of(app)
        await press(pilot, "g")
        assert isinstance(app.screen, HintSlip)
        await settle(pilot)
        assert "it costs 1 mark" in text_of(app)
        assert not [entry for entry in session.recorder.entries if entry.data.get("verb") == "hint"]
        await press(pilot, "enter", "enter", "enter", "enter")
        assert "There is no further hint" in text_of(app)
        await press(pilot, "escape")
        hints = [entry.action.text(0) for entry in session.recorder.entries if entry.data.get("verb") == "hint"]
        assert hints == list(RUNGS)
        await press(pilot, "s", "enter", "enter", "x", "enter")
        await settle(pilot)
        assert isinstance(app.screen, Debrief)
        assert app.screen.grade.hints == 7.0
        await press(pilot, "3", "down")
        assert "hint: question" in text_of(app)

    play(catalogue, part, settings=Settings(mode=GUIDED))


def test_a_hint_can_be_left_while_it_is_worked_out(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    import threading

    from grading.report.hints import Guide

    begun, stopped = threading.Event(), threading.Event()

    def slow(self: Guide, progress: Callable[[float], None]) -> None:
        begun.set()
        try:
            for _ in range(10_000):
                progress(0.3)
                stopped.wait(0.005)
        except BaseException:
            stopped.set()
            raise

    monkeypatch.setattr(Guide, "ladder", slow)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        app.simulate_key("g")
        while not begun.is_set():
            await pilot.pause(0.01)
        app.simulate_key("escape")
        while not stopped.is_set():
            await pilot.pause(0.01)
        await settle(pilot)
        assert isinstance(app.screen, WorkshopScreen)

    play(catalogue, part, settings=Settings(mode=GUIDED))


def test_a_hint_asked_for_again_goes_on_with_the_one_that_was_left(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    import threading

    from grading.observer.cache import BeliefCache

    taken: list[str] = []
    begun, go_on = threading.Event(), threading.Event()
    after = BeliefCache.after

    def slow(self: BeliefCache, now: Any, action: Action, *seen: Any) -> Any:
        taken.append(action.verb)
        begun.set()
        go_on.wait(30.0)
        return after(self, now, action, *seen)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "i", "e", "b")
        monkeypatch.setattr(BeliefCache, "after", slow)
        app.simulate_key("g")
        while not begun.is_set():
            await pilot.pause(0.01)
        app.simulate_key("escape")
        while not isinstance(app.screen, WorkshopScreen):
            await pilot.pause(0.01)
        app.simulate_key("g")
        await pilot.pause(0.3)  # time for a second one to begin
        assert isinstance(app.screen, HintSlip)
        assert taken == ["ignition"]
        go_on.set()
        while "it costs 1 mark" not in text_of(app):
            await pilot.pause(0.02)
        assert taken == ["ignition", "engine", "set"]

    play(catalogue, part, settings=Settings(mode=GUIDED))


def test_an_exam_reveals_nothing_and_is_handed_in_in_time(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "backspace", "backspace", *"12", "enter")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        assert screen.session.mode.minutes == 12.0
        assert "exam: 11:5" in text_of(app) or "exam: 12:00" in text_of(app)
        await press(pilot, "g")
        assert app.screen is screen
        taken: list[object] = []
        monkeypatch.setattr(Lukewarm, "deliver_screenshot", lambda *a, **k: taken.append(a))
        app.action_screenshot()
        assert not taken
        await press(pilot, "ctrl+p", *"coolant")
        await pilot.pause(0.3)
        assert "coolant level" not in text_of(app)
        monkeypatch.setattr("grading.sessions.openings.now", lambda: (screen.session.mode.begun or 0.0) + 721.0)
        for _ in range(400):
            await pilot.pause(0.02)
            if isinstance(app.screen, Debrief):
                break
        await settle(pilot)
        assert isinstance(app.screen, Debrief)
        assert any("time ran out" in str(reason) for reason in app.screen.grade.reasons)
        app.action_screenshot()
        assert taken

    play(catalogue, part, settings=Settings(mode="exam"))


def test_the_bell_rings_also_while_a_caution_waits_for_its_answer(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "enter")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        await press(pilot, "2", "down", "down", "down", "enter")
        assert isinstance(app.screen, CautionSlip)
        began = screen.session.mode.begun or 0.0
        monkeypatch.setattr("grading.sessions.openings.now", lambda: began + 1e5)
        while not isinstance(app.screen, Debrief):
            await pilot.pause(0.02)
        done = [entry.action.verb for entry in screen.session.recorder.entries if entry.kind == "action"]
        assert done == ["handback"]

    play(catalogue, part, settings=Settings(mode="exam"))


def test_an_exam_keeps_its_clock_while_the_program_is_closed(catalogue: Catalogue, records: Path) -> None:
    async def begin(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter", "enter", "i", "escape")
        while "Begun as an exam" not in await still(app, pilot):
            await pilot.pause(0.02)

    async def too_late(app: Lukewarm, pilot: Pilot[Any]) -> None:
        while "time is up" not in await still(app, pilot):  # records are read beside the screen
            await pilot.pause(0.02)
        await press(pilot, "n")
        assert not isinstance(app.screen, WorkshopScreen)
        await press(pilot, "escape", "enter")
        for _ in range(400):
            await pilot.pause(0.02)
            if isinstance(app.screen, Debrief):
                break
        await settle(pilot)
        assert isinstance(app.screen, Debrief)

    play(catalogue, begin, settings=Settings(mode="exam"))
    (record,) = records.glob("*.jsonl")
    let_time_run_out(record)
    play(catalogue, too_late)
