"""A caution is asked once in a job, and only where its hazard exists."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.sessions.session import Session
from scenarios.actions import Action
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
START, STOP, ON = Action("engine", ("start",)), Action("ignition", ("off",)), Action("ignition", ("on",))


def asked(session: Session, name: str) -> list[str]:
    """Ids of the cautions asked before a check or repair, which are then confirmed."""
    catalogue = session.catalogue
    thing = catalogue.checks.get(name) or catalogue.repairs[name]
    found = [caution.id for caution in session.unseen_cautions(thing)]
    for one in found:
        session.do(Action("note", ("caution", one, "heeded")))
    return found


def fresh(job: str = "first-frost") -> Session:
    return Session(CATALOGUE, CATALOGUE.jobs[job], 1)


def test_heat_and_belts_are_asked_where_they_exist() -> None:
    session = fresh()
    assert asked(session, "upper-hose-squeeze-cold") == []  # stopped and cold: nothing burns, nothing turns
    session.do(START)
    assert asked(session, "upper-hose-squeeze-cold") == ["hot-surfaces", "fan-may-start", "moving-belts"]
    assert asked(session, "upper-hose-squeeze-cold") == []


def test_what_runs_the_engine_brings_its_hazards() -> None:
    told = asked(fresh(), "combustion-leak-test")
    assert {"hot-cap", "moving-belts", "brake-and-chocks", "exhaust-extraction"} <= set(told)


def test_a_fan_can_start_with_the_ignition_on_or_after_a_run() -> None:
    for first, fan in (((), False), ((ON,), True), ((START, Action("idle", (1.0,)), STOP), True)):
        session = fresh()
        for action in first:
            session.do(action)
        assert ("fan-may-start" in asked(session, "weep-hole")) == fan, first


def test_an_engine_that_has_run_may_be_hot() -> None:
    session = fresh()
    for action in (START, Action("idle", (1.0,)), STOP):
        session.do(action)
    told = asked(session, "weep-hole")
    assert "hot-surfaces" in told and "moving-belts" not in told


@pytest.mark.parametrize("answer", ["heeded", "skipped"])
def test_whatever_the_answer_it_is_asked_once(answer: str) -> None:
    session = fresh()
    check = session.catalogue.checks["refractometer"]
    first = [caution.id for caution in session.unseen_cautions(check)]
    assert first[0] == "hot-cap"
    for one in first:
        session.do(Action("note", ("caution", one, answer)))
    assert session.unseen_cautions(check) == []


def test_without_a_condition_it_is_always_asked() -> None:
    session = fresh()
    cautions = {name: replace(caution, when="") for name, caution in CATALOGUE.cautions.items()}
    session.catalogue = replace(CATALOGUE, cautions=cautions)
    assert asked(session, "upper-hose-squeeze-cold") == ["hot-surfaces", "fan-may-start", "moving-belts"]
