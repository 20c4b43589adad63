"""Electrics, controls, sensors and doors as a technician finds them, asked of the physics.

Bands are common practice, no source, where nothing else is said.
"""

from __future__ import annotations

from typing import cast

import numpy as np
import pytest

from grading.marks.comeback import follow
from grading.reference.preparation import Readiness, preparation
from scenarios.actions import Action
from scenarios.workshop import Workshop
from sim.fleet import Fleet
from sim.observation.categories import Categories
from sim.observation.codes import CODES
from sim.observation.instruments import INSTRUMENTS
from sim.observation.quantities import QUANTITIES
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import Weather, World, running
from tests.packaged import packaged_catalogue
from tests.scenarios.life import HOT_C, MILD_C, with_fault

CATALOGUE = packaged_catalogue()
LUCK = 0.35
SHARES = (0.0, 0.5, 1.0)  # of the way from a fault's least to its greatest severity


def world(vehicle: str, fault: str = "none", share: float = 0.5, variant: float = LUCK) -> World:
    """A vehicle with a fault part of the way through its severities, all switched off.

    Engine, coolant in it and sensor are warm, so that an automatic control lets the blower run.
    """
    good = healthy(1, CATALOGUE.vehicles[vehicle].parameters)
    parameters = good if fault == "none" else with_fault(good, CATALOGUE.faults[fault], share, variant)
    fleet = Fleet.cold(parameters, MILD_C)
    fleet.state[:, [st.METAL, st.JACKET, st.BLOCK, st.SENSOR]] = 80.0
    return World(fleet, Weather(MILD_C))


def value(of: World, quantity: str, **controls: float) -> float:
    """A true quantity some seconds after the controls were set as given."""
    of.set(**controls)
    of.wait(3.0)
    return float(QUANTITIES[quantity](of.fleet)[0])


def less(vehicle: str, fault: str, share: float, quantity: str, **controls: float) -> float:
    """By what share of the good vehicle's value a quantity is less under a fault."""
    good, bad = (value(world(vehicle, name, share), quantity, **controls) for name in ("none", fault))
    return 1.0 - bad / good


ON_4 = {**running(), "heater": 1.0, "blower": 4.0}


def fits(fault: str) -> list[str]:
    """Vehicles that can have a fault."""
    return [name for name, vehicle in CATALOGUE.vehicles.items() if CATALOGUE.faults[fault].fits(vehicle)]


@pytest.mark.parametrize("vehicle", fits("cabin-filter-blocked"))
def test_a_matted_filter_takes_a_fifth_to_two_fifths_of_the_blower_current(vehicle: str) -> None:
    for share in SHARES:
        assert 0.2 <= less(vehicle, "cabin-filter-blocked", share, "blower current", **ON_4) <= 0.4


@pytest.mark.parametrize("vehicle", fits("core-fins-blocked"))
def test_choked_fins_take_a_fifth_to_two_fifths_of_the_blower_current_from_half_of_their_severities(
    vehicle: str,
) -> None:
    """At their least severity a third of the face is open and the current falls by an eighth or more."""
    by = [less(vehicle, "core-fins-blocked", share, "blower current", **ON_4) for share in SHARES]
    assert by == sorted(by) and by[0] >= 0.12
    assert by[1] >= 0.2 and by[2] <= 0.4
    cold = [less(vehicle, "core-fins-blocked", share, "blower current", **{**ON_4, "heater": 0.0}) for share in SHARES]
    assert np.max(cold) < 0.05  # the air goes past the core


@pytest.mark.parametrize("vehicle", CATALOGUE.vehicles)
def test_a_loose_wheel_leaves_the_motor_a_third_to_a_half_of_its_current(vehicle: str) -> None:
    for share in SHARES:
        assert 0.5 <= less(vehicle, "blower-wheel-loose", share, "blower current", **ON_4) <= 0.7


def share_of_current(vehicle: str, fault: str, share: float) -> float:
    """Blower current on the highest speed, of the good vehicle's."""
    return 1.0 - less(vehicle, fault, share, "blower current", **ON_4)


@pytest.mark.parametrize("vehicle", CATALOGUE.vehicles)
def test_worn_brushes_take_less_current_and_a_knock_helps(vehicle: str) -> None:
    """Less than half the current; 1 ohm at the brushes and more leaves a quarter or more of it."""
    for share in SHARES:
        worn = world(vehicle, "blower-motor-worn", share)
        assert 0.2 <= share_of_current(vehicle, "blower-motor-worn", share) <= 0.5
        assert value(worn, "blower gain by a knock", **ON_4) > 0.2
        assert value(worn, "blower motor resistance") > 0.8
        assert value(worn, "blower supply voltage") > 11.5 and value(worn, "blower ground voltage") < 0.2
    assert value(world(vehicle), "blower gain by a knock", **ON_4) == 0.0


def test_worn_brushes_are_erratic() -> None:
    """Within seven minutes the current is there and is not, and a knock brings it back."""
    worn = world("van", "blower-motor-worn", 0.5)
    amps, gains = [], []
    for _ in range(40):
        worn.wait(7.0)
        amps.append(value(worn, "blower current", **ON_4))
        gains.append(value(worn, "blower gain by a knock"))
    assert min(amps) < 0.01 and max(amps) > 4.0
    assert min(gains) > 0.2  # at any time


@pytest.mark.parametrize("vehicle", CATALOGUE.vehicles)
def test_dry_bearings_take_more_current_on_the_highest_speed_and_hardly_turn_on_the_lowest(vehicle: str) -> None:
    for share in SHARES:
        dry, good = world(vehicle, "blower-bearings-dry", share), world(vehicle)
        assert 1.1 <= share_of_current(vehicle, "blower-bearings-dry", share) <= 1.5
        assert value(dry, "blower sound", **ON_4) == 2.0  # labours
        assert value(dry, "blower gain by a knock") == 0.0
        slow = {**ON_4, "blower": 1.0}
        assert value(dry, "blower air", **slow) < 0.7 * value(good, "blower air", **slow)
    assert {"resistor-pack-open", "blower-connector-burnt", "blower-fuse-blown"} <= set(
        CATALOGUE.faults["blower-bearings-dry"].leads_to
    )


LOST = {"blower-ground-corroded": "blower ground voltage", "blower-connector-burnt": "blower connector drop"}
STOPPED_4 = {"ignition": 1.0, "engine": 0.0, "heater": 1.0, "blower": 4.0}
"""A drop is measured with the engine stopped, on the battery; charging, the worst loses 7 V."""


@pytest.mark.parametrize("vehicle", CATALOGUE.vehicles)
@pytest.mark.parametrize("fault", LOST)
def test_a_bad_joint_loses_3_to_6_volts_on_the_highest_speed_and_far_less_on_the_lowest(
    vehicle: str, fault: str
) -> None:
    """0.35 to 0.9 ohm.

    Ohm's law bounds the lowest speed: a pack of 2.4 ohm lets 3.1 to 3.5 A through it (tests/published/values/blower),
    so that 1 V there is 0.3 ohm and no more; what is worse loses 2.4 V there, and the air still falls by less than a
    fifth. An electronic controller has no such pack before the motor and loses up to a quarter.
    """
    pack = "resistor-pack" in CATALOGUE.vehicles[vehicle].equipment
    for share in SHARES:
        bad, good = world(vehicle, fault, share), world(vehicle)
        lost = value(bad, LOST[fault], **STOPPED_4)
        assert 3.0 <= lost <= 6.1
        full, usual = value(bad, "blower air"), value(good, "blower air", **STOPPED_4)
        assert 0.5 * usual < full < 0.8 * usual  # the highest speed is weak
        slow = {**STOPPED_4, "blower": 1.0}
        assert value(bad, LOST[fault], **slow) < (1.2 if share == 0.0 else 0.45 * lost)
        assert value(bad, "blower air") > (0.8 if pack else 0.7) * value(good, "blower air", **slow)


def test_a_few_tenths_of_a_volt_are_a_finding_without_a_complaint() -> None:
    """0.03 ohm lose half a volt on the highest speed, which is above a good joint's 0.2 V and felt by nobody."""
    good = world("hatch")
    bad = world("hatch")
    bad.fleet.unshare_parameters()
    bad.fleet.parameters["blower_ground_ohm"] = 0.03
    bad.fleet.refresh()
    assert 0.3 < value(bad, "blower ground voltage", **STOPPED_4) < 1.0
    assert value(bad, "blower air") > 0.95 * value(good, "blower air", **STOPPED_4)


def test_only_a_burnt_plug_is_brown_and_it_cuts_out() -> None:
    plug = INSTRUMENTS["eye on the plug"]
    for name, vehicle in CATALOGUE.vehicles.items():
        for fault in CATALOGUE.faults_of(vehicle):
            if fault.system != "blower":
                continue
            for share in SHARES:
                seen = plug.show(plug.read(value(world(name, fault.id, share), "blower plug heat"), 0.5))
                assert seen.startswith("brown" if fault.id == "blower-connector-burnt" else "clean"), fault.id
    burnt = world("van", "blower-connector-burnt")
    amps = [value(burnt, "blower current", **ON_4)]
    for _ in range(60):
        burnt.wait(10.0)
        amps.append(value(burnt, "blower current"))
    assert min(amps) < 0.01 and max(amps) > 7.0


def test_the_month_after_hears_the_highest_speed_by_itself() -> None:
    """A ground left corroded comes back as a weak highest speed; one made good does not."""
    for fault, told in (("blower-ground-corroded", "less air than before on blower speed 4"), ("none", "")):
        bad, good = world("hatch", fault), world("hatch")
        pair = World(Fleet.joined(bad.fleet, good.fleet), Weather(MILD_C))
        assert follow(pair, [MILD_C] * 3, 45.0).what == told


GOES_BY = {"hatch": -40.0, "pickup": -40.0, "van": -40.0, "hybrid": -40.0, "saloon": 80.0, "diesel-wagon": 80.0}


@pytest.mark.parametrize(("vehicle", "believed"), GOES_BY.items())
def test_an_open_coolant_sensor_is_cold_or_a_substitute_to_all_who_listen(vehicle: str, believed: float) -> None:
    """SAE J2012 P0118; the value taken for it is a matter of the maker (common practice, no source)."""
    bad, good = world(vehicle, "sensor-open"), world(vehicle)
    asked = {**ON_4, "blower": 2.0}
    assert value(bad, "engine computer's coolant temperature", **asked) == believed
    assert CODES[int(value(bad, "trouble code"))] == "P0118" and CODES[int(value(good, "trouble code"))] == "none"
    gauge = INSTRUMENTS["dash gauge"]
    needle = gauge.show(gauge.step(value(bad, "gauge needle")))
    assert needle == ("mid-scale" if believed > 75.0 else "on its cold stop")
    if "electric-fan" in CATALOGUE.vehicles[vehicle].equipment:
        assert value(bad, "fan") > 0.9 and value(good, "fan", **asked) < 0.1
    held = "automatic-control" in CATALOGUE.vehicles[vehicle].equipment and believed < 0.0
    assert (value(bad, "blower air") < 0.1) == held
    if vehicle == "hybrid":  # an engine that its computer believes cold does not stop itself
        assert value(bad, "engine speed") > 500.0 and value(good, "engine speed") == 0.0


def test_the_valve_stem_stands_still_where_nothing_is_asked_of_it() -> None:
    stem = INSTRUMENTS["eye on the stem"]
    for fault, shown in (("none", "moves its full travel"), ("controller-no-command", "does not move")):
        assert stem.show(stem.step(value(world("saloon", fault), "valve stem travel", **ON_4))) == shown


def opening(of: World, **controls: float) -> float:
    """Opening of the heater valve some seconds after the controls were set as given."""
    of.set(**controls)
    of.wait(5.0)
    return float(of.fleet.algebraic["valve"][0])


HOT, COLD, OFF = {**running(), "heater": 1.0}, {**running(), "heater": 0.0}, {"ignition": 0.0, "engine": 0.0}


def test_a_valve_without_its_drive_springs_shut_stays_where_it_was_or_rests_open() -> None:
    """The saloon's spring shuts it, the hybrid's geared motor holds it, the pickup's spring opens it."""
    saloon, hybrid, pickup = world("saloon"), world("hybrid"), world("pickup")
    assert opening(saloon, **HOT) == 1.0 and opening(saloon, **OFF) == 0.0
    for asked, left in ((HOT, 1.0), (COLD, 0.0)):
        assert opening(hybrid, **asked) == left and opening(hybrid, **OFF) == left
    assert opening(pickup, **COLD) < 0.05 and opening(world("pickup", "valve-vacuum-line-off"), **COLD) == 1.0
    for fault in ("valve-vacuum-line-off", "valve-diaphragm-torn"):
        assert CATALOGUE.faults[fault].shows == ("too warm",)


def test_a_heater_valve_off_its_cable_stays_where_it_was_left() -> None:
    """Left open it is no complaint: with the control at cold the vents are less than 3 K warmer, idling in heat."""
    for left in (0.0, 1.0):
        off = world("hatch", "valve-cable-off")
        off.fleet.unshare_parameters()
        off.fleet.parameters["valve_rest"] = left
        assert opening(off, **HOT) == left and opening(off, **COLD) == left
    vents = []
    for linkage in (1.0, 0.0):
        good = healthy(1, CATALOGUE.vehicles["hatch"].parameters | {"valve_linkage": linkage, "valve_rest": 1.0})
        hot = World(Fleet.cold(good, HOT_C), Weather(HOT_C))
        hot.set(**{**running(), "load_kW": 7.0, "heater": 0.0, "blower": 2.0})
        hot.wait(1500.0)
        vents.append(float(hot.fleet.algebraic["vent_C"][0]))
    assert 0.0 < vents[1] - vents[0] < 3.0


def workshop(vehicle: str, fault: str = "none", ambient: float = 1.0) -> Workshop:
    """A vehicle with a fault as it comes into the workshop, cold."""
    good = healthy(1, CATALOGUE.vehicles[vehicle].parameters)
    parameters = good if fault == "none" else with_fault(good, CATALOGUE.faults[fault], 0.5, LUCK)
    return Workshop(CATALOGUE, CATALOGUE.vehicles[vehicle], parameters, good, Weather(ambient), 101.325)


@pytest.mark.parametrize("check", ["scan-warm-up", "upper-hose-in-warm-up", "cabin-over-time"])
def test_a_check_that_follows_something_takes_its_first_reading_first(check: str) -> None:
    """At 1 degC the first is the cold engine's, and each reading knows its own minute."""
    shop = workshop("hatch")
    shop.perform(Action("engine", ("start",)))
    began = shop.minute
    done = shop.perform(Action("check", (check,)))
    (_, first, at), (_, _, later) = done.readings
    assert first[0] == pytest.approx(1.0, abs=2.0)
    assert at - began <= 0.51  # the walk there
    minutes = CATALOGUE.checks[check].minutes
    assert later - at == pytest.approx(minutes) and done.minutes == pytest.approx(minutes + at - began)


@pytest.mark.parametrize("check", ["vacuum-held", "hard-pull-outlets"])
def test_a_sound_vacuum_reservoir_is_filled_before_it_is_judged(check: str) -> None:
    for fault, sound in (("none", True), ("check-valve-leaking", False)):
        shop = workshop("pickup", fault)
        preparations = preparation(shop, CATALOGUE.checks[check], Readiness())
        assert preparations is not None
        for action in preparations:
            shop.perform(action)
        ((spec, true, _),) = shop.perform(Action("check", (check,))).readings
        if check == "vacuum-held":
            assert true[0] > 50.0 if sound else true[0] < 5.0
        else:
            instrument = INSTRUMENTS[spec.instrument]
            shown = instrument.show(instrument.step(float(true[0])))
            assert (shown == "mostly at the floor") == sound


def seen(of: Workshop, check: str) -> dict[str, str]:
    """Readings of a check on one vehicle, without noise."""
    looks = of.perform(Action("check", (check,))).readings
    tools = [(look, INSTRUMENTS[look.spec.instrument]) for look in looks]
    return {look.spec.label: tool.show(tool.read(float(look.true[0]), 0.5)) for look, tool in tools}


@pytest.mark.parametrize(("fault", "check", "label"), [
    ("blower-motor-dead", "motor-resistance", "motor, unplugged"),
    ("resistor-pack-open", "pack-resistance", "pack, unplugged, lowest speed"),
    ("none", "blower-wire-to-ground", "wire to ground"),
])  # fmt: skip
def test_an_open_circuit_is_over_range_on_the_ohmmeter(fault: str, check: str, label: str) -> None:
    assert seen(workshop("hatch", fault), check)[label] == "over range"


def test_a_cold_sensor_is_within_the_ohmmeters_range() -> None:
    """2.5 kohm at 20 degC, some 6 kohm at 1 degC (the thermistor of sim.observation.scan_data)."""
    meter = INSTRUMENTS["ohmmeter"]
    ohms = value(World(workshop("hatch").fleet, Weather(1.0)), "sensor circuit resistance")
    assert 5000.0 < ohms < 7000.0
    assert float(meter.show(meter.step(float(meter.response(np.array([ohms]))[0]))).split()[0]) == pytest.approx(
        ohms, abs=6
    )


def test_a_visible_leak_has_a_place() -> None:
    for fault, wet in (("none", None), ("hose-leak", "hose ends"), ("pump-seal-leak", "coolant pump")):
        shown = seen(workshop("hatch", fault), "leaks-by-eye")
        assert {place for place, what in shown.items() if what != "dry"} == ({wet} if wet else set())


def test_paper_tells_coolant_in_the_carpet_from_plain_water() -> None:
    for wet, glycol, shown in (
        (0.6, 0.5, "coloured, slippery and sweet"),
        (0.6, 0.0, "no colour"),
        (0.0, 0.5, "no colour"),
    ):
        shop = workshop("hatch")
        shop.fleet.state[:, st.CARPET] = wet
        shop.fleet.unshare_parameters()
        shop.fleet.parameters["glycol"] = glycol
        found = seen(shop, "carpet-wiped")
        assert found == {"carpet": "soaked" if wet else "dry", "paper": shown}


def test_each_vehicle_is_of_one_technical_era() -> None:
    """Vacuum doors belong to resistor packs and mechanical controls, electronic blowers to geared motors."""
    for name, vehicle in CATALOGUE.vehicles.items():
        old = vehicle.equipment & {"vacuum-doors", "blend-vacuum", "valve-vacuum", "blend-cable", "valve-cable"}
        new = vehicle.equipment & {"blower-controller", "electronic-control", "automatic-control", "blend-motor"}
        assert not (old and new), (name, old, new)
    assert any({"vacuum-doors", "blend-vacuum", "valve-vacuum"} <= v.equipment for v in CATALOGUE.vehicles.values())


def test_vacuum_lost_at_the_blend_door_leaves_it_cold_with_vacuum_at_its_source() -> None:
    bad = world("pickup", "blend-vacuum-off")
    assert value(bad, "blend door position", **HOT) == 0.0 and value(bad, "manifold vacuum") > 50.0
    assert value(bad, "vacuum at the door") == 0.0 and value(world("pickup"), "vacuum at the door", **HOT) > 50.0
    assert CATALOGUE.jobs["allotment"].vehicle == "pickup"


@pytest.mark.parametrize(("instrument", "sound"), [("ear at the belt", 0), ("ear at the blower", 3),
                                                   ("ear at the blower", 0), ("code reader", 0)])  # fmt: skip
def test_a_clear_sign_is_never_taken_for_another(instrument: str, sound: int) -> None:
    """Nobody hears a squeal or a labouring motor where there is none, and no code reader invents a code."""
    tool = INSTRUMENTS[instrument]
    assert {tool.read(float(sound), (k + 0.5) / 20_000) for k in range(20_000)} == {sound}
    chances = [float(tool.likelihood(k, np.array([float(sound)]))[0]) for k in range(len(cast(Categories, tool).words))]
    assert sum(chances) == pytest.approx(1.0) and chances[sound] > 0.999
    assert {tool.read(1.0, (k + 0.5) / 20_000) for k in range(20_000)} >= {1}
