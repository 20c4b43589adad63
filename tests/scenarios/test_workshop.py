"""Workshop actions: controls, running time, walking, and refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest

import scenarios.watching
from scenarios.actions import Action
from scenarios.model import BAY, BENCH, DASH, ROAD, SEAT
from scenarios.watching import WATCH
from scenarios.workshop import SCALDING_C, SCALDING_KPA, UNSAFE_C, VENTS, WALK_MINUTES
from sim.fleet import Fleet
from sim.observation.loop import gauge_needle
from sim.vehicle import states as st
from sim.world import World
from tests.scenarios.workshops import AMBIENT_C, ATMOSPHERE_KPA, IDLING, OFF, controls, do, moved, refused, workshop

IN_THE_RED = {"gauge_works": 0.0, "gauge_rest": 0.95}
"""A gauge stuck in the red whenever the ignition is on."""
RED_C = 118.5
"""Coolant temperature [degC] at which the needle reaches the red, 0.86: it rises from 0.5 at 105 to 0.9 at 120."""


def test_initial_state() -> None:
    shop = workshop(sample_every=2.0)
    assert (shop.minute, shop.place) == (0.0, SEAT)
    assert controls(shop) == {
        **OFF,
        "heater": 0.0,
        "blower": 0.0,
        "vents": 0.0,
        "recirculation": 0.0,
        "bonnet": 0.0,
        "cap": 1.0,
        "ambient_C": AMBIENT_C,
        "atmosphere_kPa": ATMOSPHERE_KPA,
        "outside_humidity": 0.003,
        "occupants": 1.0,
    }
    assert shop.fleet.state[0, : st.WAX].tolist() == [AMBIENT_C] * st.WAX
    assert shop.world.weather.mean == AMBIENT_C
    assert shop.world.sample_every == 2.0
    assert workshop().world.sample_every is None


def test_constants() -> None:
    """Walking time is ours; the rest is common practice, the scald limit after ISO 13732-1 (from memory)."""
    assert (WALK_MINUTES, SCALDING_KPA, SCALDING_C, UNSAFE_C) == (0.5, 10.0, 55.0, 45.0)
    assert VENTS == {"floor": 0.0, "face": 1.0, "screen": 2.0}
    assert (WATCH.label, WATCH.quantity, WATCH.instrument) == (
        "gauge on the way",
        "gauge needle",
        "glance at the gauge",
    )


# -- controls --


@pytest.mark.parametrize(
    ("arguments", "changes"),
    [
        (("heater", 55.0), {"heater": 0.55}),
        (("heater", 100.0), {"heater": 1.0}),
        (("heater", 0.0), {"heater": 0.0}),
        (("blower", 4.0), {"blower": 4.0}),
        (("blower", 2.6), {"blower": 3.0}),
        (("blower", 2.4), {"blower": 2.0}),
        (("blower", 0.0), {"blower": 0.0}),
        (("vents", "floor"), {"vents": 0.0}),
        (("vents", "face"), {"vents": 1.0}),
        (("vents", "screen"), {"vents": 2.0}),
        (("recirculation", "on"), {"recirculation": 1.0}),
        (("recirculation", "off"), {"recirculation": 0.0}),
    ],
)
def test_set_moves_one_control(arguments: tuple[str, float | str], changes: dict[str, float]) -> None:
    shop = workshop()
    shop.world.set(heater=0.5, blower=1.0, vents=1.5, recirculation=0.5)
    before = controls(shop)
    done = do(shop, "set", *arguments)
    assert moved(before, controls(shop)) == changes
    assert (done.action, done.minutes, done.readings) == (Action("set", arguments), 0.0, [])


@pytest.mark.parametrize(
    ("action", "why"),
    [
        (("set", "heater", -0.1), "heater cannot be -0.1, expected 0 to 100"),
        (("set", "heater", 100.1), "heater cannot be 100.1, expected 0 to 100"),
        (("set", "blower", -1.0), "blower cannot be -1, expected 0 to 4"),
        (("set", "blower", 4.1), "blower cannot be 4.1, expected 0 to 4"),
        (("set", "vents", "roof"), "vents cannot be 'roof', expected one of: floor, face, screen"),
        (("set", "recirculation", "half"), "recirculation cannot be 'half', expected one of: on, off"),
        (
            ("set", "radio", 1.0),
            "there is no control 'radio', expected one of: heater, blower, vents, recirculation",
        ),
        (("ignition", "start"), "ignition cannot be 'start', expected one of: on, off"),
        (("engine", "on"), "engine cannot be 'on', expected one of: start, stop"),
        (
            ("go", "roof"),
            "you cannot walk to 'roof', expected one of: driver's seat, engine bay, under the dash, bench",
        ),
        (
            ("go", ROAD),
            f"you cannot walk to '{ROAD}', expected one of: driver's seat, engine bay, under the dash, bench",
        ),
        (("wait", -1.0), "minutes cannot be -1, expected 0 to 1440"),
        (("wait", 1440.1), "minutes cannot be 1440.1, expected 0 to 1440"),
        (("wait", math.nan), "minutes cannot be nan, expected 0 to 1440"),
        (("check", "feel"), "there is no check 'feel', expected one that 'look' lists"),
        (("repair", "feel"), "there is no repair 'feel', expected one that 'look' lists"),
        (("rev", 2000.0, 1.0), "the engine is not running, expected 'engine start' first"),
        (("idle", 1.0), "the engine is not running, expected 'engine start' first"),
        (("drive", 1.0), "the engine is not running, expected 'engine start' first"),
    ],
)
def test_refused_without_effect(action: tuple[str, float | str], why: str) -> None:
    shop = workshop()
    do(shop, "go", BAY)
    assert refused(shop, str(action[0]), *action[1:]) == why


@pytest.mark.parametrize(
    ("action", "why"),
    [
        (("rev", 599.0, 1.0), "engine speed cannot be 599, expected 600 to 5000"),
        (("rev", 5001.0, 1.0), "engine speed cannot be 5001, expected 600 to 5000"),
        (("rev", 2000.0, -0.1), "minutes cannot be -0.1, expected 0 to 60"),
        (("rev", 2000.0, 60.1), "minutes cannot be 60.1, expected 0 to 60"),
        (("idle", -0.1), "minutes cannot be -0.1, expected 0 to 240"),
        (("idle", 240.1), "minutes cannot be 240.1, expected 0 to 240"),
        (("drive", -0.1), "minutes cannot be -0.1, expected 0 to 240"),
        (("drive", 240.1), "minutes cannot be 240.1, expected 0 to 240"),
        (("drive", 1.0, 4.9), "road speed cannot be 4.9, expected 5 to 130"),
        (("drive", 1.0, 130.1), "road speed cannot be 130.1, expected 5 to 130"),
    ],
)
def test_run_out_of_range_is_refused_without_effect(action: tuple[str, float], why: str) -> None:
    shop = workshop()
    do(shop, "engine", "start")
    do(shop, "go", BAY)
    assert refused(shop, str(action[0]), *action[1:]) == why


@pytest.mark.parametrize(
    "action",
    [("rev", 600.0, 0.1), ("rev", 5000.0, 60.0), ("idle", 240.0), ("drive", 0.1, 5.0), ("drive", 240.0, 130.0)],
)
def test_range_limits_are_allowed(action: tuple[str, float]) -> None:
    """With two cars, so that no run is stopped for the gauge."""
    shop = workshop(n=2)
    do(shop, "engine", "start")
    assert do(shop, str(action[0]), *action[1:]).minutes == max(action[2:] if action[0] == "rev" else action[1:2])


@pytest.mark.parametrize("action", [("wait", 0.0), ("idle", 0.0), ("rev", 2000.0, 0.0), ("drive", 0.0)])
def test_zero_minutes_are_allowed(action: tuple[str, float]) -> None:
    shop = workshop()
    do(shop, "engine", "start")
    done = do(shop, str(action[0]), *action[1:])
    assert (done.minutes, done.broken_off, shop.minute) == (0.0, False, 0.0)


def test_wait_of_a_whole_day() -> None:
    shop = workshop()
    before = controls(shop)
    assert do(shop, "wait", 1440.0).minutes == 1440.0
    assert controls(shop) == before


def test_ignition_and_engine() -> None:
    shop = workshop()
    before = controls(shop)
    do(shop, "ignition", "on")
    assert moved(before, controls(shop)) == {"ignition": 1.0}
    do(shop, "ignition", "off")
    assert moved(before, controls(shop)) == {}
    do(shop, "engine", "start")
    assert moved(before, controls(shop)) == {"ignition": 1.0, "engine": 1.0}
    shop.world.set(rpm=2000.0, kmh=50.0, load_kW=2.0)
    do(shop, "ignition", "on")
    assert controls(shop) == {**before, **IDLING, "rpm": 2000.0, "kmh": 50.0, "load_kW": 2.0}
    do(shop, "engine", "stop")
    assert controls(shop) == {**before, "ignition": 1.0}
    shop.world.set(rpm=2000.0, kmh=50.0, load_kW=2.0)
    do(shop, "engine", "start")
    assert controls(shop) == {**before, **IDLING}
    shop.world.set(rpm=2000.0, kmh=50.0, load_kW=2.0)
    do(shop, "ignition", "off")
    assert controls(shop) == before
    assert shop.minute == 0.0


def test_missing_needs() -> None:
    shop = workshop()
    every = ("engine-off", "engine-running", "ignition-on")
    assert shop.missing_needs(every) == ["engine-running", "ignition-on"]
    do(shop, "ignition", "on")
    assert shop.missing_needs(every) == ["engine-running"]
    do(shop, "engine", "start")
    assert shop.missing_needs(every) == ["engine-off"]
    assert shop.missing_needs(("engine-running",)) == []


# -- time --


class Glances:
    """Logs the minute, rpm, km/h and load at each look at the gauge."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.log: list[tuple[float, float, float, float]] = []
        self.shop = workshop()
        monkeypatch.setattr(scenarios.watching, "gauge_needle", self)

    def __call__(self, fleet: Fleet) -> np.ndarray:
        rpm, kmh, load = (self.shop.control(name) for name in ("rpm", "kmh", "load_kW"))
        self.log.append((self.shop.minute, rpm, kmh, load))
        return gauge_needle(fleet)


@pytest.mark.parametrize(
    ("action", "speeds"),
    [
        (("idle", 1.25), (0.0, 0.0, 0.0)),
        (("rev", 2000.0, 1.25), (2000.0, 0.0, 0.0)),
        (("drive", 1.25), (0.0, 50.0, 2.0)),
        (("drive", 1.25, 60.0), (0.0, 60.0, 2.0)),
        (("drive", 1.25, 61.0), (0.0, 61.0, 0.0)),
    ],
)
def test_gauge_is_checked_every_half_minute_and_read_at_the_end(
    action: tuple[str, float], speeds: tuple[float, float, float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Up to 60 km/h a drive takes an extra 2 kW (``sim.world.running``)."""
    glances = Glances(monkeypatch)
    do(glances.shop, "engine", "start")
    done = do(glances.shop, str(action[0]), *action[1:])
    assert glances.log == [(0.5, *speeds), (1.0, *speeds), (1.25, *speeds)]
    assert (done.minutes, done.broken_off, done.action) == (1.25, False, Action(str(action[0]), action[1:]))
    assert done.readings == [(WATCH, gauge_needle(glances.shop.fleet), 1.25)]
    assert {name: controls(glances.shop)[name] for name in IDLING} == IDLING  # it idles afterwards


def test_fleet_runs_without_looking_at_the_gauge(monkeypatch: pytest.MonkeyPatch) -> None:
    glances = Glances(monkeypatch)
    glances.shop = workshop(IN_THE_RED, n=2)
    do(glances.shop, "engine", "start")
    legs, wait = [], World.wait
    monkeypatch.setattr(World, "wait", lambda world, seconds: (legs.append(seconds), wait(world, seconds)))
    done = do(glances.shop, "drive", 1.25, 50.0)
    assert glances.log == [(1.25, 0.0, 50.0, 2.0)]
    assert legs == [75.0]  # one uninterrupted run
    assert (done.minutes, done.broken_off, done.action) == (1.25, False, Action("drive", (1.25, 50.0)))
    assert [(spec, values.tolist()) for spec, values, _minute in done.readings] == [(WATCH, [0.95, 0.95])]


@pytest.mark.parametrize(
    ("action", "left"),
    [
        (("idle", 3.0), Action("idle", (0.5,))),
        (("rev", 2000.0, 3.0), Action("rev", (2000.0, 0.5))),
        (("drive", 3.0), Action("drive", (0.5,))),
        (("drive", 3.0, 90.0), Action("drive", (0.5, 90.0))),
        (("drive", 0.51), Action("drive", (0.5,))),
    ],
)
def test_run_stops_at_the_first_look_in_the_red(action: tuple[str, float], left: Action) -> None:
    shop = workshop(IN_THE_RED)
    do(shop, "engine", "start")
    done = do(shop, str(action[0]), *action[1:])
    assert (done.action, done.minutes, done.broken_off) == (left, 0.5, True)
    assert [(spec, values.tolist()) for spec, values, _minute in done.readings] == [(WATCH, [0.95])]
    assert {name: controls(shop)[name] for name in IDLING} == IDLING


@pytest.mark.parametrize("minutes", [0.4, 0.5])
def test_run_that_ends_in_the_red_is_complete(minutes: float) -> None:
    shop = workshop(IN_THE_RED)
    do(shop, "engine", "start")
    done = do(shop, "idle", minutes)
    assert (done.action, done.minutes, done.broken_off) == (Action("idle", (minutes,)), minutes, False)


def test_last_fraction_of_a_second_is_run() -> None:
    shop = workshop()
    do(shop, "engine", "start")
    done = do(shop, "idle", 0.51)
    assert (done.minutes, done.broken_off) == (pytest.approx(0.51), False)


def test_overheating_engine_is_stopped_at_the_next_look() -> None:
    """Fan and thermostat do not work. An unwatched pair of cars tells when the needle reaches the red."""
    overheats = {"fan_works": 0.0, "lift_most": 0.0}
    pair, one = workshop(overheats, n=2, sample_every=1.0), workshop(overheats)
    for shop in (pair, one):
        do(shop, "engine", "start")
    whole = do(pair, "drive", 20.0, 50.0)
    moments, _, seen = pair.world.all_samples()
    red = float(moments[np.argmax(seen["pcm_C"] > RED_C)]) / 60.0
    assert 5.0 < red < 15.0
    done = do(one, "drive", 20.0, 50.0)
    expected = math.ceil(red / 0.5) * 0.5
    assert (done.action, done.minutes, done.broken_off) == (Action("drive", (expected, 50.0)), expected, True)
    assert done.readings[0][1][0] > 0.86
    assert (whole.minutes, whole.broken_off) == (20.0, False)


# -- walking and the bonnet --


@pytest.mark.parametrize(
    ("way", "bonnet"),
    [
        ((BAY,), 1.0),
        ((DASH,), 0.0),
        ((BENCH,), 0.0),
        ((BAY, SEAT), 0.0),
        ((BAY, DASH), 0.0),
        ((BAY, BENCH), 1.0),
        ((BAY, BENCH, SEAT), 0.0),
        ((DASH, BENCH), 0.0),
    ],
)
def test_bonnet_is_open_in_the_bay_and_somebody_sits_in_the_cabin_only_at_the_seat(
    way: tuple[str, ...], bonnet: float
) -> None:
    shop = workshop()
    before = controls(shop)
    for place in way:
        done = do(shop, "go", place)
        assert (shop.place, done.minutes, done.action) == (place, 0.5, Action("go", (place,)))
    assert controls(shop) == {**before, "bonnet": bonnet, "occupants": float(way[-1] == SEAT)}
    assert shop.minute == 0.5 * len(way)
    assert do(shop, "go", way[-1]).minutes == 0.0  # already there


def test_driving_starts_from_the_seat_with_the_bonnet_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    glances = Glances(monkeypatch)
    shop = glances.shop
    do(shop, "engine", "start")
    do(shop, "go", BAY)
    done = do(shop, "drive", 0.5)
    assert glances.log == [(1.5, 0.0, 50.0, 2.0)]  # half a minute there, half a minute back
    assert (done.minutes, shop.place, shop.control("bonnet")) == (1.0, SEAT, 0.0)


@pytest.mark.parametrize(
    "action",
    [
        Action("set", ("blower", 1.0)),
        Action("ignition", ("on",)),
        Action("engine", ("start",)),
        Action("wait", (1.0,)),
        Action("go", (BAY,)),
        Action("check", ("coolant-level-cold",)),
        Action("repair", ("top-up",)),
    ],
)
def test_performed_action_is_the_one_asked_for(action: Action) -> None:
    done = workshop().perform(action)
    assert (done.action, done.broken_off) == (action, False)


def test_vehicles_that_could_not_be_calculated_are_named() -> None:
    shop = workshop(n=2)
    assert do(shop, "wait", 1.0).failed.tolist() == [False, False]
    shop.fleet.parameters["wax_s"][1] = math.nan
    do(shop, "engine", "start")
    assert do(shop, "idle", 1.0).failed.tolist() == [False, True]


def test_idling_and_waiting_do_not_move_the_person() -> None:
    shop = workshop()
    do(shop, "engine", "start")
    do(shop, "go", BAY)
    for action in (("idle", 0.5), ("rev", 2000.0, 0.5), ("wait", 0.5)):
        assert do(shop, str(action[0]), *action[1:]).minutes == 0.5
    assert (shop.place, shop.control("bonnet")) == (BAY, 1.0)


@pytest.mark.parametrize(("engine", "aboard"), [(0.0, 0.0), (1.0, 1.0)])
def test_nobody_sits_in_a_vehicle_left_to_stand(monkeypatch: pytest.MonkeyPatch, engine: float, aboard: float) -> None:
    shop = workshop()
    if engine:
        do(shop, "engine", "start")
    during: list[float] = []
    wait = shop.world.wait
    monkeypatch.setattr(shop.world, "wait", lambda s: (during.append(shop.control("occupants")), wait(s)))
    do(shop, "wait", 30.0)
    assert during == [aboard] and shop.control("occupants") == 1.0
