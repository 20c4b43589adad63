"""What has to be done first, and that plain text offers it instead of asking and then refusing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Catalogue
from tui.presentation.first_step import first_step
from tui.text import plain
from tui.text.text import TextJob

JOB = "cold-tern"


def _session(catalogue: Catalogue, *needs: str) -> Session:
    check = replace(catalogue.checks["gauge"], needs=needs)
    changed = replace(catalogue, checks=catalogue.checks | {"gauge": check})
    return Session(changed, changed.jobs[JOB], 1)


GAUGE = Action("check", ("gauge",))


@pytest.mark.parametrize(
    ("needs", "before", "first", "offer"),
    [
        (("ignition-on",), (), "ignition on", "Ignition is off. Enter switches it on and takes the reading."),
        (("ignition-on", "engine-running"), (), "engine start", "The engine is stopped. Enter starts it and takes"),
        (("engine-off",), ("engine start",), "engine stop", "The engine is running. Enter stops it and takes"),
        (("engine-off", "ignition-off"), ("engine start",), "ignition off", "Ignition is on. Enter switches it off"),
        (("engine-off",), (), None, ""),
    ],
)
def test_one_control_is_moved_first(
    catalogue: Catalogue, needs: tuple[str, ...], before: tuple[str, ...], first: str | None, offer: str
) -> None:
    session = _session(catalogue, *needs)
    for line in before:
        session.do(Action(line.split()[0], (line.split()[1],)))
    found = first_step(session, GAUGE)
    assert (found.command if found else None) == first
    assert found is None or found.offer.startswith(offer)
    if found is not None:
        assert session.do(found.action).refused is None
        assert first_step(session, GAUGE) is None
        assert session.do(GAUGE).refused is None


@pytest.mark.parametrize(
    ("action", "offer"),
    [
        (Action("drive", (5.0, 50.0)), "The engine is stopped. Enter starts it and drives."),
        (Action("rev", (2000.0, 1.0)), "The engine is stopped. Enter starts it and holds the speed."),
        (Action("idle", (1.0,)), "The engine is stopped. Enter starts it and lets it idle."),
        (Action("check", ("road-gauge",)), "The engine is stopped. Enter starts it and takes the reading."),
        (Action("wait", (1.0,)), None),
        (Action("check", ("no-such",)), None),
        (Action("check"), None),
        (Action("handback"), None),
    ],
)
def test_what_runs_on_the_engine_offers_to_start_it(catalogue: Catalogue, action: Action, offer: str | None) -> None:
    found = first_step(Session(catalogue, catalogue.jobs[JOB], 1), action)
    assert (found.offer if found else None) == offer


def test_a_check_that_this_vehicle_does_not_have_offers_nothing(catalogue: Catalogue) -> None:
    check = replace(catalogue.checks["gauge"], requires=frozenset({"no-such"}))
    changed = replace(catalogue, checks=catalogue.checks | {"gauge": check})
    job = TextJob(changed, Session(changed, changed.jobs[JOB], 1), asks=True)
    assert "error" in job.answer("check gauge")


def test_a_person_is_offered_the_way_and_enter_takes_it(catalogue: Catalogue) -> None:
    job = TextJob(catalogue, Session(catalogue, catalogue.jobs[JOB], 1), asks=True)
    asked = job.answer("check gauge")
    assert plain.lines(asked, "si") == [
        "Ignition is off. Enter switches it on and takes the reading.",
        "Enter goes on, 'back' leaves it.",
    ]
    assert job.session.workshop.control("ignition") == 0.0
    assert [reading["check"] for reading in job.answer("")["readings"]] == ["gauge"]
    job.answer("engine start")
    job.answer("repair top-up")
    assert job.answer("")["cautions"]  # the engine is stopped, and only now is the caution said
    assert job.answer("")["minutes"] > 0.0


def test_a_script_is_told_what_to_type(catalogue: Catalogue) -> None:
    job = TextJob(catalogue, Session(catalogue, catalogue.jobs[JOB], 1))
    answer = job.answer("check gauge")
    assert answer["first"] == "ignition on"
    assert plain.lines(answer, "si")[-1] == "Type this first: ignition on"
    assert job.session.workshop.control("ignition") == 0.0


def test_nothing_is_asked_about_what_is_refused_anyway(catalogue: Catalogue) -> None:
    job = TextJob(catalogue, Session(catalogue, catalogue.jobs[JOB], 1), asks=True)
    assert "question" not in job.answer("idle 9999")
    job.answer("engine start")
    assert "error" in job.answer("idle 9999")
    assert "error" in job.answer("rev 9000 30")
