"""Misted glass gets wet and dries again. Common practice, no source, where nothing else is said."""

import pytest

from sim.vehicle import states as st
from sim.world import running
from tests.scenarios.disputed.vehicles import VEHICLES, cold, field, go, seen, value, with_fault
from tests.scenarios.life import DAMP

each_vehicle = pytest.mark.parametrize("name", VEHICLES)


def damp(name: str, fault: str = "none"):
    """Three aboard on a damp day of 2 degC."""
    world = cold(with_fault(name, fault))
    world.fleet.controls["outside_humidity"] = DAMP
    world.fleet.state[:, st.HUMIDITY] = DAMP
    world.set(occupants=3.0)
    return world


@each_vehicle
def test_a_wet_windscreen_dries_with_warm_air_on_it_faster_than_without(name: str) -> None:
    left = []
    for vents in (0.0, 2.0):
        world = damp(name)
        go(world, 12.0, **running(kmh=50.0))
        world.fleet.state[:, st.GLASS_WATER] = 0.003
        world.fleet.refresh()
        assert seen(world, "glass fog", "eye on the glass") == "fogged"
        world.set(vents=vents, blower=4.0, occupants=1.0)
        go(world, 3.0, **running(kmh=50.0))
        left.append(float(world.fleet.state[0, st.GLASS_WATER]))
    assert left[1] < 0.5 * left[0] < 0.5 * 0.003


def test_a_film_stays_for_a_while_after_the_air_has_become_dry_enough() -> None:
    world = damp("saloon")  # holds its blower back while the engine is cold
    go(world, 4.0, **running(kmh=50.0))
    assert value(world, "glass fog") > 0.1
    go(world, 3.0, **running(kmh=50.0))
    assert value(world, "glass fog") > 0.02
    go(world, 20.0, **running(kmh=50.0))
    assert value(world, "glass fog") < 0.02


@pytest.mark.parametrize("name", ["hatch", "pickup", "saloon", "hybrid"])
def test_a_leaking_core_keeps_the_glass_wet(name: str) -> None:
    leaks, sound = damp(name, "heater-core-leak"), damp(name)
    for world in (leaks, sound):
        go(world, 20.0, **running(kmh=50.0))
    assert value(sound, "glass fog") < 0.1
    assert seen(leaks, "glass fog", "eye on the glass") != "clear"


@each_vehicle
def test_water_on_the_glass_is_water_the_air_has_lost(name: str) -> None:
    world = damp(name)
    go(world, 2.0, **running(kmh=50.0))
    if field(world, "glass_water_kg_s") > 0.0:
        assert field(world, "condensing_kg_s") >= field(world, "glass_water_kg_s")
    world.fleet.state[:, st.GLASS_WATER] = 0.0
    world.fleet.state[:, st.HUMIDITY] = 0.0
    world.fleet.refresh()
    assert field(world, "glass_water_kg_s") == 0.0  # dry glass has nothing to give


def test_glass_is_colder_at_speed_and_warmer_with_air_on_it() -> None:
    """The film outside grows with the wind (textbook, M)."""
    world = damp("hatch")
    go(world, 15.0, **running(kmh=50.0))
    at_50 = field(world, "glass_C")
    world.set(**running())
    standing = field(world, "glass_C")
    world.set(vents=2.0)
    world.wait(1.0)
    assert at_50 < standing < field(world, "glass_C")
