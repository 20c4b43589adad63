"""The month after the keys go back: what was left undone comes back by itself, what was cured does not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.comeback import DAYS, WARM_SPELL, Comeback, live_on
from scenarios.actions import Action
from scenarios.files.loader import load_catalogue
from scenarios.model import Change, Repair
from tests.grading.workbench import CURE, PROVE, bench, marks, play, repair_named, with_fault

BACK = Action("handback")
HOSE = (*CURE[:2], Action("repair", ("new-hose",)))


def after(fault: str, *actions: Action) -> Comeback:
    catalogue, job = with_fault(bench(), fault)
    came = live_on(catalogue, job, play(catalogue, job, *actions, BACK).recorder.entries)
    assert came is not None
    return came


@pytest.mark.parametrize("fault", ["coolant-low", "thermostat-stuck-open"])
def test_a_fault_that_stays_brings_the_complaint_back(fault: str) -> None:
    came = after(fault)
    assert came.day is not None and came.day <= DAYS


@pytest.mark.parametrize(
    ("fault", "cure"), [("coolant-low", CURE), ("hose-leaks", HOSE), ("none", ()), ("none", PROVE)]
)
def test_what_is_cured_stays_away(fault: str, cure: tuple[Action, ...]) -> None:
    assert after(fault, *cure).day is None


def test_a_leak_that_was_only_topped_up_and_bled_comes_back_later() -> None:
    came, at_once = after("hose-leaks", *CURE), after("hose-leaks")
    assert came.day is not None and at_once.day is not None
    assert came.day > at_once.day
    assert after("hose-leaks", *CURE) == came


def test_a_valve_tied_open_is_felt_in_warm_weather() -> None:
    """On a vehicle whose valve alone regulates the heat: warm in winter, and no cold air in the warm spell."""
    catalogue = bench()
    vehicle = replace(catalogue.vehicles["tern"], parameters={"blend_least": 1.0})
    broken = replace(
        catalogue.faults["coolant-low"],
        id="cable-off",
        changes=(Change("valve_linkage", to=0.0), Change("valve_rest", to=0.0)),
    )
    tie = Repair("tie", "Tie it open", "valve", "engine bay", 5.0, "none", (), frozenset(), (), False, (),
                 ("tie valve open",), ())  # fmt: skip
    catalogue = repair_named(replace(catalogue, vehicles={"tern": vehicle}), tie)
    catalogue, job = with_fault(replace(catalogue, faults=catalogue.faults | {"cable-off": broken}), "cable-off")
    left = live_on(catalogue, job, play(catalogue, job, BACK).recorder.entries)
    assert left is not None and left.day == 1 and "cold" in left.what
    tied = live_on(catalogue, job, play(catalogue, job, Action("repair", ("tie",)), BACK).recorder.entries)
    assert tied is not None and tied.day in WARM_SPELL
    assert "warm weather" in tied.what


def test_the_grade_tells_it() -> None:
    catalogue, job = with_fault(bench(), "thermostat-stuck-open")
    grade = marks(play(catalogue, job, Action("diagnose", ("none", 50.0)), BACK))
    assert grade.comeback is not None and grade.comeback.day is not None
    assert any(f"day {grade.comeback.day}" in str(reason) for reason in grade.reasons)
    cured = repair_named(
        catalogue,
        Repair("x", "X", "x", "engine bay", 5.0, "small", (), frozenset(), (), False, ("lift_least",), (), ()),
    )
    cured, job = with_fault(cured, "thermostat-stuck-open")
    better = marks(play(cured, job, Action("diagnose", ("none", 50.0)), Action("repair", ("x",)), BACK))
    assert better.comeback is not None and better.comeback.day is None


def test_no_month_before_the_keys_go_back() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    assert live_on(catalogue, job, play(catalogue, job).recorder.entries) is None


REAL = load_catalogue()


@pytest.mark.parametrize("vehicle", REAL.vehicles)
def test_a_sound_vehicle_of_the_catalogue_brings_no_complaint(vehicle: str) -> None:
    job = replace(next(iter(REAL.jobs.values())), vehicle=vehicle, faults=())
    came = live_on(REAL, job, play(REAL, job, BACK).recorder.entries)
    assert came is not None and came.day is None, came
