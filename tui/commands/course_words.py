"""What truly went on in the vehicle, in sentences and as data: what the screens of the debrief draw."""

from __future__ import annotations

from typing import Any

import numpy as np

from grading.marks.grade import Grade
from grading.report.action_words import describe
from grading.report.section import Section
from scenarios.language import N_, _, say
from scenarios.model import Catalogue
from sim.vehicle import states as st
from tui.presentation.curves.truth import Course, Track, Truth, figure

POINTS = 240
"""Moments of a curve as data, at most."""
_FELT = frozenset({"check", "repair", "drive", "rev", "idle", "wait"})
"""Steps after which the vehicle is told of."""


def course_section(catalogue: Catalogue, grade: Grade, course: Course) -> Section:
    """The least and the most of every track with their minutes, then the loop as it was after each step."""
    told = [_spread(course, track) for track in course.tracks] or [_("No time passed.")]
    for step in grade.steps:
        truth = course.at.get(step.number)
        if truth is not None and step.action.verb in _FELT:
            told.append(say("{minute:5.1f} min  {what}", minute=truth.minute, what=describe(catalogue, step.action)))
            told.append("    " + _loop(truth))
    return Section(N_("The true state"), told)


def _spread(course: Course, track: Track) -> str:
    least, most = int(track.values.argmin()), int(track.values.argmax())
    return say(
        "{name}: least {least} at minute {least_minute:.0f}, most {most} at minute {most_minute:.0f}",
        name=_(track.name),
        least=figure(float(track.values[least]), track.unit),
        least_minute=float(course.times[least]),
        most=figure(float(track.values[most]), track.unit),
        most_minute=float(course.times[most]),
    )


def _loop(truth: Truth) -> str:
    y = truth.state
    if truth.electric:
        return say(
            "coolant heater {outlet:.0f} °C, {power:.1f} kW, heat pump {pumped:.1f} kW, feed {feed:.0f} °C, "
            "return {back:.0f} °C, vents {vents:.0f} °C; heater {flow:.1f} L/min, air in core {air:.2f} L, "
            "short by {short:.1f} L",
            outlet=float(y[st.JACKET]),
            power=truth.value("coolant_heater_W") / 1000.0,
            pumped=truth.value("heat_pump_W") / 1000.0,
            feed=float(y[st.FEED]),
            back=float(y[st.RETURN]),
            vents=truth.value("vent_C"),
            flow=truth.value("heater_flow"),
            air=max(float(y[st.CORE_AIR]), 0.0),
            short=max(truth.value("missing_L"), 0.0),
        )
    return say(
        "engine {engine:.0f} °C, radiator {radiator:.0f} °C, feed {feed:.0f} °C, return {back:.0f} °C, "
        "vents {vents:.0f} °C; heater {flow:.1f} L/min, thermostat {lift:.0%} open, air in core {air:.2f} L, "
        "short by {short:.1f} L",
        engine=float(y[st.JACKET]),
        radiator=float(y[st.RADIATOR]),
        feed=float(y[st.FEED]),
        back=float(y[st.RETURN]),
        vents=truth.value("vent_C"),
        flow=truth.value("heater_flow"),
        lift=float(y[st.LIFT]),
        air=max(float(y[st.CORE_AIR]), 0.0),
        short=max(truth.value("missing_L"), 0.0),
    )


def course_data(course: Course) -> dict[str, Any]:
    """Tracks over the minutes of the job; a share 0..1 where there is no unit."""
    kept = np.unique(np.linspace(0, max(len(course.times) - 1, 0), POINTS).astype(int))[: len(course.times)]
    return {
        "minutes": [round(float(minute), 3) for minute in course.times[kept]],
        "tracks": [
            {
                "name": _(track.name),
                "unit": track.unit,
                "least": round(float(track.values.min()), 3),
                "most": round(float(track.values.max()), 3),
                "values": [round(float(value), 3) for value in track.values[kept]],
            }
            for track in course.tracks
        ],
    }
