"""A marked job whose figures do not depend on how the physics is tuned."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from grading.report import first_page
from grading.report.section import Section
from grading.report.timeline import Event, Way
from grading.sessions.record import RecordEntry, as_bytes
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue
from sim.vehicle.states import STATES
from tui.app.screens.debrief import Debrief
from tui.presentation.curves.truth import Course, Track, true_course
from tui.presentation.marking.graded_record import graded_record

ACTIONS = (
    Action("check", ("coolant-level-cold",)),
    Action("suspect", ("coolant-low", "likely")),
    Action("engine", ("start",)),
    Action("set", ("heater", 50.0)),
    Action("set", ("heater", 100.0)),
    Action("drive", (15.0, 50.0)),
    Action("check", ("heater-feed-infrared",)),
    Action("diagnose", ("coolant-low", 90.0)),
    Action("handback"),
)


TITLES = (
    *first_page.TITLES,
    "What was wrong",
    "What you did",
    "The reference's way, on the same vehicle",
    "What to practise next",
    "Marks",
    "How this was judged",
    "A section that is new",
)


def recorded(catalogue: Catalogue) -> list[RecordEntry]:
    """The record of a short job."""
    session = Session(catalogue, catalogue.jobs["cold-tern"], 1)
    for action in ACTIONS:
        assert session.do(action).refused is None
    return session.recorder.entries


def fixed_debrief(catalogue: Catalogue) -> Debrief:
    """The debrief of that job with every computed figure replaced."""
    entries = recorded(catalogue)
    grade = graded_record(catalogue, as_bytes(entries), Path("record")).grade
    beliefs = [np.array([0.5, 0.3, 0.2]), np.array([0.9, 0.08, 0.02]), np.array([0.97, 0.02, 0.01])]
    steps = [
        replace(
            step,
            shown=tuple((label, "as read") for label, _ in step.shown),
            before=beliefs[min(k // 4, 2)],
            after=beliefs[min((k + 3) // 4, 2)],
            bits=0.75,
            best=None,
        )
        for k, step in enumerate(grade.steps)
    ]
    criteria = {"diagnosis": 20.0, "efficiency": 45.0, "safety": 100.0}
    grade = replace(
        grade,
        total=64.0,
        passed=True,
        verdict="passed",
        criteria=criteria,
        weights={"diagnosis": 50.0, "efficiency": 30.0, "safety": 20.0},
        checks_used=2,
        minutes_used=20.0,
        reference_checks=1,
        reference_minutes=2.0,
        reasons=["a reason"],
        safety=["something hurt"],
        steps=steps,
    )
    sections = [Section(title, ["A line.", "    another, indented"]) for title in TITLES]
    course = _fixed(true_course(catalogue, entries))
    return Debrief([_as_read(entry) for entry in entries], grade, lambda: sections, course, fixed_ways())


def fixed_ways() -> tuple[Way, Way]:
    """Two ways over 20 and 12 minutes, alike on every machine."""
    times = np.linspace(0.0, 20.0, 41)
    rises = np.stack([2.0 + (k + 1) * 4.0 * np.sqrt(times) for k in range(4)])
    mine = (Event(0.0, "c", "line"), Event(4.0, "d", "another line"), Event(19.0, "=", "line read"))
    best = (Event(0.0, "c", "section"), Event(11.5, "=", "another section"))
    return Way(times, rises, mine, 20.0), Way(times[:25], rises[:, :25], best, 12.0)


def _as_read(entry: RecordEntry) -> RecordEntry:
    """An entry whose readings do not say what was read."""
    readings = [one | {"shown": "as read"} for one in entry.data.get("readings", ())]
    return replace(entry, data=entry.data | {"readings": readings}) if readings else entry


def _fixed(course: Course) -> Course:
    times = np.linspace(0.0, 20.0, 41)
    tracks = tuple(
        Track(track.name, track.unit, 2.0 + (k + 1) * 3.0 * np.sqrt(times)) for k, track in enumerate(course.tracks)
    )
    at: dict[int, Any] = {}
    for number, truth in course.at.items():
        quantities = np.zeros(1, truth.quantities.dtype)[0]
        at[number] = replace(truth, minute=10.0, state=np.full(STATES, 0.5), quantities=quantities)
    quantities = np.zeros(len(times), course.quantities.dtype)
    quantities["vent_C"] = times
    return Course(times, tracks, at, np.full((len(times), STATES), 0.5), quantities)
