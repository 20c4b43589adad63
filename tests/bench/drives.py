"""The drives and vehicles that the benchmarks measure: every fault of the catalogue and of the parameters, mixed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from scenarios.files.loader import load_catalogue
from scenarios.planting import plant
from sim.fleet import Fleet
from sim.vehicle.parameters import healthy
from sim.vehicle.tolerances import draw

HEATING = {"ignition": 1.0, "engine": 1.0, "heater": 1.0, "blower": 3.0}


@dataclass(frozen=True)
class Drive:
    """A drive of an hour: ambient [degC], legs of seconds and the controls that change as each begins."""

    ambient: float
    legs: tuple[tuple[float, dict[str, float]], ...]


MIXED = Drive(
    25.0,
    (
        (300.0, HEATING),
        (600.0, {"kmh": 50.0}),
        (1200.0, {"kmh": 90.0, "blower": 2.0}),
        (900.0, {"kmh": 0.0, "rpm": 2500.0, "heater": 0.0, "blower": 0.0}),
        (600.0, {"rpm": 0.0}),
    ),
)
"""Idle, town, twenty minutes on the thermostat, fast idle until the fan comes on, idle."""
WINTER = Drive(
    -15.0,
    (
        (300.0, HEATING),
        (900.0, {"kmh": 50.0}),
        (1200.0, {"kmh": 110.0, "blower": 2.0}),
        (600.0, {"kmh": 0.0, "blower": 4.0}),
        (600.0, {"kmh": 130.0, "heater": 0.4}),
    ),
)
"""In deep cold at speed, where the thermostat hunts."""

CHANGES: dict[str, tuple[dict[str, float], ...]] = {
    "at inlet": ({"at_inlet": 1.0},),
    "boost pump": tuple({"boost_head_kPa": head} for head in (4.0, 8.0, 15.0)),
    "cap seal": tuple({"cap_seal": share} for share in (0.7, 0.3, 0.0)),
    "cap vacuum valve": ({"cap_breathes": 0.0},),
    "expansion tank": ({"has_bottle": 0.0, "tank_air_L": 0.9, "bottle_L": 0.0},),
    "fan dead": ({"fan_works": 0.0},),
    "fan forced": ({"fan_forced": 1.0},),
    "feed hose": tuple({"feed_clear": share} for share in (0.5, 0.1, 0.02)),
    "filter": tuple({"filter_R": resistance} for resistance in (1.0, 4.0, 12.0)),
    "fins of the radiator": tuple({"radiator_fins": share} for share in (0.7, 0.4, 0.2)),
    "gas ingress": tuple({"gas_ingress": rate, "gasket_holds_kW": 0.0} for rate in (1.0, 5.0, 20.0)),
    "glycol": tuple({"glycol": share} for share in (0.0, 0.3, 0.7)),
    "head leak": tuple({"leak_head": rate} for rate in (0.2, 1.0, 4.0)),
    "hose leak": tuple({"leak_hose": rate} for rate in (0.2, 1.0, 5.0)),
    "pump belt": tuple({"pump_drive": share} for share in (0.7, 0.4, 0.1)),
    "pump vanes": tuple({"pump_vanes": share} for share in (0.6, 0.2, 0.02)),
    "radiator clogged": tuple({"radiator_clear": share} for share in (0.5, 0.2, 0.05)),
    "thermostat lazy": tuple({"wax_s": lag} for lag in (15.0, 25.0, 40.0)),
    "thermostat opens early": tuple({"opens_C": opens} for opens in (78.0, 70.0, 60.0)),
    "thermostat stuck shut": tuple({"lift_most": lift} for lift in (0.1, 0.03, 0.0)),
    "viscous fan": ({"fan_viscous": 1.0},),
}
"""Changes of parameters beside those of the catalogue: kinds of vehicle, and faults from mild to bad."""
SEVERITIES = 3


@dataclass(frozen=True)
class Case:
    """A vehicle to measure: what it is called, its parameters (1,)."""

    name: str
    parameters: np.ndarray


def cases() -> Iterator[Case]:
    """Healthy vehicles, then every fault at three severities, each on one of the vehicles that can have it."""
    catalogue = load_catalogue()
    vehicles = list(catalogue.vehicles.values())
    for vehicle in vehicles:
        yield Case(vehicle.id, healthy(1, vehicle.parameters))
    for number, fault in enumerate(catalogue.faults.values()):
        able = [vehicle for vehicle in vehicles if fault.fits(vehicle)]
        if not fault.changes or not able:
            continue
        vehicle = able[number % len(able)]
        for severity in sorted(set(np.linspace(*fault.severity, SEVERITIES))):
            parameters = healthy(1, vehicle.parameters)
            plant(parameters, fault, np.array([severity]), np.array([0.0]))
            yield Case(f"{vehicle.id} {fault.id}:{severity:.2g}", parameters)
    for name, steps in CHANGES.items():
        for values in steps:
            yield Case(f"{name} {values}", healthy(1, values))


def mixed_parameters(n: int) -> np.ndarray:
    """Parameters (n,) of vehicles of a thousand kinds: the cases, each with tolerances drawn, over and over."""
    kinds = np.concatenate([case.parameters for case in cases()])
    some = kinds[np.arange(1000) % len(kinds)]
    typical, drawn = healthy(1), draw({}, "bench", 1000)
    for name in drawn.dtype.names or ():
        if typical[name][0] != 0.0:
            some[name] *= drawn[name] / typical[name]
    return some[np.arange(n) % 1000]


def cold(parameters: np.ndarray, drive: Drive) -> Fleet:
    """A fleet before a drive."""
    return Fleet.cold(parameters, drive.ambient)
