"""A silent pump is not yet a dead pump: fuse, relay, wire, ground and the part itself, each by its readings. And a door
that has lost its end stops. Common practice, no source.
"""

import pytest

from sim.repairs import OPERATIONS, renew
from sim.vehicle.parameters import healthy
from sim.world import running
from tests.scenarios.disputed.vehicles import catalogue, cold, driven, field, go, seen, value, with_fault

HUMS, SILENT = "it hums", "silent"
PUMP = {  # fault: volts behind the fuse, at the plug, over the ground; with another relay, on a fused lead
    "none": (True, True, False, HUMS, HUMS),
    "auxiliary-pump-dead": (True, True, False, SILENT, SILENT),
    "heater-pump-fuse-blown": (False, False, False, SILENT, HUMS),
    "heater-pump-relay-dead": (True, False, False, HUMS, HUMS),
    "heater-pump-wire-open": (True, False, False, SILENT, HUMS),
    "heater-pump-ground-corroded": (True, True, True, SILENT, HUMS),
}
VALVE = {  # fault: volts behind the fuse, at the plug, over the ground; the coil is whole
    "none": (True, True, False, True),
    "heater-valve-fuse-blown": (False, False, False, True),
    "valve-no-supply": (True, False, False, True),
    "heater-valve-ground-corroded": (True, True, True, True),
    "valve-coil-open": (True, True, False, False),
}
AIR_HEATER = {  # fault: volts behind the fuse, at the lead, over the ground; its current, and that with another relay
    "none": (True, True, False, True, True),
    "air-heater-dead": (True, True, False, False, False),
    "air-heater-fuse-blown": (False, False, False, False, False),
    "air-heater-relay-dead": (True, False, False, False, True),
    "air-heater-ground-corroded": (True, True, True, False, False),
}


@pytest.mark.parametrize("fault", PUMP)
def test_readings_part_the_faults_of_the_pumps_circuit(fault: str) -> None:
    low = catalogue().faults[fault].severity[0]
    for severity in (low, 1.0):
        world = cold(with_fault("hybrid", fault, severity))
        world.set(ignition=1.0, heater=1.0)
        volts = [value(world, f"heater pump {what}") > 3.0 for what in ("fuse feed", "feed", "ground drop")]
        heard = [
            seen(world, f"heater pump hum{how}", "ear at the pump") for how in (", relay swapped", " on a fused lead")
        ]
        assert (*volts, *heard) == PUMP[fault], (fault, severity)
        assert seen(world, "heater pump hum", "ear at the pump") == (HUMS if fault == "none" else SILENT)


def test_no_two_faults_of_a_circuit_read_alike() -> None:
    for circuit in (PUMP, VALVE, AIR_HEATER):
        assert len(set(circuit.values())) == len(circuit)


@pytest.mark.parametrize("fault", [fault for fault in PUMP if fault != "none"])
def test_a_pump_that_is_not_fed_lets_the_cabin_go_cold_at_a_stop(fault: str) -> None:
    vents = []
    for which in ("none", fault):
        world = driven(with_fault("hybrid", which))
        go(world, 4.0, **running())
        vents.append(field(world, "vent_C"))
    assert vents[1] < vents[0] - 10.0


@pytest.mark.parametrize("fault", VALVE)
def test_readings_part_the_faults_of_the_valves_circuit(fault: str) -> None:
    world = cold(with_fault("saloon", fault, catalogue().faults[fault].severity[0]))
    world.set(ignition=1.0, heater=1.0)
    volts = [value(world, name) > 3.0 for name in ("valve fuse feed", "valve supply voltage", "valve ground drop")]
    assert (*volts, value(world, "valve coil resistance") < 100.0) == VALVE[fault]
    assert (field(world, "valve") > 0.9) == (value(world, "valve stem travel") > 0.9) == (fault == "none")


@pytest.mark.parametrize("fault", AIR_HEATER)
def test_readings_part_the_faults_of_the_air_heaters_circuit(fault: str) -> None:
    world = cold(with_fault("diesel-wagon", fault, catalogue().faults[fault].severity[0]))
    world.set(**running(), heater=1.0, blower=3.0)
    volts = [value(world, f"air heater {what}") > 1.0 for what in ("fuse feed", "feed", "ground drop")]
    amps = [value(world, f"air heater current{how}") > 50.0 for how in ("", ", relay swapped")]
    assert (*volts, *amps) == AIR_HEATER[fault]
    go(world, 3.0, **running())
    sound = cold(with_fault("diesel-wagon"))
    sound.set(blower=3.0)
    go(sound, 3.0, **running())
    assert (field(world, "vent_C") < field(sound, "vent_C") - 3.0) == (fault != "none")


def test_a_driven_part_parts_the_control_from_what_it_drives() -> None:
    dumb, stripped = (cold(with_fault("saloon", name)) for name in ("controller-no-command", "blend-actuator-stripped"))
    for world in (dumb, stripped):
        world.set(ignition=1.0, heater=1.0)
        assert value(world, "blend door position") < 0.2
    assert value(dumb, "blend door driven by the tool") > 0.9 > 0.2 > value(stripped, "blend door driven by the tool")
    held = cold(with_fault("saloon", "cold-lockout-stuck"))
    held.set(**running(), blower=4.0)
    assert value(held, "blower driven by the tool") > 3.0 > value(held, "blower air")
    seized = cold(with_fault("saloon", "valve-seized-shut"))
    for world, moves in ((dumb, True), (seized, False)):
        world.set(ignition=1.0, heater=1.0)
        assert (value(world, "valve driven by the tool") > 0.9) == moves


@pytest.mark.parametrize("name", ["saloon", "van", "diesel-wagon", "hybrid"])
def test_a_door_without_its_end_stops_stops_short_and_reports_that_it_arrived(name: str) -> None:
    world = driven(with_fault(name, "blend-ends-lost", 0.75))
    sound = driven(with_fault(name))
    assert value(world, "blend door position") < 0.5 < 0.9 < value(sound, "blend door position")
    assert field(world, "vent_C") < field(sound, "vent_C") - 15.0
    assert value(world, "door short of command") == 0.0
    assert seen(world, "blend door sound", "ear at the dash") == "one knock as the door lands"
    assert value(world, "blend door driven by the tool") < 0.5
    assert value(world, "heater control's door code") == 0.0


def test_learning_the_ends_cures_and_a_new_actuator_without_it_does_not() -> None:
    ways = {"relearn-blend-actuator": True, "replace-blend-actuator": True, "fit-blend-actuator-unlearned": False}
    for repair, cures in ways.items():
        world = driven(with_fault("saloon", "blend-ends-lost"))
        one = catalogue().repairs[repair]
        renew(world.fleet, one.renews, healthy(1, catalogue().vehicles["saloon"].parameters))
        for operation in one.does:
            OPERATIONS[operation](world.fleet)
        for heater in (0.0, 1.0):
            world.set(heater=heater)
        assert (value(world, "blend door position") > 0.9) == cures, repair
    broken = driven(with_fault("saloon", "blend-actuator-stripped"))
    OPERATIONS["relearn actuator"](broken.fleet)
    assert value(broken, "blend door position") < 0.3  # nothing is learned through stripped gears
