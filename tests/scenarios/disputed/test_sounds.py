"""Sounds that a technician goes by: air in the heater core and an open vacuum line. Common practice, no source."""

import numpy as np
import pytest

from grading.sessions.perception import SENSES
from sim.observation.instruments import INSTRUMENTS
from sim.world import running
from tests.scenarios.disputed.vehicles import BELT_DRIVEN, VEHICLES, cold, go, seen, value, with_fault

each_vehicle = pytest.mark.parametrize("name", VEHICLES)
QUIET, LOUD = 0, 2


def heard(world, quantity: str, instrument: str) -> int:
    """Step of the word that is heard without noise."""
    step = INSTRUMENTS[instrument].read(value(world, quantity), 0.5, 0.5)
    return int(step)


def gurgle(world) -> int:
    return heard(world, "gurgling", "ear for gurgling")


@pytest.mark.parametrize("name", BELT_DRIVEN)
@pytest.mark.parametrize("fault", ["air-locked", "coolant-low"])
def test_air_in_the_core_gurgles_when_running_and_louder_when_revved(name: str, fault: str) -> None:
    world, sound = cold(with_fault(name, fault)), cold(with_fault(name))
    assert gurgle(world) == QUIET  # the engine stands
    for each in (world, sound):
        go(each, 2.0, **running())
    at_idle = value(world, "gurgling")
    assert gurgle(world) > QUIET or fault == "coolant-low"  # where the pump draws air it hardly pushes at idle
    for each in (world, sound):
        go(each, 0.2, **running(rpm=2500.0))
    assert gurgle(world) >= (LOUD if fault == "air-locked" else 1) and value(world, "gurgling") > 1.5 * at_idle
    assert value(sound, "gurgling") == 0.0


@each_vehicle
def test_no_other_fault_gurgles_while_the_loop_is_full(name: str) -> None:
    for fault in ("none", "thermostat-stuck-open", "core-clogged", "pump-impeller-eroded"):
        world = cold(with_fault(name, fault))
        for kmh in (0.0, 50.0):
            go(world, 10.0, **running(kmh=kmh))
            assert gurgle(world) == QUIET, fault


def test_gurgling_is_a_sense_of_its_own_at_the_seat_and_at_the_dash() -> None:
    assert set(SENSES["gurgling heard"].places) == {"driver's seat", "under the dash"}


def test_an_open_vacuum_line_hisses_while_vacuum_is_applied_and_lifts_the_idle_for_a_moment() -> None:
    world, sound = cold(with_fault("pickup", "valve-vacuum-line-off")), cold(with_fault("pickup"))
    for each in (world, sound):
        go(each, 3.0, **running())
    for heater, hisses in ((0.0, True), (1.0, False)):
        for each in (world, sound):
            each.set(heater=heater)
        assert (heard(world, "hissing", "ear for a hiss") == LOUD) == hisses
        assert (value(world, "idle flare") > value(sound, "idle flare") + 60.0) == hisses
        assert value(sound, "hissing") < 0.01
    assert value(world, "engine speed") == value(sound, "engine speed")  # the idle control has taken it back
    world.set(heater=0.0, engine=0.0, ignition=0.0)
    go(world, 1.0, ignition=0.0, engine=0.0, rpm=0.0)
    assert np.isfinite(value(world, "hissing"))
    assert seen(sound, "hissing", "ear for a hiss") == "quiet"
