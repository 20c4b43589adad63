"""Which faults of a vehicle some check can tell from good health, and which pairs from each other, by the physics."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from scenarios.model import Catalogue, Check, Fault, Vehicle
from scenarios.workshop import Workshop
from sim.observation.instruments import INSTRUMENTS
from sim.observation.quantities import QUANTITIES
from sim.vehicle.tolerances import draw
from sim.world import MINUTE, STOPPED, Weather, running
from tests.scenarios.life import HOT_C, MILD_C, with_fault

DRAWS = 6
TOLD = 0.25
"""Chance of taking one for the other, after the best single reading, below which the two can be told apart."""


def _moments(shop: Workshop, hot: Workshop) -> Iterator[Workshop]:
    """The vehicles at moments of a day, one after another: cold, starting, warm, idling, on the road, stopped, hot."""
    world = shop.world
    world.set(heater=1.0, blower=1.0)
    yield shop
    world.set(bonnet=1.0, **running(rpm=1500.0))
    world.wait(3.0 * MINUTE)
    yield shop
    world.set(bonnet=0.0, **running(kmh=50.0))
    for _ in range(8):
        world.wait(3.0 * MINUTE)
        yield shop
    world.set(bonnet=1.0, **running(rpm=1800.0))
    world.wait(4.0 * MINUTE)
    yield shop
    world.set(**running())
    for _ in range(3):
        world.wait(1.5 * MINUTE)
        yield shop
    world.set(bonnet=0.0, **{**running(kmh=125.0), "load_kW": 15.0})
    world.wait(6.0 * MINUTE)
    yield shop
    world.set(**STOPPED)
    world.set(ignition=1.0)
    world.wait(1.0 * MINUTE)
    yield shop
    hot.world.set(**{**running(kmh=100.0), "load_kW": 8.0})
    hot.world.wait(15.0 * MINUTE)
    yield hot
    hot.world.set(**{**running(), "load_kW": 7.0})
    hot.world.wait(20.0 * MINUTE)
    yield hot


def _looks(shop: Workshop, checks: list[Check]) -> Iterator[tuple[str, np.ndarray]]:
    """Instrument and true quantities of all that can be read now."""
    for check in checks:
        if shop.missing_needs(check.needs):
            continue
        for spec in check.readings:
            before = {name: shop.control(name) for name in spec.sets}
            shop.world.set(**spec.sets)
            yield spec.instrument, QUANTITIES[spec.quantity](shop.fleet)
            shop.world.set(**before)


def confusion(catalogue: Catalogue, vehicle: Vehicle) -> tuple[list[Fault], np.ndarray]:
    """Faults of a vehicle, and the chance (faults, faults) of taking one for the other after the best reading.

    Each fault sits in the same DRAWS vehicles; for each of them the reading that tells most is taken.
    """
    faults = catalogue.faults_of(vehicle)
    count = len(faults)
    good = draw(vehicle.parameters, "separation", DRAWS)
    place = (np.arange(DRAWS) + 0.5) / DRAWS
    parts = [with_fault(good, fault, 0.5, place) if fault.changes else good for fault in faults]
    parameters, both = np.concatenate(parts), np.tile(good, count)
    shops = [Workshop(catalogue, vehicle, parameters, both, Weather(c), 101.325) for c in (MILD_C, HOT_C)]
    least = np.ones((count * DRAWS, count))
    for shop in _moments(*shops):
        for name, true in _looks(shop, catalogue.checks_of(vehicle)):
            tool = INSTRUMENTS[name]
            steps = np.array([tool.read(float(x), 0.5) for x in true])
            for step in np.unique(steps):
                mine = steps == step
                chance = tool.likelihood(int(step), true).reshape(count, DRAWS).mean(axis=1)
                own = np.repeat(chance, DRAWS)[mine, None]
                least[mine] = np.minimum(least[mine], chance[None, :] / (chance[None, :] + own))
    error = least.reshape(count, DRAWS, count).mean(axis=1)
    return faults, np.maximum(error, error.T)
