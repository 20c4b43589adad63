"""What a technician expects of an electric main coolant pump and its faults (common practice, no source)."""

from __future__ import annotations

import numpy as np
import pytest

from grading.sessions.session import Session
from grading.technicians import COMPETENT, Technician
from sim.fleet import Fleet
from sim.observation.instruments import INSTRUMENTS
from sim.observation.quantities import QUANTITIES
from sim.vehicle import code_memory
from sim.vehicle.parameters import healthy
from sim.world import STOPPED, Weather, World, running
from tests.scenarios.disputed.vehicles import WINTER_C, catalogue, cold, driven, go, with_fault

NAME = "compact"
P2600, P2601 = code_memory.PUMP_SILENT, code_memory.PUMP_SLOW
DRIVEN = "main pump sound, driven by the tool"
# fault: code row stored (None: none), sound driven, sound on a lead of its own, volts at the plug
EXPECTED = {
    "none": (None, "howls at full speed", "howls at full speed", 14.0),
    "main-pump-motor-dead": (P2601, "silent", "silent", 14.0),
    "main-pump-jammed": (P2601, "starts and stops again and again", "starts and stops again and again", 14.0),
    "main-pump-ground-corroded": (P2601, "starts and stops again and again", "howls at full speed", 14.0),
    "main-pump-impeller-loose": (None, "howls at full speed", "howls at full speed", 14.0),
    "main-pump-impeller-worn": (None, "howls at full speed", "howls at full speed", 14.0),
    "main-pump-fuse-blown": (P2600, "silent", "howls at full speed", 0.0),
    "main-pump-relay-dead": (P2600, "silent", "howls at full speed", 0.0),
    "main-pump-wire-open": (P2600, "silent", "howls at full speed", 0.0),
    "main-pump-command-open": (P2600, "howls at full speed", "howls at full speed", 14.0),
}


def value(world: World, quantity: str) -> float:
    """A true quantity of the one vehicle."""
    world.fleet.refresh()
    return float(QUANTITIES[quantity](world.fleet)[0])


def heard(world: World, quantity: str) -> str:
    """What the ear at the pump says."""
    ear = INSTRUMENTS["ear at the main pump"]
    return ear.show(int(value(world, quantity)))


@pytest.mark.parametrize("fault", EXPECTED)
def test_codes_sounds_and_volts(fault: str) -> None:
    row, tool, lead, volts = EXPECTED[fault]
    world = cold(with_fault(NAME, fault))
    go(world, 1.0, **running())
    stored = set(np.flatnonzero(world.fleet.codes[0, :, code_memory.STORED] > 0.5))
    assert stored == (set() if row is None else {row})
    assert heard(world, DRIVEN) == tool
    assert heard(world, "main pump sound on a lead of its own") == lead
    assert value(world, "main pump feed") == pytest.approx(volts, abs=0.3)


def test_every_fault_of_the_pump_is_expected_here() -> None:
    assert {name for name in catalogue().faults if name.startswith("main-pump")} == set(EXPECTED) - {"none"}


def test_without_heat_the_engine_warms_sooner_and_revs_do_not_matter() -> None:
    asked, spared, always = (cold(with_fault(NAME, fault)) for fault in ("none", "none", "main-pump-command-open"))
    spared.set(heater=0.0, blower=0.0)
    always.set(heater=0.0, blower=0.0)
    for world in (asked, spared, always):
        go(world, 6.0, **running())
    metal, flow = (lambda w: float(w.fleet.state[0, 0])), (lambda w: float(w.fleet.algebraic["pump_flow"][0]))
    assert flow(spared) < 0.35 * flow(asked) < 0.35 * flow(always)
    assert metal(spared) > metal(always) + 0.5 and metal(spared) > metal(asked) + 3.0
    before = float(asked.fleet.algebraic["heater_flow"][0])
    go(asked, 0.1, **running(rpm=3000.0))
    assert float(asked.fleet.algebraic["heater_flow"][0]) == pytest.approx(before, rel=0.03)


def test_it_runs_on_after_a_hot_drive_and_stops_by_itself() -> None:
    world = driven(with_fault(NAME), ambient=25.0, minutes=20.0, kmh=130.0)
    go(world, 3.0, **STOPPED)
    assert value(world, "engine speed") == 0.0
    assert float(world.fleet.algebraic["pump_speed"][0]) == 0.5
    assert float(world.fleet.algebraic["pump_flow"][0]) > 10.0
    go(world, 60.0, **STOPPED)
    assert float(world.fleet.algebraic["pump_speed"][0]) == 0.0
    gentle = driven(with_fault(NAME), minutes=15.0)
    go(gentle, 0.2, **STOPPED)
    assert float(gentle.fleet.algebraic["pump_speed"][0]) == 0.0


def test_without_its_alternator_belt_coolant_still_flows() -> None:
    parameters = with_fault(NAME)
    parameters["charging_works"] = 0.0
    world = driven(parameters, minutes=15.0)
    assert float(world.fleet.algebraic["pump_flow"][0]) > 15.0
    assert value(world, "charge lamp") == 1.0
    torn = driven(with_fault("hatch", "pump-belt-broken"), minutes=5.0)
    assert float(torn.fleet.algebraic["pump_flow"][0]) == 0.0


@pytest.mark.parametrize(("rpm", "goes_on"), [(6000.0, True), (0.0, False)])
def test_heat_while_stop_start_stands(rpm: float, goes_on: bool) -> None:
    """With a pump that does not need the engine the heat goes on; with one on its shaft the air cools."""
    values = catalogue().vehicles[NAME].parameters | {"stops_itself": 1.0, "electric_rpm": rpm}
    values |= {"pump_head_kPa": 2.4 if goes_on else 14.0}
    world = driven(healthy(1, values))
    go(world, 0.2, **running())
    assert float(world.fleet.switches["stopped"][0]) == 1.0
    before = value(world, "vent temperature")
    go(world, 1.5, **running())
    assert float(world.fleet.switches["stopped"][0]) == 1.0
    assert (value(world, "vent temperature") > before - 8.0) == goes_on
    assert (float(world.fleet.algebraic["heater_flow"][0]) > 3.0) == goes_on


@pytest.mark.parametrize("fault", ["main-pump-command-open", "main-pump-fuse-blown"])
def test_a_pump_that_does_not_answer_brings_the_fan_on(fault: str) -> None:
    world = cold(with_fault(NAME, fault))
    go(world, 0.5, **running())
    assert float(world.fleet.algebraic["fan_share"][0]) == 1.0
    sound = cold(with_fault(NAME))
    go(sound, 0.5, **running())
    assert float(sound.fleet.algebraic["fan_share"][0]) == 0.0


def test_the_impeller_is_told_by_current_and_by_a_look_inside() -> None:
    for fault, seen in (("none", 0.0), ("main-pump-impeller-worn", 2.0), ("main-pump-impeller-loose", 3.0)):
        for severity in catalogue().faults[fault].severity:
            world = cold(with_fault(NAME, fault, severity))
            go(world, 1.0, **running())
            assert value(world, "main pump inlet") == seen
            assert (value(world, "main pump current") > 20.0) == (fault == "none")


def test_little_asked_of_a_pump_on_a_bad_ground_and_it_runs() -> None:
    """Its electronics live on what a trickle of current leaves them; asked for heat, it stands."""
    world = World(Fleet.cold(with_fault(NAME, "main-pump-ground-corroded"), WINTER_C), Weather(WINTER_C))
    go(world, 1.0, **running())
    assert float(world.fleet.algebraic["pump_speed"][0]) == pytest.approx(0.1)
    go(world, 1.0, heater=1.0, blower=2.0)
    assert float(world.fleet.algebraic["pump_speed"][0]) == 0.0


@pytest.mark.parametrize("name", ["lamp-and-wind", "dance-class", "quince-jelly"])
def test_a_competent_technician_finds_it(name: str) -> None:
    job = catalogue().jobs[name]
    session = Session(catalogue(), job, 0)
    Technician(session, COMPETENT).play()
    actions = [entry.action for entry in session.recorder.entries if entry.kind == "action"]
    assert job.faults[0].fault in [action.text(0) for action in actions if action.verb == "diagnose"]
