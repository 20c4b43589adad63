"""The course of a job: scrubbed on the screen by key and mouse, told in sentences and as data."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from textual.pilot import Pilot

from grading.report.timeline import scale
from grading.sessions.record import as_bytes
from scenarios.model import Catalogue
from sim.vehicle import states as st
from tests.tui.graded import fixed_debrief, recorded
from tests.tui.program import play, press, settle, still
from tui.app.app import Lukewarm
from tui.app.widgets.chart import AXIS
from tui.presentation.curves.truth import true_course
from tui.presentation.marking.graded_record import graded_record

Run = Callable[..., tuple[int, str, str]]


def test_every_moment_is_there_with_all_of_the_vehicle(catalogue: Catalogue) -> None:
    course = true_course(catalogue, recorded(catalogue))
    assert len(course.times) == len(course.states) == len(course.quantities)
    coolant = next(track for track in course.tracks if track.name == "coolant")
    for minute in (0.0, 4.0, 9.5, course.end):
        truth = course.moment(minute)
        assert truth.minute <= minute or minute == 0.0
        assert truth.state[st.JACKET] == coolant.values[course.index(minute)]
    assert course.moment(4.0).state[st.JACKET] < course.moment(9.5).state[st.JACKET]
    last = max(course.at)
    assert course.moment(course.end).value("vent_C") == pytest.approx(course.at[last].value("vent_C"), abs=1.0)


@pytest.mark.parametrize("size", [(80, 24), pytest.param((160, 40), marks=pytest.mark.slow)])
def test_time_is_scrubbed_by_key_and_by_mouse(catalogue: Catalogue, size: tuple[int, int]) -> None:
    debrief = fixed_debrief(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(debrief)
        await settle(pilot)
        await press(pilot, "right")
        assert debrief.page == 1  # elsewhere they turn the pages
        await press(pilot, "4", *["left"] * 3)
        assert debrief.page == 3
        assert "At 08:00, minute 0.0" in await still(app, pilot)
        await press(pilot, "shift+right")
        assert debrief.minute == pytest.approx(10.0 * debrief._end / debrief._time_width())
        seen = await still(app, pilot)
        assert f"minute {debrief.minute:.1f}" in seen
        line = next(k for k, row in enumerate(seen.splitlines()) if " ┤" in row)
        middle = debrief._time_width() // 2
        await pilot.click(offset=(2 + AXIS + middle, line))
        await settle(pilot)
        assert debrief.minute == pytest.approx((middle + 0.5) / debrief._time_width() * debrief._end)
        mine = debrief.ways[0]
        value = mine.temperatures[0, np.searchsorted(mine.times, debrief.minute, side="right") - 1]
        assert f"1 coolant: {value:.0f} °C" in await still(app, pilot)
        await press(pilot, *["shift+right"] * 12)
        assert debrief.minute == debrief._end

    play(catalogue, part, size)


def test_both_ways_are_stepped_through_beside_each_other(catalogue: Catalogue) -> None:
    debrief = fixed_debrief(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(debrief)
        await settle(pilot)
        await press(pilot, "4")
        seen = []
        for key in ("n", "n", "n", "n", "p"):
            await press(pilot, key)
            row = next(row for row in (await still(app, pilot)).splitlines() if row.count("minute") == 2)
            seen.append((debrief.minute, row.split()[2:]))
        assert [minute for minute, _row in seen] == [4.0, 11.5, 19.0, debrief._end, 19.0]
        assert [" ".join(row) for _minute, row in seen[:3]] == [
            "another line minute 0.0: section",
            "another line minute 11.5: another section",
            "line read minute 11.5: another section",
        ]

    play(catalogue, part)


def test_the_best_route_is_played_on_the_vehicle_of_the_record(catalogue: Catalogue) -> None:
    entries = recorded(catalogue)
    graded = graded_record(catalogue, as_bytes(entries), Path("record"))
    mine, best = graded.ways
    course = true_course(catalogue, entries)
    assert mine.end == pytest.approx(course.end)
    assert mine.temperatures[0] == pytest.approx(course.states[:, st.JACKET])
    assert [event.sign for event in best.events if event.sign == "c"] == ["c"] * len(graded.grade.course.checks)
    assert best.events[-1].minute == pytest.approx(graded.grade.course.minutes, abs=0.1)
    low, high = scale(graded.ways)
    assert low <= mine.temperatures.min() and mine.temperatures.max() <= high


def test_pages_are_turned_by_mouse(catalogue: Catalogue) -> None:
    debrief = fixed_debrief(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(debrief)
        await settle(pilot)
        line = next(k for k, row in enumerate((await still(app, pilot)).splitlines()) if "3 what you did" in row)
        for page, name in enumerate(("1 result", "2 fault", "3 what you did", "4 over time", "5 ref", "6 how judged")):
            at = (await still(app, pilot)).splitlines()[line].index(name)
            await pilot.click(offset=(at, line))
            await settle(pilot)
            assert debrief.page == page
        await pilot.click(offset=(78, line))
        await settle(pilot)
        assert debrief.page == 5

    play(catalogue, part)


def test_the_learners_way_stands_beside_the_references(catalogue: Catalogue) -> None:
    debrief = fixed_debrief(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(debrief)
        await settle(pilot)
        await press(pilot, "5")
        rows = (await still(app, pilot)).splitlines()
        assert any(row.count("min to the diagnosis") == 2 for row in rows)
        assert any("drive 15 min" in row for row in rows)
        assert not any("heater: 50" in row for row in rows)  # turned further at once
        assert sum("diagnosis: coolant low" in row for row in rows) == 2

    play(catalogue, part)


def test_the_same_is_told_in_sentences_and_as_data(catalogue: Catalogue, lukewarm: Run, tmp_path: Path) -> None:
    file = tmp_path / "mine.jsonl"
    file.write_bytes(as_bytes(recorded(catalogue)))
    course = true_course(catalogue, recorded(catalogue))
    coolant = next(track for track in course.tracks if track.name == "coolant")
    _, told, _ = lukewarm("debrief", str(file))
    assert f"coolant: least {coolant.values.min():.0f} °C" in told
    assert f"engine {course.moment(course.end).state[st.JACKET]:.0f} °C" in told
    _, data, _ = lukewarm("debrief", str(file), "--format", "json")
    kept = json.loads(data)["course"]
    assert len(kept["minutes"]) <= 240
    track = next(track for track in kept["tracks"] if track["name"] == "coolant")
    assert len(track["values"]) == len(kept["minutes"])
    assert track["most"] == round(float(coolant.values.max()), 3)
    _, us, _ = lukewarm("debrief", str(file), "--units", "us")
    assert f"coolant: least {coolant.values.min() * 1.8 + 32:.0f} °F"[:18] in us


def test_a_job_in_which_no_time_passed(lukewarm: Run, records: Path) -> None:
    lukewarm("text", "cold-tern", lines=("handback",))
    (record,) = records.glob("*.jsonl")
    status, told, _ = lukewarm("debrief", str(record))
    assert status == 0
    assert "No time passed." in told
    assert json.loads(lukewarm("debrief", str(record), "--format", "json")[1])["course"] == {
        "minutes": [],
        "tracks": [],
    }
