"""Work that is as dangerous as it is: the needle in the red, wrong fuses, mains pressure, sealant, open fillers.

Limits are common practice, no source, where nothing else is said.
"""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from grading.reference.preparation import PlannedState, Readiness, preparation, transitions
from scenarios.actions import Action
from scenarios.model import BAY, ROAD, SEAT, Check
from scenarios.watching import WATCH
from scenarios.workshop import Workshop
from sim.fleet import Fleet
from sim.laws.gasket import DAMAGE_BEGINS_K_MIN
from sim.observation.instruments import INSTRUMENTS, RED_FROM
from sim.observation.loop import gauge_needle
from sim.observation.quantities import QUANTITIES
from sim.repairs import OPERATIONS, settle_sealant
from sim.solver.switches import SEIZED_K_MIN
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.vehicle.tolerances import draw
from sim.world import MINUTE, Weather, World, running
from tests.packaged import packaged_catalogue
from tests.scenarios.life import with_fault
from tests.scenarios.workshops import a_check, do, reading, refused, workshop

CATALOGUE = packaged_catalogue()
OVERHEATS = {"fan_works": 0.0, "lift_most": 0.0}


# -- the needle in the red --


def test_a_run_that_ends_in_the_red_says_so() -> None:
    shop = workshop({"gauge_works": 0.0, "gauge_rest": 0.95})
    do(shop, "engine", "start")
    assert do(shop, "idle", 0.5).in_the_red  # its last half minute, and not broken off
    assert not do(shop, "wait", 0.5).in_the_red
    assert not do(shop, "check", "coolant-level-cold").in_the_red if shop.control("engine") < 0.5 else True
    cool = workshop()
    do(cool, "engine", "start")
    assert not do(cool, "drive", 1.0).in_the_red


def road() -> Check:
    """A check of twenty minutes on the road with two readings, and what is done after it."""
    readings = (reading("vent temperature", "at first"), reading("vent temperature", "at last", {"blower": 2.0}))
    return a_check(place=ROAD, drive_kmh=50.0, minutes=20.0, readings=readings, does=("tighten clips",))


def test_a_check_on_the_road_ends_in_the_red() -> None:
    """Fan and thermostat do not work: the needle is in the red before ten minutes are over."""
    shop = workshop({**OVERHEATS, "leak_hose": 0.001}, things=[road()])
    do(shop, "engine", "start")
    done = do(shop, "check", "look")
    assert done.broken_off and done.in_the_red
    assert done.action == Action("check", ("look", done.minutes)) and 5.0 < done.minutes < 20.0
    assert [look.spec for look in done.readings][-1] == WATCH and len(done.readings) < 3
    assert (shop.place, shop.control("kmh"), shop.control("blower")) == (SEAT, 0.0, 0.0)
    assert shop.fleet.parameters["leak_hose"][0] == 0.001  # what follows the readings is not done


def test_a_check_that_was_broken_off_is_done_again_alike_on_many_vehicles() -> None:
    one, many = (workshop(OVERHEATS, n, [road()]) for n in (1, 2))
    for shop in (one, many):
        do(shop, "engine", "start")
    whole = do(one, "check", "look")
    again = many.perform(whole.action)
    assert again.minutes == pytest.approx(whole.minutes) and again.action == whole.action
    assert [look.spec for look in again.readings] == [look.spec for look in whole.readings]
    for mine, theirs in zip(whole.readings, again.readings, strict=True):
        assert theirs.true[0] == pytest.approx(mine.true[0], abs=0.05)


def test_a_check_on_the_road_that_stays_cool_is_whole() -> None:
    shop = workshop(things=[road()])
    do(shop, "engine", "start")
    done = do(shop, "check", "look")
    assert (done.action, done.minutes, done.broken_off) == (Action("check", ("look",)), pytest.approx(20.0), False)
    assert [look.spec.label for look in done.readings] == ["at first", "at last"]


def test_of_many_vehicles_each_is_stopped_in_time() -> None:
    """What is imagined is not harmed by a drive that a person would have broken off, and is by starting again."""
    many = workshop({"pump_drive": 0.0}, n=2)
    do(many, "engine", "start")
    do(many, "drive", 15.0)
    assert (gauge_needle(many.fleet) > RED_FROM).all()
    assert many.fleet.state[:, st.OVERHEATING].max() <= 5.0
    before = many.fleet.state[:, st.OVERHEATING].copy()
    do(many, "idle", 0.5)
    assert (many.fleet.state[:, st.OVERHEATING] > before + 5.0).all()


# -- running on --


@pytest.mark.parametrize("vehicle", ["hatch", "pickup", "saloon", "van"])
def test_running_on_ruins_the_gasket_first_and_the_engine_minutes_later(vehicle: str) -> None:
    """A belt that is gone: between the first coolant past the gasket and the seizure lie five minutes and more."""
    good = healthy(1, CATALOGUE.vehicles[vehicle].parameters)
    world = World(Fleet.cold(with_fault(good, CATALOGUE.faults["pump-belt-broken"], 0.9, 0.4), 2.0), Weather(2.0))
    world.set(**running())
    gives: float | None = None
    while world.fleet.switches["seized"][0] < 0.5:
        assert world.now < 90.0 * MINUTE
        world.wait(30.0)
        gas = float(QUANTITIES["combustion gas"](world.fleet)[0])
        harm = float(world.fleet.state[0, st.OVERHEATING])
        assert (gas > 0.0) == (harm > DAMAGE_BEGINS_K_MIN) or world.fleet.switches["seized"][0] > 0.5
        if gas > 0.5 and gives is None:
            gives = world.now
            assert QUANTITIES["steam at the tailpipe"](world.fleet)[0] > 0.0
            assert QUANTITIES["pressure drop"](world.fleet)[0] > 0.3
    assert gives is not None and world.now - gives >= 4.0 * MINUTE
    assert world.fleet.state[0, st.OVERHEATING] > SEIZED_K_MIN


def test_an_engine_switched_off_in_the_red_is_unharmed_and_a_new_gasket_ends_the_harm() -> None:
    shop = workshop(OVERHEATS, things=[CATALOGUE.repairs["replace-head-gasket"]])
    do(shop, "engine", "start")
    assert do(shop, "drive", 30.0).broken_off
    do(shop, "ignition", "off")
    do(shop, "wait", 60.0)
    assert shop.fleet.state[0, st.OVERHEATING] < DAMAGE_BEGINS_K_MIN
    shop.fleet.state[0, st.OVERHEATING] = 420.0
    shop.fleet.refresh()
    assert QUANTITIES["pressure drop"](shop.fleet)[0] > 4.0
    do(shop, "repair", "replace-head-gasket")
    assert QUANTITIES["pressure drop"](shop.fleet)[0] == 0.0
    assert shop.fleet.state[0, st.OVERHEATING] == 0.0


# -- fuses --


def chafed(vehicle: str, variant: float) -> Workshop:
    """A vehicle whose blower wire is chafed through; luck: of its fault, by which the short is dead or resists."""
    good = healthy(1, CATALOGUE.vehicles[vehicle].parameters)
    return of(vehicle, with_fault(good, CATALOGUE.faults["blower-wire-chafed"], 1.0, variant))


def of(vehicle: str, parameters: np.ndarray) -> Workshop:
    """A workshop with one vehicle."""
    good = healthy(1, CATALOGUE.vehicles[vehicle].parameters)
    return Workshop(CATALOGUE, CATALOGUE.vehicles[vehicle], parameters, good, Weather(10.0), 101.3)


def state(shop: Workshop) -> tuple[float, float]:
    """Whether the fuse is whole, and whether the loom has burnt."""
    return float(shop.fleet.parameters["blower_fuse"][0]), float(shop.fleet.parameters["loom_burnt"][0])


@pytest.mark.parametrize("vehicle", CATALOGUE.vehicles)
def test_a_dead_short_blows_the_next_rating_too_and_a_short_with_resistance_burns_the_loom(vehicle: str) -> None:
    dead, resists = chafed(vehicle, 0.1), chafed(vehicle, 0.95)
    for shop in (dead, resists):
        do(shop, "repair", "replace-blower-fuse")
        assert state(shop) == (0.0, 0.0)  # one of its own rating protects the wire
        do(shop, "repair", "fit-larger-fuse")
    assert (state(dead), state(resists)) == ((0.0, 0.0), (1.0, 1.0))
    do(dead, "repair", "bridge-fuse")
    assert state(dead)[1] == 1.0
    for shop in (dead, resists):
        do(shop, "ignition", "on")
        do(shop, "set", "blower", 4.0)
        assert QUANTITIES["blower air"](shop.fleet)[0] < 0.1
        assert INSTRUMENTS["eye on the plug"].read(float(QUANTITIES["blower plug heat"](shop.fleet)[0]), 0.5, 0.5) == 2
        do(shop, "ignition", "off")
        do(shop, "repair", "repair-blower-wire")
        assert state(shop) == (1.0, 0.0)


@pytest.mark.parametrize("vehicle", ["hatch", "saloon"])
def test_a_dragging_motor_burns_the_loom_behind_a_larger_fuse_and_a_free_one_does_not(vehicle: str) -> None:
    good = healthy(1, CATALOGUE.vehicles[vehicle].parameters)
    for repair, burns in (("replace-blower-fuse", 0.0), ("fit-larger-fuse", 1.0), ("bridge-fuse", 1.0)):
        dragging = of(vehicle, with_fault(good, CATALOGUE.faults["blower-bearings-dry"], 0.5, 0.5))
        do(dragging, "repair", repair)
        assert state(dragging) == (1.0, burns)
        sound = of(vehicle, good)
        do(sound, "repair", repair)
        assert state(sound) == (1.0, 0.0)


# -- mains pressure and sealant --


def bursts(km: float) -> float:
    """Share of two hundred good cores that mains pressure bursts after a distance driven."""
    fleet = Fleet.cold(draw({"core_km": km}, "cores", 200), 10.0)
    OPERATIONS["flush hard"](fleet)
    burst = fleet.parameters["leak_core"] > 0.0
    assert ((fleet.state[:, st.CARPET] > 0.3) == burst).all()  # it is seen
    return float(burst.mean())


def test_mains_pressure_may_burst_a_core_and_an_old_one_more_likely() -> None:
    new, half, old = bursts(0.0), bursts(90_000.0), bursts(200_000.0)
    assert 0.0 < new < 0.15 < half < 0.75 < old < 1.0


def test_sealant_closes_core_and_radiator_over_hours_of_running() -> None:
    shop = workshop({"leak_hose": 0.005}, things=[CATALOGUE.repairs["add-sealant"]])
    do(shop, "repair", "add-sealant")
    p = shop.fleet.parameters
    assert (p["core_clear"][0], p["radiator_clear"][0]) == (1.0, 1.0) and p["leak_hose"][0] == pytest.approx(0.001)
    do(shop, "wait", 600.0)
    assert shop.fleet.parameters["core_clear"][0] == 1.0  # nothing moves it
    do(shop, "engine", "start")
    clear = []
    for _ in range(3):
        do(shop, "drive", 120.0)
        clear.append((float(shop.fleet.parameters["core_clear"][0]), float(shop.fleet.parameters["radiator_clear"][0])))
    assert clear == sorted(clear, reverse=True) and clear[0][0] < 0.7 and clear[-1][0] < 0.35
    assert 0.5 < clear[-1][1] < 0.7 < clear[0][1]


def test_sealant_settles_alike_however_the_time_is_split() -> None:
    whole, split = (Fleet.cold(healthy(1, {"sealant": 1.0}), 10.0) for _ in range(2))
    settle_sealant(whole, np.array([7200.0]))
    for _ in range(4):
        settle_sealant(split, np.array([1800.0]))
    for name in ("sealant", "core_clear", "radiator_clear"):
        assert split.parameters[name][0] == pytest.approx(whole.parameters[name][0])


def test_fresh_coolant_takes_drifting_sealant_away() -> None:
    fleet = Fleet.cold(healthy(1, {"sealant": 1.0}), 10.0)
    OPERATIONS["fresh coolant"](fleet)
    assert fleet.parameters["sealant"][0] == 0.0


# -- cautions, needs and minutes of the catalogue --


def test_a_caution_begins_with_an_act_of_the_person() -> None:
    """As done, such as "Wheels chocked": no order, no lesson before it."""
    for caution in CATALOGUE.cautions.values():
        act = caution.text.split(". ")[0]
        assert len(act) <= 160, caution.id
        assert not re.match(r"(Never|Do not|Use|Take|Keep|Bring|Wear|Pinch|Rinse|Drive) ", act), caution.id


NOTES = {
    "airbags": ("battery is disconnected", "the wait", "minutes"),
    "battery-off": ("negative lead comes off first", "goes on last", "wait for the airbags"),
    "bridging": ("fused no higher than the circuit", "30 to 87", "known ground", "coil pins", "airbag", "high-voltage"),
    "cap-pressure": ("never pumped above the pressure printed on the cap",),
    "high-voltage": ("isolated", "certified people only"),
    "refrigerant": ("newer kinds burn", "licence"),
}


@pytest.mark.parametrize("name", NOTES)
def test_the_notes_are_there_and_defer_to_manual_and_local_codes(name: str) -> None:
    text = CATALOGUE.cautions[name].text.lower()
    for words in (*NOTES[name], "manual", "local codes"):
        assert words in text, (name, words)


def test_the_notes_stand_before_what_they_are_about() -> None:
    checks, repairs = CATALOGUE.checks, CATALOGUE.repairs
    for name in ("ground-bridged", "motor-on-a-fused-lead", "fan-on-a-fused-lead"):
        assert "bridging" in checks[name].cautions
    for name in ("pressure-test", "pressure-test-heater-pinched", "cap-test"):
        assert "cap-pressure" in checks[name].cautions
    for name in ("replace-battery", "replace-blower-motor", "replace-alternator"):
        assert "battery-off" in repairs[name].cautions


def test_swaps_and_fused_leads_want_the_ignition_off() -> None:
    for name in ("blower-fuse-swap", "relay-swap", "motor-on-a-fused-lead", "fan-on-a-fused-lead"):
        assert CATALOGUE.checks[name].needs == ("ignition-off",), name
    shop = of("hatch", healthy(1, CATALOGUE.vehicles["hatch"].parameters))
    do(shop, "ignition", "on")
    assert refused(shop, "check", "relay-swap") == "'relay-swap' cannot be done now, expected the ignition off"
    assert preparation(shop, CATALOGUE.checks["relay-swap"], Readiness()) == [Action("ignition", ("off",))]
    do(shop, "ignition", "off")
    for name in ("blower-fuse-swap", "relay-swap", "motor-on-a-fused-lead"):
        assert do(shop, "check", name).readings[0].true[0] > 3.0, name  # it blows strongly
        assert shop.control("ignition") == 0.0  # and is off again


def test_a_motor_on_a_fused_lead_runs_past_a_burnt_loom() -> None:
    good = healthy(1, {**CATALOGUE.vehicles["saloon"].parameters, "loom_burnt": 1.0, "blower_fuse": 0.0})
    shop = of("saloon", good)  # whose automatic control would hold the blower back in the cold
    assert do(shop, "check", "motor-on-a-fused-lead").readings[0].true[0] > 3.0


AT_THE_FILLER = ("combustion-leak-test", "bubbles-at-the-filler", "flow-at-the-neck")


def test_at_the_open_filler_the_cap_comes_off_cold_and_the_engine_starts_then() -> None:
    for name in AT_THE_FILLER:
        check = CATALOGUE.checks[name]
        assert (check.needs, check.best_when, check.opens_cap) == (("engine-off",), ("cold",), True)
        assert check.runs_engine and "Cap off cold, then start." in check.normal
    leaking = with_fault(
        healthy(1, CATALOGUE.vehicles["pickup"].parameters), CATALOGUE.faults["head-gasket-leak"], 1.0, 0.5
    )
    shop = of("pickup", leaking)
    done = do(shop, "check", "combustion-leak-test")
    assert done.unsafe is not None and not done.unsafe[0]
    assert done.readings[0].true[0] > 0.0  # gas comes only while it runs
    assert (shop.control("engine"), shop.control("ignition"), shop.control("cap")) == (0.0, 0.0, 1.0)
    assert do(shop, "check", "combustion-leak-test").unsafe  # it has run, and is hot


def test_a_check_that_runs_the_engine_warms_it() -> None:
    shop, readiness = of("pickup", healthy(1, CATALOGUE.vehicles["pickup"].parameters)), Readiness()
    done = do(shop, "check", "combustion-leak-test")
    readiness.note(shop, done.minutes, done.action)
    assert not readiness.cold
    state = PlannedState.of(of("pickup", healthy(1)), Readiness())
    minutes, next_state = transitions(
        state, BAY, [CATALOGUE.checks[name] for name in ("combustion-leak-test", "refractometer")]
    )
    assert np.isfinite(minutes[0]).all()
    assert np.isinf(minutes[next_state[0, 0], 1])  # after it the cap must stay on
    assert np.isfinite(minutes[next_state[0, 1], 0])
    hot = replace(state, overheated=True)
    assert preparation(hot, CATALOGUE.checks["combustion-leak-test"], Readiness()) == []
    ran = Readiness()
    ran.overheated = True
    assert preparation(hot, CATALOGUE.checks["combustion-leak-test"], ran) is None


def test_a_loaded_test_lamp_is_right_at_a_fuse() -> None:
    check = CATALOGUE.checks["blower-fuse-look"]
    assert "test lamp" in check.tool and "no-test-lamp" not in check.cautions
    assert "test lamp is right" in check.normal


FILLS = {
    "fill and bleed",
    "fresh coolant",
    "flush core",
    "flush hard",
    "new gasket",
    "bypass valve",
    "bleed",
    "pump routine",
}


def test_bleeding_takes_forty_minutes_and_more_and_a_vacuum_fill_less() -> None:
    repairs, checks = CATALOGUE.repairs, CATALOGUE.checks
    for name in ("bleed-system", "bleed-by-pump-routine", "bleed-rear-heater"):
        assert 40.0 <= repairs[name].minutes <= 60.0, name
    for thing in [*repairs.values(), *checks.values()]:
        if {*FILLS, "bleed rear", "pump routine"} & set(thing.does):
            assert thing.minutes >= 40.0, thing.id
    assert 25.0 <= repairs["vacuum-fill"].minutes <= 35.0
    assert repairs["replace-thermostat"].minutes >= repairs["bleed-system"].minutes + 30.0


def test_dangerous_and_poor_work_is_named() -> None:
    hazards = {name for name, repair in CATALOGUE.repairs.items() if repair.hazard}
    poor = {name for name, repair in CATALOGUE.repairs.items() if repair.poor_work}
    assert hazards == {"fit-larger-fuse", "bridge-fuse", "flush-at-full-pressure", "change-coolant-heater-yourself"}
    assert poor == {"add-sealant", "top-up-with-water", "tie-valve-open-line-off", "fit-blend-actuator-unlearned"}
