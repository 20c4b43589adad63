"""The first page of a debrief and the story of what was done: verdict first, nothing left out, nothing made up."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from grading.marks.comeback import Comeback
from grading.marks.grade import Grade
from grading.marks.proof import Finding, Proof
from grading.reference.options import Option
from grading.report.debrief import debrief
from grading.report.first_page import TITLES, first_page, still_open
from grading.report.told_actions import told_actions
from grading.sessions.record import RecordEntry, as_bytes
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue
from tests.tui.small import small_catalogue
from tui.presentation.marking.graded_record import graded_record

CATALOGUE = small_catalogue()
DONE = (
    Action("check", ("coolant-level-cold",)),
    Action("diagnose", ("thermostat-stuck-open", 60.0)),
    Action("diagnose", ("coolant-low", 90.0)),
    Action("diagnose", ("coolant-low", 95.0)),
    Action("set", ("heater", 50.0)),
    Action("set", ("heater", 100.0)),
    Action("repair", ("top-up",)),
    Action("engine", ("start",)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
    Action("check", ("vent-temperature",)),
    Action("note", ("text", "done")),
    Action("handback"),
)


@pytest.fixture(autouse=True)
def kept_elsewhere(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """No record or mark of this machine is looked at."""
    monkeypatch.setattr("grading.sessions.records.platformdirs.user_data_path", lambda *names, **options: tmp_path)


@cache
def _marked() -> tuple[list[RecordEntry], Grade]:
    session = Session(CATALOGUE, CATALOGUE.jobs["cold-tern"], 1)
    for action in DONE:
        assert session.do(action).refused is None, action
    entries = session.recorder.entries
    return entries, graded_record(CATALOGUE, as_bytes(entries), Path("record")).grade


def _work(entries: list[RecordEntry]) -> list[Action]:
    return [entry.action for entry in entries if entry.kind == "action"]


def _option(check: str) -> Option:
    """A check as the reference would take it."""
    return Option(CATALOGUE.checks[check], (), 1.0, 0.5, 0.9)


def _page(
    grade: Grade, entries: list[RecordEntry] | None = None, catalogue: Catalogue = CATALOGUE
) -> dict[str, list[str]]:
    return {section.title: section.lines for section in first_page(catalogue, entries or _marked()[0], grade)}


def test_the_verdict_comes_first_then_safety_then_the_customer() -> None:
    entries, grade = _marked()
    assert grade.passed
    titles = [section.title for section in debrief(CATALOGUE, entries, grade)]
    assert titles[:4] == ["Verdict", "Afterwards", "Done well", "To try next"]
    assert titles[-2:] == ["Marks", "How this was judged"]
    page = _page(grade)
    assert page["Verdict"] == [f"Passed: {grade.total:.0f} of 100.", "Safety: no error."]
    assert page["Afterwards"] == [
        "The vehicle ran for 30 days, through cold starts, short and long trips. No complaint came."
    ]
    for verdict, said in (("failed", "Failed"), ("passed with help", "Passed with help"), ("not finished", "Not fini")):
        assert _page(replace(grade, verdict=verdict))["Verdict"][0].startswith(said)


def test_no_bits_and_no_rates_before_the_page_that_tells_how_it_was_judged() -> None:
    entries, grade = _marked()
    *before, graded = debrief(CATALOGUE, entries, grade)
    told = " ".join(line for section in before for line in section.lines)
    assert " bit" not in told
    assert "rates" not in told
    assert any("coolant level cold" in line and " bit" in line for line in graded.lines)
    assert any("Assumed fault rates" in line for line in graded.lines)


def test_safety_stands_once_with_what_was_critical_first() -> None:
    grade = replace(_marked()[1], safety=["opened it hot", "ran it hot", "opened it hot"], critical=["ran it hot"])
    verdict = _page(grade)["Verdict"][1:]
    assert verdict == ["Critical error: ran it hot. That rules out a pass.", "Safety: opened it hot."]
    assert "ran it hot" in _page(grade)["To try next"][0]


def test_what_came_of_it_is_told_of_the_month_after() -> None:
    grade = replace(_marked()[1], comeback=Comeback(3, "the windows mist up", False))
    assert _page(grade)["Afterwards"] == ["On day 3 the customer was back: the windows mist up."]


def test_what_was_done_runs_to_the_end() -> None:
    entries, grade = _marked()
    told = told_actions(CATALOGUE, entries, grade)
    assert [one.entry.data["verb"] for one in told] == [
        *("check", "diagnose", "diagnose", "diagnose", "set", "repair", "engine", "set", "drive", "check", "handback")
    ]
    assert told[1].what == "diagnosis: thermostat stuck open, 60 % sure"
    assert told[2].what == "new diagnosis: coolant low, 90 % sure, in place of: thermostat stuck open"
    assert told[3].what == "the same diagnosis once more: coolant low, 95 % sure"
    assert told[5].remarks == ("That cured it: coolant low.",)
    assert [one.step is None for one in told] == [False] * 6 + [True] * 5
    proof = told[-2]
    assert proof.readings[0][0] == "vent temperature"
    assert proof.remarks == ("That speaks for the repair.",)
    story = next(section for section in debrief(CATALOGUE, entries, grade) if section.title == "What you did")
    assert story.lines[-1].endswith("keys handed back")
    assert any("vent temperature: " in line for line in story.lines)


def test_a_reading_after_the_work_may_speak_against_it() -> None:
    entries, grade = _marked()
    read = next(e for e in entries if e.kind == "action" and e.action.arguments[:1] == ("vent-temperature",))
    found = Finding(int(read.data["n"]), "cold", "vent temperature", "20 °C", "40 °C", False)
    told = told_actions(CATALOGUE, entries, replace(grade, proof=Proof(False, (found,), ("too cold",))))
    assert next(one for one in told if one.entry is read).remarks == ("That speaks against the repair.",)


def test_a_diagnosis_beside_another_keeps_it() -> None:
    entries, grade = _marked()
    beside = [
        replace(e, data={**e.data, "arguments": [*e.data["arguments"], "also"]})
        if e.data.get("verb") == "diagnose"
        else e
        for e in entries
    ]
    told = [one.what for one in told_actions(CATALOGUE, beside, grade)]
    assert told[2] == "diagnosis beside it: coolant low, 90 % sure"


def test_a_right_repair_that_passed_or_a_wrong_one_has_nothing_open() -> None:
    entries, grade = _marked()
    assert still_open(CATALOGUE, _work(entries), grade) == []
    without = [action for action in _work(entries) if action.verb != "repair"]
    assert still_open(CATALOGUE, without, replace(grade, passed=False)) == []


def test_a_right_repair_without_proof_names_the_check_that_proves_it() -> None:
    entries, grade = _marked()
    unproven = replace(grade, passed=False, verdict="not finished", proof=Proof(False, (), ("nothing was read",)))
    assert still_open(CATALOGUE, _work(entries), unproven) == [
        "The repair was right, but the job did not pass.",
        "The repair was not proven: nothing was read.",
        "What would have settled it: vent temperature.",
    ]
    assert _page(unproven)["What was still open"][0] == "The repair was right, but the job did not pass."


def test_a_right_repair_on_thin_readings_names_what_was_open_and_the_check() -> None:
    entries, grade = _marked()
    belief = np.array([0.5, 0.4, 0.1])
    steps = [replace(step, before=belief, after=belief, best=None) for step in grade.steps]
    steps[3] = replace(steps[3], best=_option("heater-feed-infrared"))
    thin = replace(grade, passed=False, steps=steps)
    by_name = dict(zip([fault.id for fault in grade.faults], belief, strict=True))
    others = sorted((name for name in by_name if name != "coolant-low"), key=lambda name: -by_name[name])
    names = ", ".join(CATALOGUE.faults[name].name for name in others)
    assert still_open(CATALOGUE, _work(entries), thin) == [
        "The repair was right, but the job did not pass.",
        f"Your readings still left open: {names}.",
        "What would have settled it: heater feed infrared.",
    ]
    taken = replace(thin, steps=[*steps[:3], replace(steps[3], best=_option("coolant-level-cold")), *steps[4:]])
    assert len(still_open(CATALOGUE, _work(entries), taken)) == 2  # it was taken, and settled nothing
    undeclared = [action for action in _work(entries) if action.verb != "diagnose"]
    assert "No diagnosis was declared: the repair came without one." in still_open(CATALOGUE, undeclared, thin)
    wrong = replace(thin, group=["thermostat-stuck-open"])
    last = [action for action in _work(entries) if action.verb != "diagnose"]
    last.append(Action("diagnose", ("thermostat-stuck-open", 90.0)))
    assert "You declared something else: thermostat stuck open." in still_open(CATALOGUE, last, wrong)


def test_one_thing_done_well_is_the_diagnosis_where_it_was_earned() -> None:
    grade = replace(_marked()[1], criteria=_marked()[1].criteria | {"diagnosis": 100.0})
    assert _page(grade)["Done well"] == [
        "You found the fault, and your readings bear it out. What told most: coolant level cold."
    ]
    weak = replace(grade, criteria=grade.criteria | {"diagnosis": 10.0})
    assert _page(weak)["Done well"][0].startswith("You proved the repair: vent temperature, ")
    unproven = replace(weak, proof=Proof(False))
    assert _page(replace(unproven, criteria=weak.criteria | {"safety": 100.0}))["Done well"][0].startswith("You worked")
    unsafe = replace(unproven, safety=["an error"], criteria=weak.criteria | {"calibration": 90.0})
    assert _page(unsafe)["Done well"] == ["You were about as sure as your readings allow."]
    unsure = replace(unsafe, criteria=weak.criteria | {"calibration": 0.0})
    assert _page(unsure)["Done well"] == ["This check told most: coolant level cold."]
    assert _page(replace(unsure, steps=[]))["Done well"] == ["Nothing to go by yet: hardly anything was checked."]


@pytest.mark.parametrize(
    ("worst", "said"),
    [
        ("diagnosis", "Before you declare, take this check: heater feed infrared."),
        ("efficiency", "Take the quick checks first, and let the engine warm up while you look round."),
        ("safety", "Do what each caution asks for before you start, and watch the needle on a run."),
        ("parts", "Fit a part only once a reading says that it has failed."),
        ("inquiry", "After the repair, show that the complaint is gone: vent temperature."),
        ("calibration", "You stated 95 %, your readings made it 80% likely: state what they bear out."),
    ],
)
def test_what_to_try_next_is_what_cost_most(worst: str, said: str) -> None:
    grade = _marked()[1]
    course = replace(grade.course, checks=["heater-feed-infrared", "coolant-level-cold", "gauge"])
    steps = [replace(step, best=None) for step in grade.steps]
    if worst == "diagnosis":
        steps[1] = replace(steps[1], best=_option("heater-feed-infrared"))
    marked = replace(
        grade,
        course=course,
        criteria=dict.fromkeys(grade.criteria, 100.0) | {worst: 0.0},
        belief=0.8,
        proof=Proof(False, (), ("unread",)),
        steps=steps,
    )
    assert _page(marked)["To try next"] == [said]


def test_a_chance_that_would_round_to_nothing_is_under_one_per_cent() -> None:
    grade = _marked()[1]
    worst = replace(grade, criteria=dict.fromkeys(grade.criteria, 100.0) | {"calibration": 0.0}, belief=0.004)
    assert _page(worst)["To try next"] == [
        "You stated 95 %, your readings made it less than 1% likely: state what they bear out."
    ]


def test_what_was_slow_names_what_tells_more_for_its_time() -> None:
    grade = _marked()[1]
    steps = [replace(step, best=None, regret=0.0) for step in grade.steps]
    steps[0] = replace(steps[0], best=_option("heater-return-infrared"), regret=20.0)
    slow = replace(grade, criteria=dict.fromkeys(grade.criteria, 100.0) | {"efficiency": 0.0}, steps=steps)
    assert _page(slow)["To try next"] == [
        "Choose what tells more for its time: heater return infrared, not coolant level cold."
    ]
    many = replace(slow, course=replace(grade.course, checks=["gauge"]), steps=grade.steps[:1] and steps[1:])
    assert _page(many)["To try next"] == ["Ask before each check what it could tell you: the reference needed 1 check."]


def test_what_to_try_next_without_losses_or_with_hints() -> None:
    grade = replace(_marked()[1], criteria=dict.fromkeys(_marked()[1].criteria, 100.0))
    assert _page(grade)["To try next"] == ["Take a harder job: there is little to gain in this one."]
    assert _page(replace(grade, hints=7.0))["To try next"][0].startswith("Try the next job without a hint")


def test_the_job_just_finished_is_not_one_not_done_before() -> None:
    entries, _grade = _marked()
    graded = graded_record(CATALOGUE, as_bytes(entries), Path("record"), look_ahead=False)
    assert [attempt.job for attempt in graded.practice.attempts] == ["cold-tern"]
    (told,) = next(section.lines for section in graded.sections() if section.title == "What to practise next")
    assert "not done before" not in told


def test_every_title_of_the_page_is_known_to_the_screens() -> None:
    assert set(_page(_marked()[1])) <= set(TITLES)
