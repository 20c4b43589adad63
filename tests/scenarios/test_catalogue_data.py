"""The packaged catalogue: what it must hold, and whether its words agree with its figures."""

import re

import pytest

from scenarios.authoring.equipment import FIGURES
from scenarios.files.limits import limits
from scenarios.files.loader import load_catalogue
from scenarios.model import ELECTRIC, PLACES, Catalogue, Check, Repair, Vehicle
from sim.vehicle.parameters import PARAMETERS

FAULTS = [
    "pump-impeller-loose",
    "thermostat-stuck-open",
    "air-locked",
    "valve-seized-shut",
    "blend-actuator-stripped",
    "coolant-low",
    "core-clogged",
    "resistor-pack-open",
    "blower-motor-dead",
    "none",
]
CHECKS = [
    "coolant-level-cold",
    "overflow-level",
    "gauge",
    "scan-coolant-temperature",
    "heater-feed-infrared",
    "heater-return-infrared",
    "heater-feed-touch",
    "heater-return-touch",
    "upper-radiator-hose-touch",
    "valve-movement",
    "blower-each-speed",
    "vent-temperature",
    "blend-door-listen",
    "coolant-voltage",
]
OF_AN_ENGINE = {"gauge", "scan-coolant-temperature", "upper-radiator-hose-touch", "coolant-voltage"}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue(check_physics=True)


def figure(vehicle: Vehicle, name: str) -> float:
    """A figure of a vehicle, its own or that of the mid-size car."""
    return vehicle.parameters.get(name, PARAMETERS[name].default)


def test_what_scripts_rely_on_is_there(catalogue: Catalogue) -> None:
    assert set(FAULTS) <= catalogue.faults.keys()
    assert set(CHECKS) <= catalogue.checks.keys()
    assert {"hatch", "saloon"} <= catalogue.vehicles.keys()


def test_checks_and_repairs_are_many_on_every_vehicle(catalogue: Catalogue) -> None:
    for vehicle in catalogue.vehicles.values():
        checks = catalogue.checks_of(vehicle)
        assert len(checks) >= 20
        assert {check.place for check in checks} == set(PLACES)
        listed = set(CHECKS) if "heater-valve" in vehicle.equipment else set(CHECKS) - {"valve-movement"}
        if ELECTRIC in vehicle.equipment:
            listed -= OF_AN_ENGINE
        assert listed <= {check.id for check in checks}
        assert len(catalogue.repairs_of(vehicle)) >= 14


def test_screens_list_checks_by_place_and_faults_by_system(catalogue: Catalogue) -> None:
    places = [PLACES.index(check.place) for check in catalogue.checks.values()]
    assert places == sorted(places)
    assert list(catalogue.faults)[-1] == "none"


def test_hatch_and_saloon_together_can_have_every_fault(catalogue: Catalogue) -> None:
    vehicles = [catalogue.vehicles[name] for name in ("hatch", "saloon")]
    assert {fault.id for vehicle in vehicles for fault in catalogue.faults_of(vehicle)} >= set(FAULTS)


def test_equipment_agrees_with_figures(catalogue: Catalogue) -> None:
    for vehicle in catalogue.vehicles.values():
        for word, (name, value) in FIGURES.items():
            if word in vehicle.equipment:
                assert figure(vehicle, name) == value, (vehicle.id, word)
        drives = vehicle.equipment & {"three-way-valve", "valve-cable", "valve-vacuum", "valve-electric"}
        assert len(drives) == figure(vehicle, "has_valve"), vehicle.id


def test_the_manual_agrees_with_the_figures(catalogue: Catalogue) -> None:
    for vehicle in catalogue.vehicles.values():
        hoses = ("upper_hose_L", "feed_hose_L", "return_hose_L")
        litres = sum(figure(vehicle, name) for name in ("jacket_L", "radiator_L", "core_L", "rear_L", *hoses))
        stated = float(vehicle.manual["coolant capacity"].split(" L")[0])
        assert stated == pytest.approx(litres, abs=0.051), vehicle.id
        opens = figure(vehicle, "opens_C")
        full = opens + figure(vehicle, "span_K")
        if ELECTRIC not in vehicle.equipment:
            assert vehicle.manual["thermostat"] == f"begins to open at {opens:g} °C, fully open at {full:g} °C"
        cap = "expansion tank cap" if "expansion-tank" in vehicle.equipment else "radiator cap"
        assert vehicle.manual[cap] == f"{figure(vehicle, 'cap_kPa'):g} kPa"
        if "electric-fan" in vehicle.equipment:
            on = figure(vehicle, "fan_on_C")
            assert vehicle.manual["radiator fan"] == f"on at {on:g} °C, off at {on - figure(vehicle, 'fan_off_K'):g} °C"
        assert "invented" in vehicle.manual["note"]


def test_the_starter_jobs_are_many_and_of_every_kind(catalogue: Catalogue) -> None:
    jobs = catalogue.jobs.values()
    assert len(jobs) >= 24
    assert {job.vehicle for job in jobs} == set(catalogue.vehicles)
    assert {job.difficulty for job in jobs} == {1, 2, 3, 4, 5}
    planted = [fault for job in jobs for fault in [p.fault for p in job.faults] or ["none"]]
    assert len(set(planted)) >= 22 and "none" in planted
    assert any(len(job.faults) > 1 for job in jobs)
    shows = {name for fault in planted for name in catalogue.faults[fault].shows}
    assert {"overheating", "fogging", "wet carpet", "no air", "wrong outlet", "too warm"} <= shows
    told = {kind for job in jobs for kind in job.complains_of}
    assert len(told) >= 12 and any(job.comes_and_goes for job in jobs)


def test_the_catalogue_is_as_broad_as_the_trade(catalogue: Catalogue) -> None:
    assert len(catalogue.vehicles) == 8
    assert len(catalogue.faults) >= 60 and len(catalogue.checks) >= 60 and len(catalogue.repairs) >= 35


def due(vehicle: Vehicle, thing: Check | Repair) -> set[str]:
    """Cautions that an act on a vehicle must carry, by where and how it is done (common practice, no source)."""
    bay, running = thing.place == PLACES[1], "engine-running" in thing.needs
    said: set[str] = set()
    if bay and "high-voltage" in vehicle.equipment:
        said.add("high-voltage")
    if bay and "hybrid-drive" in vehicle.equipment:
        said.add("engine-starts-itself")
    if bay and "electric-fan" in vehicle.equipment:
        said.add("fan-may-start")
    burns = ELECTRIC not in vehicle.equipment
    if bay and running and burns:
        said.add("moving-belts")
    if running and thing.place != PLACES[3]:
        said.add("brake-and-chocks")
        said |= {"exhaust-extraction"} if burns else set()
    if thing.place == PLACES[3]:
        said.add("road-test")
    if thing.opens_cap:
        said |= {"hot-cap", "coolant-poisonous", "eye-protection"}
    return said


def test_cautions_know_the_vehicle(catalogue: Catalogue) -> None:
    for vehicle in catalogue.vehicles.values():
        for thing in [*catalogue.checks_of(vehicle), *catalogue.repairs_of(vehicle)]:
            said = {caution.id for caution in catalogue.cautions_of(vehicle, thing)}
            assert due(vehicle, thing) <= said, (vehicle.id, thing.id, due(vehicle, thing) - said)
            if "high-voltage" not in vehicle.equipment:
                assert "high-voltage" not in said
            if "hybrid-drive" not in vehicle.equipment:
                assert "engine-starts-itself" not in said
            if ELECTRIC in vehicle.equipment:
                assert not said & {"moving-belts", "exhaust-extraction"}
            if "electric-fan" not in vehicle.equipment:
                assert "fan-may-start" not in said


def test_electronics_airbags_refrigerant_and_hoses_have_their_cautions(catalogue: Catalogue) -> None:
    """Common practice, no source."""
    for check in catalogue.checks.values():
        probed = any(reading.instrument == "multimeter" for reading in check.readings)
        if probed and (check.place == PLACES[2] or "valve" in check.id):
            assert "no-test-lamp" in check.cautions, check.id
        if check.place == PLACES[2] and check.tool in ("multimeter", "hand", "borescope") and "carpet" not in check.id:
            assert "airbags" in check.cautions or "fuse" in check.id or "wire" in check.id, check.id
        assert ("pinch" in check.name.lower()) == ("pinching" in check.cautions), check.id
        assert all(reading.instrument != "test lamp" for reading in check.readings), check.id
    for name in ("replace-heater-core", "replace-radiator", "replace-blend-door", "replace-air-heater"):
        assert "refrigerant" in catalogue.repairs[name].cautions
    for repair in catalogue.repairs.values():
        dash = repair.place == PLACES[2] and "engine-off" in repair.needs
        if dash and not repair.opens_cap and "fuse" not in repair.id and "relay" not in repair.id:
            assert "airbags" in repair.cautions, repair.id
    words = " ".join(caution.text for caution in catalogue.cautions.values()).lower()
    for told in ("hundreds of volts", "starts by itself", "ignition off", "chocked", "exhaust extraction", "animals",
                 "licence", "test lamp", "airbag"):  # fmt: skip
        assert told in words, told


def test_what_a_fault_leads_to_exists_where_it_does(catalogue: Catalogue) -> None:
    for fault in catalogue.faults.values():
        for vehicle in catalogue.vehicles.values():
            if fault.fits(vehicle):
                assert any(catalogue.faults[later].fits(vehicle) for later in fault.leads_to) or not fault.leads_to
        assert bool(fault.relieved_by) == (fault.relief_days > 0.0), fault.id


def test_what_helps_a_fault_exists_on_some_vehicle_that_has_it(catalogue: Catalogue) -> None:
    for fault in catalogue.faults.values():
        vehicles = [vehicle for vehicle in catalogue.vehicles.values() if fault.fits(vehicle)]
        for name in (*fault.cured_by, *fault.relieved_by, *fault.cured_in_passing):
            thing = catalogue.repairs.get(name) or catalogue.checks[name]
            assert any(thing.fits(vehicle) for vehicle in vehicles), (fault.id, name)


def test_every_change_of_a_fault_is_undone_by_some_cure(catalogue: Catalogue) -> None:
    """What a cure leaves behind is only what the loop held or lost as the vehicle came."""
    history = {"missing_L", "bottle_L", "carpet_g", "core_air_share", "rear_air_share", "morning_kPa", "contact_key"}
    by_operation = {"coolant_V", "glycol", "sludge", "blower_fuse"}
    for fault in catalogue.faults.values():
        cures = [catalogue.repairs[cure] for cure in fault.cured_by]
        renewed = {name for cure in cures for name in cure.renews} | history | by_operation
        left = {change.parameter for change in fault.changes} - renewed
        left = {name for name in left if not name.startswith("contact_") and not name.endswith("_rest")}
        assert not left, fault.id


def test_a_job_gives_nothing_away(catalogue: Catalogue) -> None:
    everyday = {"heater", "blower", "coolant", "with", "does"}  # a customer's words, or the job card's
    for job in catalogue.jobs.values():
        told = f"{job.id} {job.title} {job.complaint} {job.history}".lower()
        for planted in job.faults:
            fault = catalogue.faults[planted.fault]
            telling = set(re.findall(r"[a-z]{4,}", f"{fault.id} {fault.part} {fault.mode}".lower())) - everyday
            assert not {word for word in telling if re.search(rf"\b{word}\b", told)}, job.id


def test_opening_the_cap_always_carries_its_caution(catalogue: Catalogue) -> None:
    for thing in [*catalogue.checks.values(), *catalogue.repairs.values()]:
        assert ("hot-cap" in thing.cautions) == thing.opens_cap, thing.id
        assert not thing.opens_cap or {"engine-off", "engine-running"} & set(thing.needs), thing.id
    assert not catalogue.cautions["hot-cap"].critical  # opening it hot is an error of its own


def test_a_hand_or_beam_on_a_hose_carries_its_cautions(catalogue: Catalogue) -> None:
    for check in catalogue.checks.values():
        if any("skin" in reading.quantity for reading in check.readings):
            assert {"hot-surfaces", "fan-may-start", "moving-belts", "exhaust-extraction"} <= set(check.cautions), (
                check.id
            )


def test_every_caution_is_spoken_somewhere(catalogue: Catalogue) -> None:
    spoken = {name for thing in [*catalogue.checks.values(), *catalogue.repairs.values()] for name in thing.cautions}
    assert spoken == set(catalogue.cautions)


def test_every_repair_is_proven_by_a_check_of_its_vehicles(catalogue: Catalogue) -> None:
    for vehicle in catalogue.vehicles.values():
        for repair in catalogue.repairs_of(vehicle):
            assert any(catalogue.checks[check].fits(vehicle) for check in repair.proven_by), (vehicle.id, repair.id)


def test_limits_admit_every_default() -> None:
    for parameter in PARAMETERS.values():
        low, high = limits(parameter)
        assert low <= parameter.default <= high, parameter.name
