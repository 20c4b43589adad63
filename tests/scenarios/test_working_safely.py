"""Work that is as dangerous as it is: the needle in the red, wrong fuses, mains pressure, sealant, open fillers.

Limits are common practice, no source, where nothing else is said.
"""

from __future__ import annotations

import pytest

from scenarios.actions import Action
from scenarios.files.loader import load_catalogue
from scenarios.model import ROAD, SEAT
from scenarios.workshop import WATCH
from sim.fleet import Fleet
from sim.laws.gasket import BEGINS_K_MIN
from sim.observation.quantities import QUANTITIES
from sim.solver.switches import SEIZED_K_MIN
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import MINUTE, Weather, World, running
from tests.scenarios.life import with_fault
from tests.scenarios.workshops import a_check, do, reading, workshop

CATALOGUE = load_catalogue()
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


def road(**facts: object):
    """A check of twenty minutes on the road with two readings, and what is done after it."""
    readings = (reading("vent temperature", "at first"), reading("vent temperature", "at last", {"blower": 2.0}))
    plain = a_check(place=ROAD, drive_kmh=50.0, minutes=20.0, readings=readings, does=("tighten clips",))
    return plain if not facts else a_check(**facts)


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
        harm = float(world.fleet.state[0, st.HARM])
        assert (gas > 0.0) == (harm > BEGINS_K_MIN) or world.fleet.switches["seized"][0] > 0.5
        if gas > 0.5 and gives is None:
            gives = world.now
            assert QUANTITIES["steam at the tailpipe"](world.fleet)[0] > 0.0
            assert QUANTITIES["pressure drop"](world.fleet)[0] > 0.3
    assert gives is not None and world.now - gives >= 4.0 * MINUTE
    assert world.fleet.state[0, st.HARM] > SEIZED_K_MIN


def test_an_engine_switched_off_in_the_red_is_unharmed_and_a_new_gasket_ends_the_harm() -> None:
    shop = workshop(OVERHEATS, things=[CATALOGUE.repairs["replace-head-gasket"]])
    do(shop, "engine", "start")
    assert do(shop, "drive", 30.0).broken_off
    do(shop, "ignition", "off")
    do(shop, "wait", 60.0)
    assert shop.fleet.state[0, st.HARM] < BEGINS_K_MIN
    shop.fleet.state[0, st.HARM] = 300.0
    shop.fleet.refresh()
    assert QUANTITIES["pressure drop"](shop.fleet)[0] > 4.0
    do(shop, "repair", "replace-head-gasket")
    assert QUANTITIES["pressure drop"](shop.fleet)[0] == 0.0
    assert shop.fleet.state[0, st.HARM] == 0.0
