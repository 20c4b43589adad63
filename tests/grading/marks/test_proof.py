"""The proof of a repair: the last air measured at the vents, after the last repair, in degrees."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.proof import proof_check, proves_warm
from scenarios.files.loader import load_catalogue
from scenarios.model import Catalogue, Check, ReadingSpec
from tests.grading.cases import Did, did, entries, marking

VENTS = marking().checks["vent-temperature"]
VEHICLE = marking().vehicles["tern"]
REPAIR = did("repair", "top-up")


def vents(degrees: int) -> Did:
    return did("check", "vent-temperature", shown={"vent temperature": degrees})


def with_checks(*checks: Check) -> Catalogue:
    return replace(marking(), checks={check.id: check for check in checks})


def with_readings(*readings: ReadingSpec) -> Catalogue:
    return with_checks(replace(VENTS, readings=readings))


def proven(*done: Did, catalogue: Catalogue | None = None) -> bool:
    """For a job whose vents must give 35 degC."""
    known = catalogue or marking()
    return proves_warm(known, known.jobs["cold-tern"], entries(*done))


@pytest.mark.parametrize(
    ("done", "warm"),
    [
        ((), False),
        ((REPAIR,), False),
        ((REPAIR, vents(35)), True),
        ((REPAIR, vents(34)), False),
        ((vents(60),), True),  # where nothing needs repair
        ((vents(60), REPAIR), False),  # proof before the repair is none
        ((vents(60), REPAIR, vents(20)), False),
        ((REPAIR, vents(60), REPAIR), False),
        ((REPAIR, vents(60), vents(20)), False),  # the last counts, not the best
        ((REPAIR, vents(20), vents(60)), True),
        ((REPAIR, vents(60), did("check", "gauge", shown={"gauge": 0})), True),
        ((REPAIR, did("check", "gauge", shown={"gauge": 60})), False),
        ((REPAIR, did("check", "gauge", shown={"vent temperature": 60})), False),
        ((REPAIR, did("drive", 15.0, shown={"vent temperature": 60})), False),
        ((REPAIR, did("check", "elsewhere", shown={"vent temperature": 60})), False),
        ((REPAIR, did("check", "vent-temperature")), False),
    ],
)
def test_what_proves_a_repair(done: tuple[Did, ...], warm: bool) -> None:
    assert proven(*done) == warm


@pytest.mark.parametrize(("step", "warm"), [(40, False), (349, False), (350, True)])
def test_a_step_counts_as_the_degrees_that_it_shows(step: int, warm: bool) -> None:
    """Tenths of a degree: step 40 is 4.0 degC."""
    catalogue = with_readings(ReadingSpec("vent temperature", "vent temperature", "clamp thermocouple"))
    assert proven(vents(step), catalogue=catalogue) == warm


@pytest.mark.parametrize(
    ("reading", "counts"),
    [
        (ReadingSpec("vent temperature", "vent temperature", "air probe"), True),
        (ReadingSpec("vent temperature", "vent temperature", "air probe", {"heater": 1.0, "blower": 1.0}), True),
        (ReadingSpec("vent temperature", "vent temperature", "air probe", {"heater": 0.0}), False),
        (ReadingSpec("vent temperature", "rear vent temperature", "air probe"), False),
        (ReadingSpec("vent temperature", "cabin temperature", "air probe"), False),
        (ReadingSpec("vent temperature", "vent temperature", "hand in the air"), False),  # words are no degrees
        (ReadingSpec("vent temperature", "vent temperature", "scan percentage"), False),  # nor are other figures
    ],
)
def test_what_is_read_decides_and_not_the_name(reading: ReadingSpec, counts: bool) -> None:
    catalogue = with_readings(reading)
    assert proven(vents(60), catalogue=catalogue) == counts
    assert proof_check(catalogue, VEHICLE) == (catalogue.checks["vent-temperature"] if counts else None)


def test_a_check_of_another_name_proves_as_well() -> None:
    catalogue = with_checks(replace(VENTS, id="outlet"))
    assert proven(REPAIR, did("check", "outlet", shown={"vent temperature": 60}), catalogue=catalogue)


@pytest.mark.parametrize(("floor", "face", "warm"), [(60, 60, True), (60, 20, False), (20, 60, False)])
def test_of_several_vents_the_coldest_counts(floor: int, face: int, warm: bool) -> None:
    readings = [
        ReadingSpec(place, "vent temperature", "air probe", {"vents": k}) for k, place in enumerate(("floor", "face"))
    ]
    both = did("check", "vent-temperature", shown={"floor": floor, "face": face})
    assert proven(both, catalogue=with_readings(*readings)) == warm


def test_the_quickest_check_that_the_vehicle_has_is_the_proof() -> None:
    quick = replace(VENTS, id="quick", minutes=0.5, requires=frozenset({"probe"}))
    slow = replace(VENTS, id="a-slow-one", minutes=5.0)
    catalogue = with_checks(slow, VENTS, quick)
    assert proof_check(catalogue, VEHICLE) == VENTS
    assert proof_check(catalogue, replace(VEHICLE, equipment=frozenset({"probe"}))) == quick
    assert proof_check(with_checks(), VEHICLE) is None


def test_in_the_packaged_catalogue_every_vehicle_has_a_proof() -> None:
    catalogue = load_catalogue()
    assert {proof_check(catalogue, vehicle).id for vehicle in catalogue.vehicles.values()} == {"vent-temperature"}  # pyright: ignore[reportOptionalMemberAccess]
