"""Checks, repairs, the radiator cap, and copies of a workshop."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from scenarios.actions import Action
from scenarios.model import BAY, BENCH, DASH, PLACES, ROAD, SEAT
from scenarios.workshop import Workshop
from sim.observation.quantities import QUANTITIES
from sim.repairs import OPERATIONS
from sim.vehicle import states as st
from tests.scenarios.workshops import (
    IDLING,
    OFF,
    Probe,
    a_check,
    a_repair,
    controls,
    do,
    moved,
    reading,
    refused,
    workshop,
)

# -- needs --


def test_missing_equipment_is_refused() -> None:
    things = (
        a_check("rear", requires=frozenset({"rear-heater"})),
        a_repair("rear", requires=frozenset({"rear-heater"})),
    )
    why = "'rear' does not exist on this vehicle, expected one that 'look' lists"
    for verb in ("check", "repair"):
        assert refused(workshop(things=things), verb, "rear") == why
        do(workshop(things=things, equipment=frozenset({"rear-heater"})), verb, "rear")


@pytest.mark.parametrize("verb", ["check", "repair"])
@pytest.mark.parametrize(
    ("needs", "missing"),
    [
        (("engine-running",), "the engine running"),
        (("ignition-on",), "the ignition at run"),
        (("engine-running", "engine-off", "ignition-on"), "the engine running and the ignition at run"),
        (("engine-off",), ""),
        ((), ""),
    ],
)
def test_unmet_needs_are_named(verb: str, needs: tuple[str, ...], missing: str) -> None:
    shop = workshop(things=(a_check(needs=needs), a_repair(needs=needs)))
    name = {"check": "look", "repair": "mend"}[verb]
    if missing:
        assert refused(shop, verb, name) == f"'{name}' cannot be done now, expected {missing}"
    else:
        do(shop, verb, name)


@pytest.mark.parametrize("kmh", [30.0, 1.0])
def test_road_check_needs_a_running_engine(kmh: float) -> None:
    shop = workshop(things=[a_check(place=ROAD, drive_kmh=kmh)])
    assert refused(shop, "check", "look") == "the engine is not running, expected 'engine start' first"
    do(shop, "engine", "start")
    do(shop, "check", "look")


# -- checks --


@pytest.mark.parametrize("place", [place for place in PLACES if place != ROAD])
def test_check_takes_a_walk_and_its_minutes(place: str) -> None:
    shop = workshop(things=[a_check(place=place, minutes=2.5)])
    done = do(shop, "check", "look")
    assert (shop.place, done.minutes) == (place, 2.5 + (0.5 if place != SEAT else 0.0))
    assert (done.action, done.readings, done.broken_off) == (Action("check", ("look",)), [], False)
    assert shop.control("bonnet") == float(place == BAY)
    assert do(shop, "check", "look").minutes == 2.5


def test_readings_are_true_quantities_in_order() -> None:
    looks = (reading("coolant temperature", "coolant"), reading("ambient temperature", "air"))
    shop = workshop(n=2, things=[a_check(readings=looks)])
    do(shop, "go", BAY)
    shop.fleet.state[:, st.JACKET] = 40.0, 60.0
    done = do(shop, "check", "look")
    assert [spec for spec, _values, _minute in done.readings] == list(looks)
    assert np.array_equal(done.readings[0][1], shop.fleet.state[:, st.JACKET])
    assert done.readings[1][1].tolist() == [20.0, 20.0]


def test_equal_settings_share_time_and_are_restored(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Three different settings in six minutes: two minutes each, however many readings share a setting."""
    low, full = {"blower": 1.0}, {"blower": 4.0, "heater": 1.0}
    readings = (
        reading("probe", "a", low),
        reading("probe", "b", full),
        reading("probe", "c"),
        reading("probe", "d", low),
    )
    shop = workshop(things=[a_check(place=SEAT, minutes=6.0, readings=readings)])
    shop.world.set(blower=2.0, heater=0.3)
    probe = Probe(monkeypatch, shop, "blower", "heater")
    before = controls(shop)
    done = do(shop, "check", "look")
    assert probe.log == [(2.0, 1.0, 0.3), (2.0, 1.0, 0.3), (4.0, 4.0, 1.0), (6.0, 2.0, 0.3)]
    assert [(spec.label, float(values[0])) for spec, values, _minute in done.readings] == [
        ("a", 1),
        ("d", 2),
        ("b", 3),
        ("c", 4),
    ]
    assert controls(shop) == before
    assert done.minutes == 6.0


@pytest.mark.parametrize(
    ("at", "taken"),
    [
        ((1.0, 4.0), (1.0, 4.0)),
        ((0.0, 6.0), (0.0, 6.0)),
        ((4.0, 1.0), (4.0, 4.0)),  # the second is overdue and taken at once
        ((1.0, None), (1.0, 4.0)),  # half of the check's time for the one without a minute of its own
        ((None, 5.0), (3.0, 5.0)),
        ((2.0, 2.0), (2.0, 2.0)),
        ((2.0, 5.99), (2.0, 5.99)),  # the last half second passes too
    ],
)
def test_readings_are_taken_when_they_are_due_and_the_check_lasts_its_minutes(
    at: tuple[float | None, ...], taken: tuple[float, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    looks = tuple(replace(reading("probe", label), at=when) for label, when in zip("ab", at, strict=True))
    shop = workshop(things=[a_check(place=SEAT, minutes=6.0, readings=looks)])
    probe = Probe(monkeypatch, shop)
    do(shop, "wait", 10.0)
    done = do(shop, "check", "look")
    assert [minute for (minute,) in probe.log] == pytest.approx([10.0 + minute for minute in taken])
    assert [look.spec for look in done.readings] == list(looks)
    assert [look.minute for look in done.readings] == pytest.approx([10.0 + minute for minute in taken])
    assert done.minutes == pytest.approx(6.0)


@pytest.mark.parametrize("kmh", [30.0, 1.0])
def test_road_check_is_driven_with_the_bonnet_closed(kmh: float, monkeypatch: pytest.MonkeyPatch) -> None:
    road = a_check(place=ROAD, drive_kmh=kmh, minutes=3.0, readings=(reading("probe"),))
    shop = workshop(things=[road])
    probe = Probe(monkeypatch, shop, "kmh", "rpm", "load_kW", "bonnet")
    do(shop, "engine", "start")
    do(shop, "go", BAY)
    done = do(shop, "check", "look")
    assert probe.log == [(4.0, kmh, 0.0, 2.0, 0.0)]
    assert (shop.place, done.minutes) == (SEAT, 3.5)
    assert moved(OFF, {name: controls(shop)[name] for name in IDLING}) == {"ignition": 1.0, "engine": 1.0}


def test_stationary_check_leaves_the_engine_alone() -> None:
    shop = workshop(things=[a_check()])
    do(shop, "check", "look")
    assert {name: controls(shop)[name] for name in OFF} == OFF
    do(shop, "engine", "start")
    shop.world.set(rpm=1500.0)
    do(shop, "check", "look")
    assert {name: controls(shop)[name] for name in OFF} == {**IDLING, "rpm": 1500.0}


def test_check_operations_follow_the_readings(monkeypatch: pytest.MonkeyPatch) -> None:
    tightens = a_check(does=("tighten clips",), readings=(reading("wet hose ends"),))
    shop = workshop({"leak_hose": 0.01}, things=[tightens])
    done = do(shop, "check", "look")
    assert done.readings[0][1].tolist() == pytest.approx([0.01 * 3600.0 * 50.0])
    assert shop.fleet.parameters["leak_hose"].tolist() == pytest.approx([0.002])  # a fifth is left


# -- the cap --


def opened(verb: str, jacket: float, upper: float, pressure: float) -> tuple[bool, bool]:
    """(scalded, unsafe) when the cap is opened at these temperatures [degC] and this pressure [kPa]."""
    shop = workshop(things=(a_check(opens_cap=True), a_repair(opens_cap=True)))
    do(shop, "go", BAY)
    shop.fleet.state[:, st.JACKET], shop.fleet.state[:, st.UPPER] = jacket, upper
    shop.fleet.algebraic["pressure_kPa"] = pressure
    done = do(shop, verb, "look" if verb == "check" else "mend")
    assert done.scalded is not None and done.unsafe is not None
    return bool(done.scalded[0]), bool(done.unsafe[0])


@pytest.mark.parametrize("verb", ["check", "repair"])
@pytest.mark.parametrize(
    ("jacket", "upper", "pressure", "scalded", "unsafe"),
    [
        (20.0, 20.0, 0.0, False, False),
        (20.0, 20.0, 60.0, False, False),
        # Under pressure from hand heat on, without it from what burns in time.
        (40.0, 20.0, 60.0, False, False),
        (40.1, 20.0, 60.0, False, True),
        (20.0, 40.1, 60.0, False, True),
        (40.1, 20.0, 5.0, False, False),
        (40.1, 20.0, 5.1, False, True),
        (45.0, 20.0, 0.0, False, False),
        (45.1, 20.0, 0.0, False, True),
        (20.0, 45.1, 0.0, False, True),
        (55.0, 20.0, 60.0, False, True),
        (55.1, 20.0, 60.0, True, True),
        (20.0, 55.1, 60.0, True, True),
        (55.1, 20.0, 10.1, True, True),
        (55.1, 20.0, 10.0, False, True),
        (95.0, 95.0, 0.0, False, True),
        (95.0, 95.0, 10.0, False, True),
    ],
)
def test_cap_scalds_with_pressure_and_heat_and_is_unsafe_with_heat(
    verb: str, jacket: float, upper: float, pressure: float, scalded: bool, unsafe: bool
) -> None:
    assert opened(verb, jacket, upper, pressure) == (scalded, unsafe)


def test_cap_is_judged_per_vehicle() -> None:
    shop = workshop(n=3, things=[a_check(opens_cap=True)])
    do(shop, "go", BAY)
    shop.fleet.state[:, st.JACKET] = 20.0, 70.0, 95.0
    shop.fleet.algebraic["pressure_kPa"] = 0.0, 5.0, 80.0
    done = do(shop, "check", "look")
    assert done.scalded is not None and done.unsafe is not None
    assert (done.scalded.tolist(), done.unsafe.tolist()) == ([False, False, True], [False, True, True])


def test_cap_is_judged_after_the_walk() -> None:
    """44.99 degC would be safe, but hot metal heats the coolant during the half minute of walking."""
    shop = workshop(things=[a_check(opens_cap=True)])
    shop.fleet.state[:, st.JACKET] = shop.fleet.state[:, st.UPPER] = 44.99
    shop.fleet.state[:, [st.METAL, st.BLOCK]] = 90.0  # it goes on heating the coolant
    done = do(shop, "check", "look")
    assert done.unsafe is not None and done.unsafe[0]


@pytest.mark.parametrize(("opens", "during"), [(True, 0.0), (False, 1.0)])
def test_cap_is_off_during_a_check_and_put_back(opens: bool, during: float, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = workshop(things=[a_check(opens_cap=opens, minutes=2.0, readings=(reading("probe"),))])
    probe = Probe(monkeypatch, shop, "cap")
    done = do(shop, "check", "look")
    assert probe.log == [(2.5, during)]
    assert shop.control("cap") == 1.0
    assert (done.scalded is None, done.unsafe is None) == (not opens, not opens)


# -- repairs --


def test_repair_renews_only_its_parts() -> None:
    worn = {"lift_least": 0.7, "leak_hose": 0.01, "core_clear": 0.2}
    shop = workshop(worn, things=[a_repair(renews=("lift_least", "leak_hose"), place=DASH)])
    shop.good["leak_hose"] = 0.001
    done = do(shop, "repair", "mend")
    parameters = shop.fleet.parameters
    assert [float(parameters[name][0]) for name in worn] == [0.0, 0.001, 0.2]
    assert (done.action, done.minutes, done.readings) == (Action("repair", ("mend",)), 10.5, [])
    assert (done.scalded, done.unsafe, shop.place, shop.control("bonnet")) == (None, None, DASH, 0.0)


@pytest.mark.parametrize(("opens", "during"), [(True, 0.0), (False, 1.0)])
def test_repair_operations_run_in_order_with_the_cap_still_off(
    opens: bool, during: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    log: list[tuple[str, float, float, float]] = []

    def note(name: str) -> None:
        def operation(fleet: Any) -> None:
            log.append((name, shop.minute, float(fleet.parameters["leak_hose"][0]), shop.control("cap")))

        monkeypatch.setitem(OPERATIONS, name, operation)

    note("first")
    note("second")
    shop = workshop(
        {"leak_hose": 0.01}, things=[a_repair(opens_cap=opens, renews=("leak_hose",), does=("first", "second"))]
    )
    do(shop, "repair", "mend")
    assert log == [("first", 10.5, 0.0, during), ("second", 10.5, 0.0, during)]
    assert shop.control("cap") == 1.0


def test_fill_and_bleed_leaves_a_full_loop() -> None:
    shop = workshop(
        {"missing_L": 1.5, "core_air_share": 0.5}, things=[a_repair(opens_cap=True, does=("fill and bleed",))]
    )
    assert QUANTITIES["neck shortfall"](shop.fleet)[0] > 1.0
    assert shop.fleet.state[0, st.CORE_AIR] > 0.1
    do(shop, "repair", "mend")
    assert QUANTITIES["neck shortfall"](shop.fleet)[0] == pytest.approx(0.0, abs=1e-9)
    assert shop.fleet.state[0, st.CORE_AIR] == 0.0


# -- copies --


def in_the_bay(n: int = 1, *things: Any) -> Workshop:
    """A workshop after some actions, with a leaking hose."""
    shop = workshop({"leak_hose": 0.01}, n, things)
    do(shop, "engine", "start")
    do(shop, "idle", 2.0)
    do(shop, "go", BAY)
    return shop


def test_copy_is_independent() -> None:
    shop = in_the_bay(2, a_repair(renews=("leak_hose",)))
    twin, state, stands = shop.copy(), shop.fleet.state.copy(), controls(shop)
    assert (twin.minute, twin.place, controls(twin)) == (2.5, BAY, stands)
    assert (twin.catalogue, twin.vehicle, twin.world.weather) == (shop.catalogue, shop.vehicle, shop.world.weather)
    assert twin.good is shop.good
    assert np.array_equal(twin.fleet.state, state)
    do(twin, "set", "heater", 100.0)
    do(twin, "idle", 5.0)
    do(twin, "repair", "mend")
    do(twin, "go", SEAT)
    assert (shop.minute, shop.place, controls(shop)) == (2.5, BAY, stands)
    assert np.array_equal(shop.fleet.state, state)
    assert shop.fleet.parameters["leak_hose"].tolist() == [0.01, 0.01]
    assert twin.fleet.parameters["leak_hose"].tolist() == [0.0, 0.0]


def test_copy_of_selected_vehicles() -> None:
    shop = in_the_bay(3)
    shop.fleet.parameters["leak_hose"], shop.good["leak_hose"] = [0.1, 0.2, 0.3], [0.01, 0.02, 0.03]
    shop.fleet.state[:, st.JACKET] = 30.0, 40.0, 50.0
    few = shop.copy(np.array([2, 0]))
    assert (few.minute, few.place, len(few.fleet)) == (2.5, BAY, 2)
    assert few.fleet.parameters["leak_hose"].tolist() == [0.3, 0.1]
    assert few.good["leak_hose"].tolist() == [0.03, 0.01]
    assert few.fleet.state[:, st.JACKET].tolist() == [50.0, 30.0]


@pytest.mark.parametrize("changed", ["copy", "original"])
@pytest.mark.parametrize("thing", [a_check(does=("tighten clips",)), a_repair(does=("tighten clips",))])
def test_copy_shares_parameters_until_either_changes_them(changed: str, thing: Any) -> None:
    """By a check or a repair, in the copy or in the original."""
    shop = in_the_bay(1, thing, a_check("plain"))
    twin = shop.copy()
    hands, other = (twin, shop) if changed == "copy" else (shop, twin)
    for action in (("check", "plain"), ("idle", 1.0), ("set", "blower", 1.0)):
        do(hands, str(action[0]), *action[1:])
    assert shop.fleet.parameters is twin.fleet.parameters
    do(hands, "check" if thing.id == "look" else "repair", thing.id)
    assert hands.fleet.parameters["leak_hose"].tolist() == pytest.approx([0.002])
    assert other.fleet.parameters["leak_hose"].tolist() == [0.01]


def test_joined_vehicles_follow_the_given_order() -> None:
    one, two = in_the_bay(2), in_the_bay(3)
    one.fleet.state[:, st.JACKET], two.fleet.state[:, st.JACKET] = [1.0, 2.0], [3.0, 4.0, 5.0]
    one.good["leak_hose"], two.good["leak_hose"] = [0.1, 0.2], [0.3, 0.4, 0.5]
    one.fleet.tolerance_factor = 7.0
    whole = one.joined(two, np.array([4, 0, 3, 1]))
    assert whole.fleet.state[:, st.JACKET].tolist() == [5.0, 1.0, 4.0, 2.0]
    assert whole.good["leak_hose"].tolist() == [0.5, 0.1, 0.4, 0.2]
    assert (whole.minute, whole.place, len(whole.fleet), whole.fleet.tolerance_factor) == (2.5, BAY, 4, 7.0)
    assert (len(one.fleet), len(two.fleet)) == (2, 3)
    do(whole, "go", BENCH)
    assert (whole.minute, one.minute, one.place) == (3.0, 2.5, BAY)
