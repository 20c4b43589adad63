"""What every technician knows of a cold cabin, asked of the physics. All of it common practice, no source (P).

Each fact changes a physical parameter of the mid-size car and looks at true quantities or at readings made of them; no
reading is ever looked up by a fault's name, so none of the faults' names occur here.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from sim.fleet import Fleet
from sim.observation.instruments import INSTRUMENTS
from sim.observation.quantities import QUANTITIES
from sim.repairs import bleed, top_up
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import Leg, Weather, World, running

OUTSIDE_C = 2.0
FULL_HOT = {"heater": 1.0, "blower": 1.0, "occupants": 1.0}


def world(ambient: float = OUTSIDE_C, **changes: float) -> World:
    """A cold mid-size car with some parameters changed, its heater asked for full heat at blower 1."""
    made = World(Fleet.cold(healthy(1, changes), ambient), Weather(ambient))
    made.set(**FULL_HOT)
    return made


@cache
def _driven(changes: tuple[tuple[str, float], ...]) -> World:
    made = world(**dict(changes))
    made.run([Leg(900.0, running(kmh=50.0))])
    return made


def driven(**changes: float) -> World:
    """The same after 15 minutes at 50 km/h: where a healthy engine is warm."""
    return _driven(tuple(sorted(changes.items()))).copy()


def value(of: World, quantity: str) -> float:
    return float(QUANTITIES[quantity](of.fleet)[0])


def seen(of: World, quantity: str, instrument: str) -> str:
    """The reading that an instrument without noise would show."""
    tool = INSTRUMENTS[instrument]
    return tool.show(tool.read(value(of, quantity), 0.5))


def state(of: World, index: int) -> float:
    return float(of.fleet.state[0, index])


def both_hands(of: World) -> tuple[str, str]:
    return seen(of, "feed hose skin", "hand on rubber"), seen(of, "return hose skin", "hand on rubber")


HOT = {"hot", "too hot to hold"}
COLD = {"cold", "cool", "lukewarm"}


def test_healthy_and_warm_both_hoses_are_hot_and_the_return_is_a_little_cooler() -> None:
    car = driven()
    car.run([Leg(300.0, {**running(rpm=1750.0), "bonnet": 1.0})])
    assert set(both_hands(car)) <= HOT
    assert 2.0 <= state(car, st.FEED) - state(car, st.RETURN) <= 12.0  # K in the coolant
    assert seen(car, "gauge needle", "dash gauge") == "mid-scale"
    assert value(car, "vent temperature") > 50.0


def test_the_skin_of_a_hose_is_cooler_than_its_coolant_and_more_so_in_moving_air() -> None:
    still, moving = driven(), driven()
    still.run([Leg(400.0, {**running(rpm=1750.0), "bonnet": 1.0})])
    moving.run([Leg(400.0, {**running(rpm=1750.0), "bonnet": 1.0})])
    assert not moving.fleet.switches["fan"][0]
    moving.fleet.parameters["fan_forced"] = 1.0
    moving.run([Leg(400.0, {**running(rpm=1750.0), "bonnet": 1.0})])
    share = {}
    for name, car in (("still", still), ("moving", moving)):
        share[name] = (state(car, st.FEED_SKIN) - OUTSIDE_C) / (state(car, st.FEED) - OUTSIDE_C)
    # film 25 W/m2K of moving air against conduction through rubber of 60 W/m2K: about 0.7; about 0.85 in still air
    assert share["moving"] == pytest.approx(0.72, abs=0.06)
    assert share["still"] == pytest.approx(0.85, abs=0.05)


def test_at_idle_with_the_blower_high_the_drop_over_the_core_is_larger() -> None:
    low, high = driven(), driven()
    low.run([Leg(180.0, running(rpm=1750.0))])
    high.run([Leg(180.0, {**running(), "blower": 4.0})])
    drops = [state(car, st.FEED) - state(car, st.RETURN) for car in (low, high)]
    assert drops[1] > 2.0 * drops[0]
    assert 10.0 <= drops[1] <= 30.0


def test_a_pump_that_moves_nothing_overheats_the_engine_and_gives_no_heat() -> None:
    car = driven(pump_grip=0.0)
    assert value(car, "coolant temperature") > 115.0
    assert seen(car, "gauge needle", "dash gauge") in {"near the red", "in the red"}
    assert value(car, "vent temperature") < 15.0
    assert set(both_hands(car)) <= COLD


def test_with_the_thermostat_open_the_engine_does_not_warm_on_the_road() -> None:
    assert value(driven(), "coolant temperature") > 80.0
    for lift in (0.1, 0.5, 1.0):
        car = driven(lift_least=lift)
        assert value(car, "coolant temperature") < 60.0
        assert value(car, "vent temperature") < 45.0


@pytest.mark.parametrize("changes", [{"core_clear": 0.02}, {"valve_most": 0.0, "valve_at_engine": 0.0}])
def test_one_hose_hot_and_the_other_cold_is_a_shut_valve_or_a_blocked_core(changes: dict[str, float]) -> None:
    car = driven(**changes)
    car.run([Leg(240.0, {**running(rpm=1000.0), "bonnet": 1.0})])
    feed, back = both_hands(car)
    assert feed in HOT | {"warm"}
    assert back in COLD


def test_a_valve_shut_at_the_engine_end_leaves_both_hoses_cold_at_the_firewall() -> None:
    assert set(both_hands(driven(valve_most=0.0, valve_at_engine=1.0))) <= COLD


def test_the_stem_tells_a_seized_valve_from_a_blocked_core_but_not_from_a_broken_disc() -> None:
    seized = driven(valve_most=0.0, valve_stem=0.0)
    blocked = driven(core_clear=0.02)
    broken = driven(valve_most=0.0)
    stems = [seen(car, "valve stem travel", "eye on the stem") for car in (seized, blocked, broken)]
    assert stems == ["does not move", "moves its full travel", "moves its full travel"]
    assert value(broken, "vent temperature") < 15.0


@pytest.mark.parametrize("changes", [{"core_air_share": 1.0}, {"missing_L": 1.5}, {"pump_grip": 0.0}])
def test_both_hoses_cold_with_the_valve_good_is_air_level_or_flow(changes: dict[str, float]) -> None:
    car = driven(**changes)
    assert value(car, "valve stem travel") > 0.9
    assert both_hands(car)[1] in COLD
    assert both_hands(car)[0] in COLD | {"warm"}
    assert value(car, "vent temperature") < 20.0


def test_both_hoses_hot_and_no_heat_is_the_air_side() -> None:
    car = driven(blend_drive=2.0, blend_linkage=0.0)
    assert set(both_hands(car)) <= HOT | {"warm"}
    assert value(car, "vent temperature") < 20.0


def test_the_door_knocks_clicks_or_is_silent() -> None:
    good, stripped = driven(blend_drive=2.0), driven(blend_drive=2.0, blend_linkage=0.1)
    dead = driven(blend_drive=2.0, blend_motor=0.0)
    sounds = [seen(car, "blend door sound", "ear at the dash") for car in (good, stripped, dead)]
    assert sounds[0].startswith("one knock")
    assert sounds[1] == "repeated clicking"
    assert sounds[2] == "silence"


def blows(of: World) -> list[float]:
    out = []
    for speed in (1.0, 2.0, 3.0, 4.0):
        of.set(blower=speed)
        out.append(value(of, "blower air"))
    return out


def test_a_blower_on_the_highest_speed_only_is_the_resistor_pack() -> None:
    assert blows(world()) == pytest.approx([0.0] * 4, abs=0.01)  # ignition off: nothing blows
    on, off = world(), world(pack_whole=0.0)
    on.set(ignition=1.0)
    off.set(ignition=1.0)
    good, pack = blows(on), blows(off)
    assert all(np.diff(good) > 0.0)
    assert pack[:3] == pytest.approx([0.0] * 3, abs=0.05)
    assert pack[3] == pytest.approx(good[3])


@pytest.mark.parametrize("changes", [{"motor_ohm": 1e9}, {"blower_fuse": 0.0}, {"blower_ground_ohm": 1e9}])
def test_a_blower_on_no_speed_is_motor_supply_or_ground(changes: dict[str, float]) -> None:
    car = world(**changes)
    car.set(ignition=1.0)
    assert blows(car) == pytest.approx([0.0] * 4, abs=0.05)
    if "blower_fuse" not in changes:
        assert value(car, "blower supply voltage") > 11.0


def test_low_coolant_leaves_the_engine_warm_and_the_core_empty() -> None:
    car = driven(missing_L=1.5)
    assert value(car, "coolant temperature") > 78.0
    assert seen(car, "gauge needle", "dash gauge") == "mid-scale"
    assert value(car, "vent temperature") < 15.0


def test_very_low_the_sensor_stands_in_steam_and_the_gauge_misleads() -> None:
    car = driven(missing_L=3.4)
    assert value(car, "coolant temperature") - value(car, "engine computer's coolant temperature") > 15.0
    assert value(car, "gauge needle") < 0.45


def test_air_in_the_core_goes_with_bleeding_and_while_revs_last_with_the_heater_on() -> None:
    locked = driven(core_air_share=1.0)
    bled, revved, shut = locked.copy(), locked.copy(), locked.copy()
    bleed(bled.fleet)
    bled.run([Leg(180.0, running())])
    revved.run([Leg(180.0, running(rpm=2800.0))])
    idles = revved.copy()
    idles.run([Leg(600.0, running())])
    shut.set(heater=0.0)
    shut.run([Leg(180.0, running(rpm=2800.0))])
    shut.set(heater=1.0)
    locked.run([Leg(180.0, running())])
    assert value(locked, "vent temperature") < 15.0
    assert value(bled, "vent temperature") > 40.0
    assert value(revved, "vent temperature") > 50.0
    assert value(idles, "vent temperature") < 25.0
    assert state(shut, st.CORE_AIR) > 0.8 * state(locked, st.CORE_AIR)


def test_an_empty_bottle_beside_a_full_radiator_is_possible_and_gives_heat() -> None:
    car = world(bottle_L=0.0)
    assert seen(car, "bottle level", "eye on the bottle") == "empty"
    assert seen(car, "neck shortfall", "eye on the neck") == "full to the neck"
    assert value(driven(bottle_L=0.0), "vent temperature") > 50.0


def test_topping_up_a_low_loop_fills_the_neck() -> None:
    car = world(missing_L=1.2)
    assert seen(car, "neck shortfall", "eye on the neck") in {"well below the neck", "no coolant to be seen"}
    top_up(car.fleet)
    assert seen(car, "neck shortfall", "eye on the neck") == "full to the neck"


def test_sludge_at_the_neck_points_to_the_core() -> None:
    assert seen(world(core_clear=0.05, sludge=0.8), "sludge", "eye for sludge") == "rusty, with sludge at the neck"
    assert seen(world(), "sludge", "eye for sludge") == "clean"


def test_a_third_of_a_volt_in_the_coolant_is_old_coolant_or_a_bad_ground_and_loads_part_them() -> None:
    def volts(loads: float, **changes: float) -> float:
        car = world(**changes)
        car.set(**running(), blower=4.0 * loads)
        car.fleet.parameters["base_load_A"] *= loads
        return value(car, "coolant voltage")

    assert volts(1.0) < 0.3
    assert volts(1.0, coolant_V=0.4) > 0.3
    assert volts(0.0, coolant_V=0.4) > 0.3
    assert volts(1.0, engine_ground_ohm=0.02, coolant_V=0.05) > 0.3
    assert volts(0.0, engine_ground_ohm=0.02, coolant_V=0.05) < volts(1.0, engine_ground_ohm=0.02, coolant_V=0.05)


def test_a_mid_scale_gauge_makes_pump_and_thermostat_unlikely_not_impossible() -> None:
    weak = driven(pump_grip=0.1)
    assert seen(weak, "gauge needle", "dash gauge") == "mid-scale"
    assert value(weak, "vent temperature") < value(driven(), "vent temperature") - 10.0
    ajar = world(lift_least=0.015)
    ajar.run([Leg(1200.0, running(kmh=20.0))])
    assert ajar.fleet.algebraic["heater_flow"][0] > 3.0


def test_overheating_is_not_always_the_pump() -> None:
    for changes in ({"lift_most": 0.0}, {"radiator_clear": 0.002}):
        car = world(20.0, **changes)
        car.run([Leg(1500.0, {**running(kmh=90.0), "heater": 0.0, "blower": 0.0})])
        assert value(car, "coolant temperature") > 105.0


def test_the_gauge_reads_only_with_the_ignition_at_run() -> None:
    car = driven()
    car.set(ignition=0.0, engine=0.0)
    assert value(car, "coolant temperature") > 75.0
    assert seen(car, "gauge needle", "dash gauge") == "on its cold stop"


def test_cold_upper_hose_or_low_gauge_prove_nothing_about_a_safe_cap() -> None:
    warm = world()
    warm.run([Leg(500.0, running(kmh=50.0))])  # the thermostat has not opened
    assert seen(warm, "upper radiator hose skin", "hand on rubber") in COLD | {"warm"}
    assert value(warm, "loop pressure") > 20.0
    assert value(warm, "coolant temperature") > 75.0
