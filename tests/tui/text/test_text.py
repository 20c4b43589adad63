"""The text interface: one answer a command, in an agreed form, whatever is typed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., tuple[int, str, str]]

GOOD_JOB = (
    "look",
    "check coolant-level-cold",
    "suspect coolant-low likely",
    "diagnose coolant-low 95",
    "repair top-up",
    "set heater 100",
    "set blower 2",
    "engine start",
    "drive 15",
    "check vent-temperature",
    "handback",
)


def answers(output: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in output.splitlines()]


def play(run: Run, *lines: str, options: tuple[str, ...] = ()) -> tuple[int, list[dict[str, Any]]]:
    status, output, _ = run("text", "cold-tern", "--format", "json", *options, lines=lines)
    return status, answers(output)


def test_a_good_job_passes_and_its_grade_has_the_agreed_form(lukewarm: Run) -> None:
    status, told = play(lukewarm, *GOOD_JOB)
    assert status == 0
    assert len(told) == len(GOOD_JOB)
    assert not [answer for answer in told if "error" in answer]
    assert [answer for answer in told if "grade" in answer] == [told[-1]]
    grade = told[-1]["grade"]
    assert grade["passed"] is True
    assert {"total", "criteria", "checks_used", "minutes_used", "reference_checks", "reference_minutes"} <= set(grade)
    assert all(0.0 <= value <= 100.0 for value in grade["criteria"].values())
    assert grade["checks_used"] >= 1
    assert grade["safety"] == []


def test_a_guess_without_a_check_does_not_pass(lukewarm: Run) -> None:
    _, told = play(lukewarm, "diagnose coolant-low 95", "repair top-up", "handback")
    assert told[-1]["grade"]["passed"] is False


def test_look_lists_what_can_be_done_and_why_not(lukewarm: Run) -> None:
    _, (look,) = play(lukewarm, "look")
    assert look["place"] == "driver's seat"
    assert look["minute"] == 0.0
    assert look["controls"] == {
        "ignition": "off",
        "engine": "stopped",
        "heater": 0,
        "blower": 0,
        "vents": "floor",
        "recirculation": "off",
    }
    assert look["perceived"]
    checks = {check["id"]: check for check in look["checks"]}
    assert checks["gauge"]["possible"] is False
    assert "ignition" in checks["gauge"]["why"]
    assert checks["heater-feed-infrared"]["possible"] is True
    assert {"name", "minutes", "place"} <= set(checks["gauge"])
    assert {repair["id"] for repair in look["repairs"]} == {"top-up", "renew-thermostat"}
    assert {fault["id"] for fault in look["faults"]} == {"coolant-low", "thermostat-stuck-open", "none"}


BAD_LINES = (
    "fly away",
    "check",
    "check nothing-like-it",
    "check gauge twice",
    "set heater hot",
    "set heater 101",
    "set heater nan",
    "set blower 1e3",
    "set vents ceiling",
    "set recirculation maybe",
    "set colour 3",
    "ignition maybe",
    "engine explode",
    "rev 2000",
    "rev 99999 1",
    "idle -1",
    "idle 1",  # the engine is not running
    "drive 10",
    "drive 1 2 3",
    "wait inf",
    "wait ٣",
    "go moon",
    "repair magic",
    "suspect coolant-low guilty",
    "suspect gremlins likely",
    "diagnose coolant-low",
    "diagnose coolant-low 120",
    "diagnose gremlins 50",
    "mark 99 odd",
    "mark 1 purple",
    "note",
    "look around",
    "\x1b[2Jcheck gauge",
)


def test_a_bad_line_says_what_was_expected_and_the_job_goes_on(lukewarm: Run) -> None:
    _, told = play(lukewarm, *BAD_LINES, "look")
    assert len(told) == len(BAD_LINES) + 1
    for line, answer in zip(BAD_LINES, told, strict=False):
        assert "expected" in answer["error"], line
        assert "\x1b" not in json.dumps(answer, ensure_ascii=False)
    assert told[-1]["minute"] == 0.0


def test_blank_lines_and_comments_are_passed_over(lukewarm: Run) -> None:
    _, told = play(lukewarm, "", "# the gauge first", "ignition on", "   ")
    assert [answer["command"] for answer in told] == ["ignition on"]


def test_end_of_input_keeps_the_record_and_is_told(lukewarm: Run, records: Path) -> None:
    status, output, errors = lukewarm("text", "cold-tern", "--format", "json", lines=("ignition on",))
    assert status == 1
    assert "grade" not in output
    (record,) = records.glob("*.jsonl")
    assert record.name.startswith("cold-tern-")
    assert str(record) in errors
    assert "Traceback" not in errors


def test_quit_keeps_the_record(lukewarm: Run, records: Path) -> None:
    status, told = play(lukewarm, "quit", "ignition on")
    assert status == 1
    assert [answer["command"] for answer in told] == ["quit"]
    assert told[0]["record"] == str(next(records.glob("*.jsonl")))


def test_resume_goes_on_where_the_record_ends(lukewarm: Run, records: Path) -> None:
    first = GOOD_JOB[:4]
    play(lukewarm, *first)
    status, told = play(lukewarm, *GOOD_JOB[4:], options=("--resume",))
    whole_status, whole = play(lukewarm, *GOOD_JOB)
    assert status == whole_status == 0
    assert told[-1]["grade"] == whole[-1]["grade"]
    assert len(list(records.glob("*.jsonl"))) == 2


def test_resume_survives_a_line_that_was_cut_off(lukewarm: Run, records: Path) -> None:
    play(lukewarm, "ignition on", "check gauge")
    (record,) = records.glob("*.jsonl")
    with record.open("ab") as stream:
        stream.write(b'{"kind": "action", "ver')
    status, told = play(lukewarm, "readings", "check gauge", options=("--resume",))
    assert status == 1
    assert len(told[0]["readings"]) == 1
    status, told = play(lukewarm, "readings", options=("--resume",))
    assert len(told[0]["readings"]) == 2


def test_resume_without_a_record_is_wrong_use(lukewarm: Run) -> None:
    status, output, errors = lukewarm("text", "cold-tern", "--resume")
    assert (status, output) == (2, "")
    assert "expected" in errors


def test_a_record_is_never_overwritten(lukewarm: Run, tmp_path: Path) -> None:
    path = tmp_path / "mine.jsonl"
    play(lukewarm, "ignition on", options=("--record", str(path)))
    before = path.read_bytes()
    status, _, errors = lukewarm("text", "cold-tern", "--record", str(path))
    assert status == 2
    assert "--resume" in errors
    assert path.read_bytes() == before


START = '{"kind": "job", "format": 1, "job": "cold-tern", "seed": 1}\n{"kind": "action", "verb": '
HOSTILE_RECORDS = (
    "",
    "[]",
    '{"kind": "job"}',
    START + '"check", "arguments": []}',
    START + '"rev", "arguments": ["a", 1]}',
    START + '"engine", "arguments": [1]}',
    START + '"suspect", "arguments": ["none"]}',
    START + '"__class__", "arguments": []}',
    '{"kind": "job", "format": 1, "job": "other", "seed": 1}',
    "\x00\x01",
)


@pytest.mark.parametrize("text", HOSTILE_RECORDS)
@pytest.mark.parametrize("command", ["text", "debrief"])
def test_a_bad_record_is_answered_with_its_place(lukewarm: Run, tmp_path: Path, text: str, command: str) -> None:
    path = tmp_path / "bad.jsonl"
    path.write_text(text, encoding="utf-8")
    arguments = (
        ("debrief", str(path)) if command == "debrief" else ("text", "cold-tern", "--resume", "--record", str(path))
    )
    status, _, errors = lukewarm(*arguments)
    assert status == 2
    assert f"{path}:" in errors
    assert "expected" in errors


def test_fahrenheit_is_shown_and_celsius_kept(lukewarm: Run) -> None:
    _, told = play(lukewarm, "check heater-feed-infrared", options=("--units", "us"))
    (reading,) = told[0]["readings"]
    assert reading["unit"] == "°C"
    assert reading["shown"] == f"{reading['value'] * 1.8 + 32:.0f} °F"


def test_a_caution_is_given_once(lukewarm: Run) -> None:
    _, told = play(lukewarm, "check coolant-level-cold", "check coolant-level-cold", "repair top-up")
    assert [len(answer.get("cautions", ())) for answer in told] == [1, 0, 0]


def test_the_notebook_knows_the_state_and_the_mark(lukewarm: Run) -> None:
    lines = ("ignition on", "set heater 80", "check gauge", "mark 1 odd", "repair top-up", "check gauge", "readings")
    _, told = play(lukewarm, *lines)
    first, second = (answer for answer in told[-1]["readings"] if answer["check"] == "gauge")
    assert first["state"] == "ignition on, heater 80, blower 0"
    assert (first["mark"], second["mark"]) == ("odd", None)
    assert (first["repairs"], second["repairs"]) == (0, 1)


def test_a_job_is_written_up(lukewarm: Run) -> None:
    lines = ("write cause level was low", "write", "write song la la la", *GOOD_JOB)
    _, told = play(lukewarm, *lines)
    assert ["error" in answer for answer in told[:3]] == [False, True, True]
    (reason,) = (reason for reason in told[-1]["grade"]["reasons"] if "written" in reason)
    assert "complaint" in reason
    assert "cause" not in reason


def test_plain_answers_are_sentences(lukewarm: Run) -> None:
    status, output, _ = lukewarm("text", "cold-tern", lines=("help", *GOOD_JOB[:-1], "readings", "fly", "handback"))
    assert status == 0
    assert "You are in the driver's seat." in output
    assert "Not done. There is no command 'fly'" in output
    assert "Passed: " in output
    assert all(mark.isprintable() for mark in output.replace("\n", ""))
    assert not set("│─┌└█") & set(output)


def test_the_card_says_how_long_may_be_searched_and_what_proves(lukewarm: Run) -> None:
    _status, output, _ = lukewarm("text", "cold-tern", lines=("quit",))
    told = output.splitlines()
    at = told.index("Time allowed to find the fault: 120 minutes.")
    assert told[at + 1].startswith("What will count as proof: ")
    assert "Find the fault; nothing is to be repaired." not in told


def test_the_debrief_tells_the_grade_and_the_story(lukewarm: Run, records: Path) -> None:
    play(lukewarm, *GOOD_JOB)
    (record,) = records.glob("*.jsonl")
    status, output, _ = lukewarm("debrief", str(record), "--format", "json")
    told = json.loads(output)
    assert status == 0
    assert told["grade"]["passed"] is True
    assert [section["title"] for section in told["sections"]]
    assert [step["what"] for step in told["steps"]]
    status, output, _ = lukewarm("debrief", str(record))
    assert status == 0
    assert "What was wrong" in output
    page = records / "debrief.html"
    status, output, _ = lukewarm("debrief", str(record), "--format", "html", "--output", str(page))
    assert (status, output) == (0, "")
    assert "<h2>What was wrong</h2>" in page.read_text(encoding="utf-8")


WARM_AIR = ("engine start", "set heater 100", "set blower 2", "drive 15")


def test_guided_mode_tells_what_a_sound_vehicle_shows_and_other_modes_do_not(lukewarm: Run) -> None:
    _, told = play(lukewarm, *WARM_AIR, "check vent-temperature", options=("--mode", "guided"))
    assert "°C" in told[-1]["readings"][0]["sound"]
    assert "It depends." in told[-1]["said"]
    for options in ((), ("--mode", "exam")):
        _, told = play(lukewarm, *WARM_AIR, "check vent-temperature", options=options)
        assert "sound" not in told[-1]["readings"][0]
        assert "It depends." not in told[-1]["said"]


def test_a_prediction_is_answered_at_once_in_guided_mode_and_refused_in_an_exam(lukewarm: Run) -> None:
    lines = (*WARM_AIR, "predict vent-temperature lower", "check vent-temperature")
    _, told = play(lukewarm, *lines, options=("--mode", "guided"))
    assert "You predicted: lower than sound. That was right." in told[-1]["said"]
    _, told = play(lukewarm, *lines)
    assert not [said for said in told[-1]["said"] if "right" in said]
    _, told = play(lukewarm, *lines, options=("--mode", "exam"))
    assert "no predictions in an exam" in told[-2]["error"]
