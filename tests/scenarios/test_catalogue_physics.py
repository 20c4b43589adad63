"""The packaged faults and repairs by the physics: faults show their complaint, cures cure, nothing else does."""

from dataclasses import dataclass

import numpy as np
import pytest

from scenarios.limits import limits
from scenarios.loader import load_catalogue
from scenarios.model import Catalogue, Fault, Repair, Vehicle
from scenarios.planting import plant
from sim import states as st
from sim.fleet import Fleet
from sim.observe import QUANTITIES
from sim.parameters import PARAMETERS, healthy
from sim.repairs import OPERATIONS, renew
from sim.variation import draw
from sim.world import Leg, Weather, World, running

AMBIENT_C = 2.0
WARM_C = 45.0  # vent temperature that customers call warm; no healthy vehicle below stays under it
COLD_C = 40.0  # vent temperature that nobody calls warm at half severity
NO_AIR = 1.0  # kg/min at the vents, a third of what the blower gives on speed 2
SHARES = (0.0, 0.5, 1.0)  # of the way from a fault's least to its greatest severity
ASKED = {"heater": 1.0, "blower": 2.0, "occupants": 1.0}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


VEHICLES = ("hatch", "saloon", "pickup")
each_vehicle = pytest.mark.parametrize("name", VEHICLES)


def test_every_packaged_vehicle_is_looked_at(catalogue: Catalogue) -> None:
    assert set(VEHICLES) == set(catalogue.vehicles)


def drive(fleet: Fleet, *legs: Leg) -> Fleet:
    """The fleet after legs on the road or at rest, heater at full hot, blower on 2."""
    World(fleet, Weather(AMBIENT_C)).run([Leg(leg.seconds, leg.controls | ASKED) for leg in legs])
    return fleet


TOWN = Leg(1200.0, running(kmh=50.0))
REVS = Leg(300.0, running(rpm=3000.0))


def is_warm(fleet: Fleet, threshold: float = WARM_C) -> np.ndarray:
    """Which vehicles blow warm air, and enough of it."""
    return (fleet.quantities["vent_C"] > threshold) & (QUANTITIES["blower air"](fleet) > NO_AIR)


def with_fault(good: np.ndarray, fault: Fault, share: float, luck: float) -> np.ndarray:
    """Good vehicles with a fault, part of the way through its severities."""
    low, high = fault.severity
    parameters = good.copy()
    plant(parameters, fault, np.full(len(good), low + share * (high - low)), np.full(len(good), luck))
    return parameters


def faults_of(catalogue: Catalogue, vehicle: Vehicle) -> list[Fault]:
    """Faults of a vehicle that change anything."""
    return [fault for fault in catalogue.faults_of(vehicle) if fault.changes]


@each_vehicle
def test_healthy_vehicles_get_warm(catalogue: Catalogue, name: str) -> None:
    good = draw(catalogue.vehicles[name].parameters, "catalogue", 30)
    fleet = drive(Fleet.cold(good, AMBIENT_C), TOWN)
    assert is_warm(fleet, WARM_C + 5.0).all()
    assert np.abs(QUANTITIES["gauge needle"](fleet) - 0.5).max() < 0.06


@each_vehicle
def test_every_fault_shows_its_complaint_at_every_severity(catalogue: Catalogue, name: str) -> None:
    vehicle = catalogue.vehicles[name]
    good = draw(vehicle.parameters, "catalogue", 6)
    faults = faults_of(catalogue, vehicle)
    cases = [(fault, share, luck) for fault in faults for share in SHARES for luck in (0.1, 0.95)]
    fleet = drive(Fleet.cold(np.concatenate([with_fault(good, *case) for case in cases]), AMBIENT_C), TOWN)
    warm = is_warm(fleet).reshape(len(cases), -1).max(axis=1)
    assert [(fault.id, share) for (fault, share, _), w in zip(cases, warm, strict=True) if w] == []
    tepid = is_warm(fleet, COLD_C).reshape(len(cases), -1).max(axis=1)
    assert [fault.id for (fault, share, _), w in zip(cases, tepid, strict=True) if w and share >= 0.5] == []


@each_vehicle
def test_no_fault_shows_at_severity_0(catalogue: Catalogue, name: str) -> None:
    vehicle = catalogue.vehicles[name]
    good = healthy(1, vehicle.parameters)
    for fault in faults_of(catalogue, vehicle):
        parameters = good.copy()
        plant(parameters, fault, np.zeros(1), np.zeros(1))
        assert parameters == good, fault.id


@each_vehicle
def test_a_fault_leaves_the_vehicle_physical(catalogue: Catalogue, name: str) -> None:
    vehicle = catalogue.vehicles[name]
    good = healthy(1, vehicle.parameters)
    faults = faults_of(catalogue, vehicle)
    cases = [(fault, share, luck) for fault in faults for share in (*SHARES, 0.25, 0.75) for luck in (0.1, 0.95)]
    parameters = np.concatenate([with_fault(good, *case) for case in cases])
    for parameter in PARAMETERS.values():
        low, high = limits(parameter)
        values = parameters[parameter.name]
        assert ((low <= values) & (values <= high)).all(), parameter.name
    fleet = drive(Fleet.cold(parameters, AMBIENT_C), TOWN)
    temperatures = np.delete(fleet.state[:, : st.TEMPERATURES], st.LIFT, axis=1)
    assert np.isfinite(fleet.state).all()
    assert (temperatures > AMBIENT_C - 1.0).all() and (temperatures < 200.0).all()
    assert (fleet.state[:, st.COOLANT] > 0.0).all()
    assert (fleet.quantities["pressure_kPa"] < 1.3 * vehicle.parameters["cap_kPa"]).all()


@dataclass
class Outcome:
    """A fault after a repair and a drive: warm, and the vent's temperature [degC]."""

    warm: bool
    vent_C: float


def after_repair(
    vehicle: Vehicle, faults: list[Fault], repairs: list[Repair], share: float, *legs: Leg
) -> dict[tuple[str, str], Outcome]:
    """Every fault, repaired in every way before a cold start, then driven."""
    good = healthy(1, vehicle.parameters)
    pairs = [(fault, repair) for repair in repairs for fault in faults]
    broken = [with_fault(good, fault, share, 0.1) for _ in repairs for fault in faults]
    whole = Fleet.cold(np.concatenate(broken), AMBIENT_C)
    for k, repair in enumerate(repairs):
        rows = np.arange(k * len(faults), (k + 1) * len(faults))
        part = whole.select(rows)
        renew(part, repair.renews, healthy(len(faults), vehicle.parameters))
        for operation in repair.does:
            OPERATIONS[operation](part)
        whole.parameters[rows], whole.state[rows] = part.parameters, part.state
        whole.switches[rows] = part.switches
    drive(whole, *legs)
    warm, vent = is_warm(whole), whole.quantities["vent_C"]
    return {(f.id, r.id): Outcome(bool(warm[i]), float(vent[i])) for i, (f, r) in enumerate(pairs)}


@each_vehicle
@pytest.mark.parametrize("share", SHARES)
def test_curing_repairs_cure_and_no_other_does(catalogue: Catalogue, name: str, share: float) -> None:
    vehicle = catalogue.vehicles[name]
    faults, repairs = faults_of(catalogue, vehicle), catalogue.repairs_of(vehicle)
    outcomes = after_repair(vehicle, faults, repairs, share, TOWN)
    for fault in faults:
        listed = {*fault.cured_by, *fault.cured_in_passing}
        for repair in repairs:
            outcome = outcomes[fault.id, repair.id]
            if repair.id in listed:
                assert outcome.warm, f"{repair.id} leaves {fault.id}, vent {outcome.vent_C:.0f} degC"
            elif repair.id not in fault.relieved_by:
                assert not outcome.warm, f"{repair.id} cures {fault.id}, vent {outcome.vent_C:.0f} degC"


@each_vehicle
def test_relieving_repairs_bring_heat_once_the_engine_is_revved(catalogue: Catalogue, name: str) -> None:
    vehicle = catalogue.vehicles[name]
    faults = [fault for fault in faults_of(catalogue, vehicle) if fault.relieved_by]
    useless = catalogue.repairs["clean-engine-ground"]
    repairs = [useless, *(catalogue.repairs[r] for fault in faults for r in fault.relieved_by)]
    outcomes = after_repair(vehicle, faults, repairs, 0.5, TOWN, REVS, TOWN)
    assert {fault.id for fault in faults} == {"coolant-low", "core-clogged"}
    for fault in faults:
        assert not outcomes[fault.id, useless.id].warm, f"{fault.id} goes by revs alone"
        assert any(outcomes[fault.id, repair].warm for repair in fault.relieved_by), fault.id


@each_vehicle
def test_a_flushed_core_stays_behind_a_new_one(catalogue: Catalogue, name: str) -> None:
    vehicle = catalogue.vehicles[name]
    repairs = [catalogue.repairs["flush-heater-core"], catalogue.repairs["replace-heater-core"]]
    outcomes = after_repair(vehicle, [catalogue.faults["core-clogged"]], repairs, 0.5, TOWN)
    flushed, renewed = (outcomes["core-clogged", repair.id].vent_C for repair in repairs)
    assert WARM_C < flushed < renewed - 3.0


@each_vehicle
def test_air_leaves_a_locked_core_by_revs_with_the_heater_open_but_not_in_town(catalogue: Catalogue, name: str) -> None:
    """Common practice, no source: a few good revs with the heater on bring the heat back."""
    good = healthy(1, catalogue.vehicles[name].parameters)
    parameters = with_fault(good, catalogue.faults["air-locked"], 0.5, 0.1)
    assert not is_warm(drive(Fleet.cold(parameters, AMBIENT_C), TOWN, TOWN)).any()
    assert is_warm(drive(Fleet.cold(parameters, AMBIENT_C), TOWN, REVS)).all()


def test_a_seized_valve_mostly_shows_at_its_stem_but_not_always(catalogue: Catalogue) -> None:
    fault = catalogue.faults["valve-seized-shut"]
    for vehicle in catalogue.vehicles.values():
        good = healthy(100, vehicle.parameters)
        parameters = good.copy()
        plant(parameters, fault, np.ones(100), (np.arange(100) + 0.5) / 100.0)
        fleet = Fleet.cold(parameters, AMBIENT_C)
        World(fleet, Weather(AMBIENT_C)).set(**running())
        travel = QUANTITIES["valve stem travel"](fleet)
        assert (travel < 0.01).sum() == 80 and (travel > 0.99).sum() == 20


@pytest.mark.parametrize(("name", "feed_hot"), [("hatch", True), ("pickup", True), ("saloon", False)])
def test_where_the_valve_sits_decides_which_hoses_are_cold(catalogue: Catalogue, name: str, feed_hot: bool) -> None:
    """Common practice, no source: a shut valve at the engine leaves both hoses at the bulkhead cold."""
    good = healthy(1, catalogue.vehicles[name].parameters)
    parameters = with_fault(good, catalogue.faults["valve-seized-shut"], 0.5, 0.1)
    fleet = drive(Fleet.cold(parameters, AMBIENT_C), TOWN)
    read = {name: float(QUANTITIES[name](fleet)[0]) for name in QUANTITIES if name.endswith("skin")}
    assert (read["feed hose skin"] > 45.0) == feed_hot and read["return hose skin"] < 20.0
    assert read["valve inlet skin"] > 45.0 and read["valve outlet skin"] < 30.0
