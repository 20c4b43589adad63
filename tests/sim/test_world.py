"""The world's clock on a tiny world, and a world's copy."""

from __future__ import annotations

import math
from collections.abc import Generator
from typing import Any

import numpy as np
import pytest
import simpy

from sim.fleet import Fleet
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import STOPPED, Leg, Weather, World, running


def tiny(ambient: float = 10.0, swing: float = 0.0, **options: Any) -> World:
    return World(Fleet.cold(healthy(1), ambient), Weather(ambient, swing), **options)


def test_log_of_a_drive() -> None:
    """A drive of two legs with a person beside it: one equality on a log of (time, what)."""
    world = tiny()
    log: list[tuple[float, str]] = []

    def person(env: simpy.Environment) -> Generator[simpy.Event, Any, None]:
        yield env.timeout(90.0)
        world.set(heater=1.0)
        log.append((world.now, f"heater to {world.fleet.controls['heater'][0]:.0f}"))
        yield env.timeout(30.0)
        world.sync()
        log.append((world.now, f"engine {world.fleet.controls['engine'][0]:.0f}"))

    world.env.process(person(world.env))
    world.run([Leg(60.0, running(kmh=50.0)), Leg(60.0, STOPPED)])
    log.append((world.now, f"speed {world.fleet.controls['kmh'][0]:.0f}"))
    assert log == [(90.0, "heater to 1"), (120.0, "engine 0"), (120.0, "speed 0")]


def test_a_drive_in_pieces_ends_at_the_same_moment() -> None:
    world = tiny(start=100.0)
    world.wait(25.5)
    world.wait(0.0)
    world.run([Leg(10.0, running()), Leg(4.5, {})])
    assert world.now == pytest.approx(140.0)


def test_an_onlooker_changes_little() -> None:
    """Syncing starts steps afresh, so a sync in between may move states by their allowed error and no more."""
    alone, watched = tiny(), tiny()

    def watch(env: simpy.Environment) -> Generator[simpy.Event, Any, None]:
        while True:
            yield env.timeout(7.0)
            watched.sync()

    watched.env.process(watch(watched.env))
    for world in (alone, watched):
        world.run([Leg(300.0, running(kmh=50.0))])
    difference = np.abs(alone.fleet.state - watched.fleet.state)[0, : st.TEMPERATURES]
    assert difference.max() < 0.01


def test_a_copy_does_not_disturb_the_original() -> None:
    world, twin = tiny(), tiny()
    for made in (world, twin):
        made.run([Leg(200.0, running(kmh=50.0))])
    what_if = world.copy()
    what_if.fleet.parameters["lift_least"] = 1.0
    what_if.run([Leg(600.0, running(rpm=2000.0))])
    assert what_if.now == pytest.approx(800.0)
    assert world.now == pytest.approx(200.0)
    for made in (world, twin):
        made.run([Leg(50.0, running())])
    assert world.fleet.state.tobytes() == twin.fleet.state.tobytes()
    assert world.fleet.algebraic.tobytes() == twin.fleet.algebraic.tobytes()


def test_samples_lie_at_their_spacing() -> None:
    world = tiny(sample_every=10.0)
    world.run([Leg(25.0, running()), Leg(25.0, {"heater": 1.0})])
    times, states, quantities = world.all_samples()
    assert times.tolist() == [10.0, 20.0, 30.0, 40.0, 50.0]
    assert (len(states), len(quantities)) == (5, 5)
    assert [float(samples.controls["heater"]) for samples in world.samples] == [0.0, 1.0]
    assert world.all_samples(1)[0].tolist() == [30.0, 40.0, 50.0]


def test_no_sample_is_lost_or_taken_twice_where_times_are_sums_of_floats() -> None:
    world = tiny(sample_every=0.1)
    world.run([Leg(0.1, running())] * 30)
    assert world.all_samples()[0] == pytest.approx(np.arange(1, 31) / 10.0)


def test_a_long_stretch_keeps_no_more_samples_than_asked_for() -> None:
    few, all_ = tiny(sample_every=1.0, max_samples=20), tiny(sample_every=1.0, max_samples=math.inf)
    for world in (few, all_):
        world.run([Leg(50.0, running())])
    assert few.all_samples()[0].tolist() == np.arange(3.0, 50.0, 3.0).tolist()
    assert len(all_.all_samples()[0]) == 50


def test_weather_turns_with_the_day() -> None:
    weather = Weather(10.0, 8.0, hour=6.0)
    assert weather.at(9.0 * 3600.0) == pytest.approx(14.0)
    assert weather.at(21.0 * 3600.0) == pytest.approx(6.0)
    world = World(Fleet.cold(healthy(1), weather.at(0.0)), weather)
    world.wait(9.0 * 3600.0)
    assert world.fleet.controls["ambient_C"][0] == pytest.approx(14.0, abs=0.05)
    assert 6.0 < world.fleet.state[0, st.JACKET] < 14.0
