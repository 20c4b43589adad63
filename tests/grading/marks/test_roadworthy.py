"""What must not be driven, and what the job card has to do with it. Common practice where no source is named."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.comeback import DAYS, Comeback, month_after
from grading.marks.roadworthy import NO_DEMISTING, ON_THE_EXHAUST, unroadworthy
from grading.sessions.modes import NOT_DRIVEN
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Planted
from sim.fleet import Fleet
from sim.vehicle.parameters import healthy
from sim.vehicle.records import concatenate_records
from sim.world import Weather, World
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()


def why(vehicle: str, ambient_C: float = 2.0, **changes: float) -> str:
    """Why a vehicle with changed parameters must not be driven."""
    good = healthy(1, CATALOGUE.vehicles[vehicle].parameters)
    mine = good.copy()
    for name, value in changes.items():
        mine[name] = value
    return unroadworthy(World(Fleet.cold(concatenate_records([mine, good]), ambient_C), Weather(ambient_C)), ambient_C)


@pytest.mark.parametrize("vehicle", CATALOGUE.vehicles)
@pytest.mark.parametrize("ambient_C", [-15.0, 2.0, 25.0])
def test_a_sound_vehicle_is_roadworthy(vehicle: str, ambient_C: float) -> None:
    assert why(vehicle, ambient_C) == ""


def test_without_air_at_the_screen_it_is_not() -> None:
    assert why("pickup", blower_fuse=0.0) == NO_DEMISTING
    assert why("pickup", 25.0, motor_ohm=1e9) == NO_DEMISTING
    assert why("pickup", mode_moves=0.0, mode_rest=0.0) == NO_DEMISTING
    assert why("pickup", blower_ground_ohm=0.5) == ""  # weak on full speed, and it clears


def test_in_the_cold_that_air_must_be_warm() -> None:
    """A core that lets nothing through; an engine that runs cool still clears the glass."""
    assert why("pickup", 2.0, core_clear=0.0) == NO_DEMISTING
    assert why("pickup", 15.0, core_clear=0.0) == ""
    assert why("pickup", 2.0, lift_least=0.1) == ""


def test_a_leak_is_dangerous_where_it_drips_onto_the_exhaust() -> None:
    assert why("hatch", leak_hose=0.0005) == ON_THE_EXHAUST
    assert why("hatch", leak_hose=0.0001) == ""  # it dries
    assert why("saloon", leak_hose=0.0005) == ""  # its hoses run elsewhere
    assert why("hatch", leak_pump=0.0005) == ""  # it drips to the ground


def handed_back(*card: str, fault: str = "blower-fuse-blown", ambient_C: float = 2.0) -> Comeback:
    """The month after handing back at once."""
    planted = (Planted(fault, 1.0),) if fault else ()
    job = replace(CATALOGUE.jobs["quiet-dash"], faults=planted, ambient_C=ambient_C)
    session = Session(CATALOGUE, job, 1)
    session.do(Action("handback", card))
    came = month_after(CATALOGUE, job, session.recorder.entries)
    assert came is not None
    return came


def test_the_card_decides_who_answers_for_it() -> None:
    driven, held = handed_back(), handed_back(NOT_DRIVEN)
    assert (driven.forbidden, driven.held, driven.day) == (NO_DEMISTING, False, 1)
    assert (held.forbidden, held.unroadworthy, held.day, held.days) == ("", NO_DEMISTING, None, 0)
    assert held.held and not held.needlessly_held


def test_a_sound_vehicle_is_held_without_need() -> None:
    assert handed_back(NOT_DRIVEN, fault="").needlessly_held
    assert (handed_back(fault="").needlessly_held, handed_back(fault="").days) == (False, DAYS)
    assert not Comeback(None, "", True, 0, "", True).needlessly_held  # it would have overheated


def test_somebody_is_aboard_on_the_trip_and_nobody_at_night(monkeypatch: pytest.MonkeyPatch) -> None:
    both = healthy(2, CATALOGUE.vehicles["hatch"].parameters)
    world = World(Fleet.cold(both, 2.0), Weather(2.0))
    aboard: list[float] = []
    wait = world.wait
    monkeypatch.setattr(world, "wait", lambda s: (aboard.append(float(world.fleet.controls["occupants"][0])), wait(s)))
    assert unroadworthy(world, 2.0) == ""
    assert aboard == [0.0, 1.0, 1.0]
