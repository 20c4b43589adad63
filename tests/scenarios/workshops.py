"""Fixtures for the workshop tests: a small car, checks and repairs with given properties, probes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from scenarios.actions import Action, NotPossible
from scenarios.model import BAY, Check, ReadingSpec, Repair
from scenarios.workshop import Performed, Workshop
from sim.observation.quantities import QUANTITIES
from sim.vehicle.parameters import healthy
from sim.world import Weather
from tests.tui.small import small_catalogue

AMBIENT_C = 20.0
ATMOSPHERE_KPA = 95.0
IDLING = {"ignition": 1.0, "engine": 1.0, "rpm": 0.0, "kmh": 0.0, "load_kW": 0.0}
OFF = dict.fromkeys(IDLING, 0.0)


def a_check(name: str = "look", **facts: Any) -> Check:
    """A check in the engine bay: one minute, no needs, no readings, unless facts say otherwise."""
    plain = replace(small_catalogue().checks["heater-feed-infrared"], id=name, place=BAY, needs=(), readings=())
    return replace(plain, **facts)


def a_repair(name: str = "mend", **facts: Any) -> Repair:
    """A repair in the engine bay: ten minutes, no needs, no effect, unless facts say otherwise."""
    plain = replace(small_catalogue().repairs["top-up"], id=name, place=BAY, minutes=10.0, needs=(), opens_cap=False)
    return replace(plain, **{"renews": (), "does": (), **facts})


def workshop(
    parameters: dict[str, float] | None = None,
    n: int = 1,
    things: Iterable[Check | Repair] = (),
    equipment: frozenset[str] = frozenset(),
    sample_every: float | None = None,
) -> Workshop:
    """Equal cold cars, n of them; parameters override those of a good car; things: additional checks and repairs."""
    small = small_catalogue()
    checks = small.checks | {thing.id: thing for thing in things if isinstance(thing, Check)}
    repairs = small.repairs | {thing.id: thing for thing in things if isinstance(thing, Repair)}
    catalogue = replace(small, checks=checks, repairs=repairs)
    vehicle = replace(small.vehicles["tern"], equipment=equipment)
    weather = Weather(AMBIENT_C)
    return Workshop(
        catalogue, vehicle, healthy(n, parameters), healthy(n), weather, ATMOSPHERE_KPA, sample_every=sample_every
    )


def do(shop: Workshop, verb: str, *arguments: str | float) -> Performed:
    """Perform one action."""
    return shop.perform(Action(verb, arguments))


def controls(shop: Workshop, vehicle: int = 0) -> dict[str, float]:
    """All controls of a vehicle."""
    stands = shop.fleet.controls
    return {name: float(stands[name][vehicle]) for name in stands.dtype.names or ()}


def moved(before: dict[str, float], after: dict[str, float]) -> dict[str, float]:
    """Controls that differ from before."""
    return {name: value for name, value in after.items() if value != before[name]}


def refused(shop: Workshop, verb: str, *arguments: str | float) -> str:
    """Message of the refusal; asserts that nothing changed."""
    fleet = shop.fleet
    kept = shop.minute, shop.place, [array.tobytes() for array in (fleet.state, fleet.controls, fleet.parameters)]
    with pytest.raises(NotPossible) as why:
        do(shop, verb, *arguments)
    arrays = [array.tobytes() for array in (shop.fleet.state, shop.fleet.controls, shop.fleet.parameters)]
    assert (shop.minute, shop.place, arrays) == kept
    return str(why.value)


def reading(quantity: str, label: str = "probe", sets: dict[str, float] | None = None) -> ReadingSpec:
    """A reading of a quantity; sets: controls moved for it."""
    return ReadingSpec(label, quantity, "multimeter", sets or {})


class Probe:
    """A quantity named ``probe`` that logs the minute and some controls each time a check reads it."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, shop: Workshop, *names: str) -> None:
        """names: controls to log."""
        self.shop, self.names = shop, names
        self.log: list[tuple[float, ...]] = []
        monkeypatch.setitem(QUANTITIES, "probe", self)

    def __call__(self, fleet: object) -> np.ndarray:
        assert fleet is self.shop.fleet
        self.log.append((self.shop.minute, *(self.shop.control(name) for name in self.names)))
        return np.full(len(self.shop.fleet), float(len(self.log)))
