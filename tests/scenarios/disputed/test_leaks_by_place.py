"""A leak shows at its own place, under pressure and by dye, and at no other. Common practice, no source."""

import numpy as np
import pytest

from sim.repairs import OPERATIONS, renew
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import running
from tests.scenarios.disputed.vehicles import catalogue, cold, go, seen, state, value, with_fault

PLACES = {
    "hose-leak": ("hatch", "wet hose ends", "wet hoses and joints"),
    "pump-seal-leak": ("hatch", "weep hole", "weep hole"),
    "radiator-leak": ("hatch", "wet radiator", "wet radiator"),
    "thermostat-housing-leak": ("hatch", "wet thermostat housing", "wet thermostat housing"),
    "heater-tee-leak": ("van", "wet tee", "wet hoses and joints"),
    "expansion-tank-leak": ("saloon", "wet expansion tank", "wet expansion tank"),
}
"""Fault to a vehicle that has it, and its place by eye and under the lamp."""
EYES = {eye for _, eye, _ in PLACES.values()}
each_leak = pytest.mark.parametrize("fault", PLACES)


@each_leak
def test_only_its_own_place_is_wet_and_shines(fault: str) -> None:
    name, place, lamp = PLACES[fault]
    world = cold(with_fault(name, fault, 0.4))
    for other in EYES:
        assert seen(world, other, "eye for leaks") == ("wet, with a drip" if other == place else "dry")
    assert seen(world, lamp, "ultraviolet lamp") == "it shines brightly"
    assert seen(cold(with_fault(name)), lamp, "ultraviolet lamp") == "nothing shines"


@each_leak
def test_coolant_is_lost_on_the_road_and_pressure_in_the_test(fault: str) -> None:
    name = PLACES[fault][0]
    full = with_fault(name, fault, 1.0)
    full["missing_L"] = 0.0
    leaks, sound = cold(full), cold(with_fault(name))
    assert value(leaks, "pressure drop") > 20.0 and value(sound, "pressure drop") == 0.0
    for world in (leaks, sound):
        go(world, 30.0, **running(kmh=60.0))
    assert state(leaks, st.LOST) > 0.1 and state(sound, st.LOST) == 0.0


def test_pinching_the_heater_hoses_parts_the_tee_and_the_core_from_all_others() -> None:
    for fault, name in [("heater-tee-leak", "van"), ("heater-core-leak", "van"), ("radiator-leak", "van")]:
        world = cold(with_fault(name, fault))
        behind = fault != "radiator-leak"
        assert (value(world, "pressure drop, heater hoses pinched") == 0.0) == behind, fault
        assert value(world, "pressure drop") > 0.0


def test_dye_from_the_core_shines_at_the_drain_of_the_heater_box() -> None:
    world = cold(with_fault("hatch", "heater-core-leak"))
    assert seen(world, "wet heater box drain", "ultraviolet lamp") == "it shines brightly"


@each_leak
def test_only_its_own_part_stops_a_leak(fault: str) -> None:
    name, place, _ = PLACES[fault]
    vehicle, cures = catalogue().vehicles[name], set(catalogue().faults[fault].cured_by)
    good = healthy(1, vehicle.parameters)
    for repair in catalogue().repairs_of(vehicle):
        world = cold(with_fault(name, fault))
        renew(world.fleet, repair.renews, good)
        for operation in repair.does:
            OPERATIONS[operation](world.fleet)
        assert (value(world, place) == 0.0) == (repair.id in cures), repair.id


def test_sealant_shrinks_small_leaks_wherever_they_are() -> None:
    for name in ("leak_radiator", "leak_housing", "leak_tee", "leak_tank"):
        parameters = healthy(1)
        parameters[name] = 0.002
        world = cold(parameters)
        OPERATIONS["add sealant"](world.fleet)
        assert world.fleet.parameters[name][0] == pytest.approx(0.0004)
    assert np.isfinite(world.fleet.state).all()
