"""The month after the keys go back: what was left undone comes back by itself, what was cured does not."""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from grading.marks import comeback
from grading.marks.comeback import DAYS, WARM_SPELL, Comeback, follow, month_after
from scenarios.actions import Action
from scenarios.model import Change, Repair
from sim.fleet import Fleet
from sim.laws.air import standard_atmosphere_pressure
from sim.vehicle.parameters import healthy
from sim.vehicle.tolerances import uniform
from sim.world import MINUTE, STOPPED, Weather, World, running
from tests.grading.workbench import CURE, PROVE, bench, marks, play, repair_named, with_fault
from tests.packaged import packaged_catalogue

BACK = Action("handback")
HOSE = (*CURE[:2], Action("repair", ("new-hose",)))


def after(fault: str, *actions: Action) -> Comeback:
    catalogue, job = with_fault(bench(), fault)
    came = month_after(catalogue, job, play(catalogue, job, *actions, BACK).recorder.entries)
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
    left = month_after(catalogue, job, play(catalogue, job, BACK).recorder.entries)
    assert left is not None and left.day == 1 and "cold" in left.what
    tied = month_after(catalogue, job, play(catalogue, job, Action("repair", ("tie",)), BACK).recorder.entries)
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
    assert month_after(catalogue, job, play(catalogue, job).recorder.entries) is None


REAL = packaged_catalogue()


@pytest.mark.parametrize(
    "vehicle",
    [pytest.param(one, marks=() if one in ("hatch", "electric") else pytest.mark.slow) for one in REAL.vehicles],
)
def test_a_sound_vehicle_of_the_catalogue_brings_no_complaint(vehicle: str) -> None:
    job = replace(next(iter(REAL.jobs.values())), vehicle=vehicle, faults=())
    came = month_after(REAL, job, play(REAL, job, BACK).recorder.entries)
    assert came is not None and came.day is None, came


# Each complaint by a part that brings it.

Part = Mapping[str, float]
MILD_C, WARM_C = 2.0, 25.0
COLD = "the air at the vents stays cold"
REAR = {"rear_G": 2.5, "rear_L": 1.2}
"""Parameters of a vehicle with a rear heater."""


def month(
    mornings: list[float], part: Part, warm_enough_C: float = 35.0, like: Part = types.MappingProxyType({})
) -> Comeback:
    """Days of a vehicle with one part as given, beside the same vehicle in sound order."""
    both = np.concatenate([healthy(1, {**like, **part}), healthy(1, {**like})])
    return follow(World(Fleet.cold(both, mornings[0]), Weather(mornings[0])), mornings, warm_enough_C)


@pytest.mark.parametrize(
    ("part", "what"),
    [
        ({}, ""),
        ({"lift_least": 1.0}, COLD),
        ({"blend_most": 0.3}, COLD),
        ({"pack_1_ohm": 1000.0}, "hardly any air on blower speed 1"),
        ({"pack_2_ohm": 1000.0}, "hardly any air on blower speed 2"),
        ({"pack_3_ohm": 1000.0}, "hardly any air on blower speed 3"),
        ({"blower_m3_s": 0.045}, "hardly any air on blower speed 1"),
        ({"blower_m3_s": 0.055}, "less air than before on blower speed 1"),
        ({"blower_m3_s": 0.07}, ""),
        ({"mode_moves": 0.0, "mode_rest": 1.0}, "the air does not go to the floor when it should"),
        ({"mode_moves": 0.0, "mode_rest": 0.0}, "the air does not go to the face when it should"),
        ({"gauge_works": 0.0, "gauge_rest": 0.2}, "the temperature gauge stands where it should not"),
        ({"gauge_works": 0.0, "gauge_rest": 0.3}, ""),  # mid-scale is 0.5
        ({"carpet_g": 500.0}, "the carpet is wet"),
        ({"carpet_g": 40.0}, ""),
    ],
)
def test_a_complaint_of_the_first_day(part: dict[str, float], what: str) -> None:
    assert month([MILD_C], part) == Comeback(1 if what else None, what, False)


def test_air_that_is_warm_enough_is_not_complained_of() -> None:
    assert month([MILD_C], {"blend_most": 0.3}, 5.0).what == ""
    assert month([MILD_C], {}, 80.0).what == ""  # nor what the sound vehicle does no better


def test_a_rear_heater_is_felt_in_the_rear() -> None:
    assert month([MILD_C], {}, like=REAR).what == ""
    assert month([MILD_C], {"rear_air_share": 1.0}, like=REAR).what == "the air at the rear vents stays cold"


@pytest.mark.parametrize(
    ("mornings", "day", "dangerous"),
    [([WARM_C], 1, True), ([MILD_C, WARM_C], 2, True), ([MILD_C, MILD_C, WARM_C], 3, False)],
)
def test_an_engine_that_overheats_within_two_days_was_handed_back_dangerous(
    mornings: list[float], day: int, dangerous: bool
) -> None:
    """A thermostat that stays shut, found out by the first warm day."""
    assert month(mornings, {"lift_most": 0.0}) == Comeback(day, "the needle goes into the red", dangerous)


def test_what_is_cold_is_not_dangerous() -> None:
    assert month([MILD_C], {"lift_least": 1.0}).dangerous is False


def test_a_heater_that_does_not_shut_is_felt_in_the_warm_spell() -> None:
    stuck = {"valve_least": 1.0, "blend_least": 1.0}
    assert month([MILD_C] * 23, stuck).day is None
    assert month([MILD_C] * 24, stuck) == Comeback(
        24, "warm air at the vents in warm weather, with the control at cold", False
    )


def test_a_jam_in_the_warm_spell_finds_a_fan_that_does_not_run() -> None:
    weak = {"fan_works": 0.0, "still_kg_s": 0.0, "radiator_clear": 0.4}
    assert month([30.0] * 25, weak) == Comeback(25, "the needle goes into the red at idle", False)


def test_coolant_is_looked_at_on_the_day_of_rest() -> None:
    """Of a bottle that holds 1.2 litres cold, all are gone; half a litre is not missed."""
    bottle = {"bottle_L": 1.2}
    assert month([MILD_C] * 6, {"bottle_L": 0.0}, like=bottle).day is None
    assert month([MILD_C] * 7, {"bottle_L": 0.0}, like=bottle) == Comeback(7, "coolant has to be topped up", False)
    assert month([MILD_C] * 7, {"bottle_L": 0.7}, like=bottle).day is None


def test_the_month_begins_where_the_job_ended_in_the_job_s_own_weather(monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[tuple[World, list[float], float]] = []

    def followed(world: World, mornings: list[float], warm_enough_C: float, *rest: object) -> Comeback:
        begun.append((world, mornings, warm_enough_C))
        return Comeback(None, "", False)

    monkeypatch.setattr(comeback, "follow", followed)
    catalogue, job = with_fault(bench(), "coolant-low")
    job = replace(job, altitude_m=2000.0, warm_enough_C=33.0)
    catalogue = replace(catalogue, jobs={job.id: job})
    session = play(catalogue, job, Action("wait", (7.0,)), BACK)
    month_after(catalogue, job, session.recorder.entries)
    ((world, mornings, warm_enough),) = begun
    # within 5 K of the job's weather, the same for all who sit this job with this seed
    days = [uniform("month", "cold-tern", session.seed, day) for day in range(1, 31)]
    assert mornings == pytest.approx([job.ambient_C - 5.0 + 10.0 * share for share in days])
    assert (world.now, world.weather.mean, warm_enough) == (7.0 * MINUTE, job.ambient_C, 33.0)
    assert world.fleet.controls["atmosphere_kPa"].tolist() == 2 * [standard_atmosphere_pressure(2000.0)]
    assert (world.fleet.parameters["missing_L"] > 0.0).tolist() == [True, False]


def test_a_vehicle_is_shut_and_stopped_before_its_first_night() -> None:
    world = World(Fleet.cold(healthy(2), MILD_C), Weather(MILD_C))
    world.set(**running(kmh=50.0), bonnet=1.0, cap=0.0, recirculation=1.0, occupants=1.0)
    assert follow(world, [], 35.0) == Comeback(None, "", False)
    left = STOPPED | {"bonnet": 0.0, "cap": 1.0, "recirculation": 0.0, "occupants": 0.0}
    assert {name: float(world.fleet.controls[name][0]) for name in left} == left
