"""Vehicles as a technician meets them, for the readings that were disputed."""

from __future__ import annotations

import numpy as np

from scenarios.model import Catalogue
from scenarios.planting import plant
from sim.fleet import Fleet
from sim.observation.instruments import INSTRUMENTS
from sim.observation.quantities import QUANTITIES
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import MINUTE, STOPPED, Weather, World, running
from tests.packaged import packaged_catalogue

VEHICLES = ("hatch", "pickup", "saloon", "van", "diesel-wagon", "hybrid", "compact")
BELT_DRIVEN = tuple(name for name in VEHICLES if name != "compact")
"""Those whose coolant pump turns with the engine."""
WINTER_C = 2.0
HEATED = {"heater": 1.0, "blower": 1.0, "occupants": 1.0}
_CATALOGUE: list[Catalogue] = []


def catalogue() -> Catalogue:
    """The packaged scenarios, read once."""
    if not _CATALOGUE:
        _CATALOGUE.append(packaged_catalogue())
    return _CATALOGUE[0]


def with_fault(name: str, fault: str = "none", severity: float = 1.0, variant: float = 0.35) -> np.ndarray:
    """Parameters (1,) of a packaged vehicle with a fault at that severity."""
    parameters = healthy(1, catalogue().vehicles[name].parameters)
    plant(parameters, catalogue().faults[fault], np.array([severity]), np.array([variant]))
    return parameters


def cold(parameters: np.ndarray, ambient: float = WINTER_C) -> World:
    """A vehicle that stood for a night at ambient [degC], heater at full hot and blower on 1."""
    world = World(Fleet.cold(parameters, ambient), Weather(ambient))
    world.set(**HEATED)
    return world


def driven(parameters: np.ndarray, ambient: float = WINTER_C, minutes: float = 25.0, kmh: float = 50.0) -> World:
    """The same after a drive, heater and blower on."""
    world = cold(parameters, ambient)
    go(world, minutes, **running(kmh=kmh))
    return world


def go(world: World, minutes: float, **controls: float) -> None:
    """Let minutes pass under controls."""
    world.set(**controls)
    world.wait(minutes * MINUTE)


def night(world: World) -> None:
    """Fourteen hours at rest."""
    go(world, 14.0 * 60.0, **STOPPED)


def field(world: World, name: str) -> float:
    """A quantity of ``sim.vehicle.algebraic`` of the one vehicle."""
    return float(world.fleet.algebraic[name][0])


def state(world: World, index: int) -> float:
    """A state of the one vehicle."""
    return float(world.fleet.state[0, index])


def value(world: World, quantity: str) -> float:
    """What a check looks at, before any instrument."""
    return float(QUANTITIES[quantity](world.fleet)[0])


def seen(world: World, quantity: str, instrument: str) -> str:
    """The reading of an instrument without noise."""
    tool = INSTRUMENTS[instrument]
    return tool.show(tool.read(value(world, quantity), 0.5))


def coolant(world: World) -> float:
    """Coolant in the engine [degC]."""
    return state(world, st.JACKET)


def minutes_to_red(parameters: np.ndarray, ambient: float = WINTER_C, kmh: float = 0.0, warm: bool = False) -> float:
    """Minutes of idle, or at a road speed, until the needle is in the red; the belt or pump fails at the start.

    warm: the vehicle was driven to its thermostat's temperature before, sound.
    """
    world = cold(parameters, ambient)
    if warm:
        failed = world.fleet.parameters.copy()
        world.fleet.parameters["pump_grip"] = world.fleet.parameters["pump_drive"] = 1.0
        go(world, 20.0, **running(kmh=50.0))
        world.fleet.parameters = failed
        world.fleet.refresh()
    began = world.now
    while value(world, "gauge needle") < 0.86 and world.now - began < 60.0 * MINUTE:
        go(world, 0.25, **running(kmh=kmh))
    return (world.now - began) / MINUTE
