"""Whatever a data file may say, a vehicle is calculated to the end of a drive, in bounded work and finite figures."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from scenarios.files.limits import limits
from scenarios.model import Catalogue, Vehicle
from scenarios.planting import plant
from sim.fleet import Fleet
from sim.vehicle.parameters import PARAMETERS, healthy
from sim.vehicle.tolerances import draw
from sim.world import STOPPED, Leg, Weather, World, running
from tests.packaged import packaged_catalogue

AMBIENTS_C = (-15.0, 25.0)
TOLERANCE_FACTORS = (1.0, 10.0, 2000.0)
"""Errors allowed, as of a job's own vehicle, of days before and after it, and of imagined vehicles."""
PAIRS = 3000
MOST_STEPS = 30_000
"""Accepted steps of a drive of 44 minutes that any corner may take; vehicles as they are take one or two thousand."""
MIXED = (
    Leg(240.0, running() | {"heater": 1.0, "blower": 3.0, "occupants": 1.0}),
    Leg(420.0, running(kmh=50.0)),
    Leg(300.0, running(kmh=110.0) | {"blower": 1.0, "heater": 0.5}),
    Leg(180.0, running(rpm=2500.0) | {"recirculation": 1.0, "vents": 1.0}),
    Leg(240.0, running() | {"heater": 0.0, "blower": 0.0, "bonnet": 1.0}),
    Leg(900.0, STOPPED),
    Leg(60.0, {"cap": 0.0}),
    Leg(300.0, running(kmh=30.0) | {"cap": 1.0, "heater": 1.0, "blower": 3.0}),
)
"""Idle, town, road, fast idle, heat soak, rest, the cap off, and off again."""


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return packaged_catalogue()


def driven(parameters: np.ndarray, ambient_C: float, tolerance_factor: float) -> Fleet:
    """A fleet after the mixed drive."""
    fleet = Fleet.cold(parameters, ambient_C)
    fleet.tolerance_factor = tolerance_factor
    World(fleet, Weather(ambient_C)).run(MIXED)
    return fleet


def corners() -> list[dict[str, float]]:
    """Every parameter at either end of what it may be, alone, and what an end alone does not show."""
    alone = [{name: end} for name, parameter in PARAMETERS.items() for end in limits(parameter)]
    return [*alone, *({"contact_of": kind, "contact_mean_s": 1e-9} for kind in (1.0, 2.0, 3.0, 4.0, 5.0))]


def fleet_of(vehicle: Vehicle, changes: list[dict[str, float]]) -> np.ndarray:
    """Parameters (n,) of a vehicle with changes."""
    return np.concatenate([healthy(1, vehicle.parameters | change) for change in changes])


def told(fleet: Fleet, changes: list[dict[str, float]]) -> Iterator[tuple[dict[str, float], object]]:
    """Changes whose vehicle failed or took too much work, and how it stands."""
    for i, change in enumerate(changes):
        if fleet.failed[i] or fleet.counts[i, 0] > MOST_STEPS:
            yield change, (fleet.failures[i], fleet.counts[i])


def finite(fleet: Fleet) -> bool:
    """Whether every state and quantity is."""
    return bool(np.isfinite(fleet.state).all() and np.isfinite(fleet.algebraic.view(np.float64)).all())


def test_every_parameter_may_be_at_either_end_of_what_is_permitted(catalogue: Catalogue) -> None:
    """Each corner on one of the vehicles in one weather; the slow test takes all of them."""
    changes, vehicles = corners(), list(catalogue.vehicles.values())
    for k, vehicle in enumerate(vehicles):
        mine = changes[k :: len(vehicles)]
        fleet = driven(fleet_of(vehicle, mine), AMBIENTS_C[k % 2], TOLERANCE_FACTORS[k % 3])
        assert list(told(fleet, mine)) == [], vehicle.id
        assert finite(fleet), vehicle.id


@pytest.mark.slow
@pytest.mark.parametrize("tolerance_factor", TOLERANCE_FACTORS)
@pytest.mark.parametrize("ambient_C", AMBIENTS_C)
def test_every_vehicle_may_have_every_parameter_at_either_end(
    catalogue: Catalogue, ambient_C: float, tolerance_factor: float
) -> None:
    changes = corners()
    for vehicle in catalogue.vehicles.values():
        fleet = driven(fleet_of(vehicle, changes), ambient_C, tolerance_factor)
        assert list(told(fleet, changes)) == [], vehicle.id
        assert finite(fleet), vehicle.id


@pytest.mark.slow
@pytest.mark.parametrize("tolerance_factor", TOLERANCE_FACTORS)
def test_of_two_parameters_at_their_ends_hardly_any_vehicle_fails_and_none_is_stepped_for_ever(
    catalogue: Catalogue, tolerance_factor: float
) -> None:
    rng = np.random.default_rng(int(tolerance_factor))
    vehicles, names = list(catalogue.vehicles.values()), list(PARAMETERS)
    failed = 0
    for vehicle in vehicles:
        pairs = [rng.choice(len(names), 2, replace=False) for _ in range(PAIRS // len(vehicles))]
        changes = [{names[i]: limits(PARAMETERS[names[i]])[rng.integers(2)] for i in pair} for pair in pairs]
        fleet = driven(fleet_of(vehicle, changes), float(rng.choice(AMBIENTS_C)), tolerance_factor)
        assert finite(fleet), vehicle.id
        assert fleet.counts[:, 0].max() < 2 * MOST_STEPS
        failed += int(fleet.failed.sum())
    assert failed <= PAIRS // 1000


def test_coolant_that_melts_is_soon_worked_out(catalogue: Catalogue) -> None:
    """Where it does, its heat capacity falls to a thirtieth: a step across was thrown back for 15,000 steps."""
    vehicle, fault = catalogue.vehicles["van"], catalogue.faults["antifreeze-weak"]
    parameters = draw(vehicle.parameters, "x", 6)
    plant(parameters, fault, np.linspace(*fault.severity, 6), np.linspace(0.0, 1.0, 6))
    fleet = Fleet.cold(parameters, -15.0)
    world = World(fleet, Weather(-15.0))
    world.run([Leg(600.0, running(kmh=50.0) | {"heater": 1.0, "blower": 3.0, "occupants": 1.0})])
    before = fleet.counts.copy()
    world.run([Leg(300.0, running(kmh=110.0) | {"heater": 0.0, "blower": 0.0})])
    assert not fleet.failed.any()
    assert (fleet.counts - before)[:, 0].max() < 2000
