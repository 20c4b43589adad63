"""Daily use of a vehicle: short trips, a long one once a week, and nights at rest.

Leaks lose coolant and caps breathe during these days, which gives the state in which the vehicle arrives. Duty cycle:
common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scenarios.physics_failure import BEFORE_THE_JOB, require_solved
from sim.fleet import Fleet
from sim.laws import coolant
from sim.laws.pressure import ATMOSPHERE, COLLAPSED_SHARE, loop_pressure
from sim.observation.instruments import RED_FROM
from sim.observation.loop import gauge_needle
from sim.vehicle import states as st
from sim.vehicle.coolant_side import capacity
from sim.vehicle.records import copy_records
from sim.world import MINUTE, STOPPED, Weather, World, running

NIGHT_MINUTES, BETWEEN_MINUTES = 14.0 * 60.0, 4.0 * 60.0
"""Rest before a day's first trip and after each trip [min]."""
IDLE_MINUTES = 4.0
"""Idling at the end of a trip [min]."""
LONG_TRIP_DAY, REST_DAY = 6, 0
"""Days of the week of the long trip and of no trip."""
GLANCE_MINUTES = 2.0
LEFT_KPA = 2.0
"""Pressure in the cold loop [kPa] above which it is attributed to gas."""
TOLERANCE_FACTOR = 10.0  # relaxed: only volumes in litres are needed
ARRIVAL = frozenset({"missing_L", "bottle_L", "core_air_share", "rear_air_share", "carpet_g", "morning_kPa"})
"""Parameters that describe the condition of an arriving vehicle and belong to no part."""


def trips(day: int) -> tuple[tuple[float, float], ...]:
    """Trips of a day (counted from 1) as pairs of minutes and km/h.

    >>> trips(1), trips(6), trips(7)
    (((12.0, 40.0), (16.0, 60.0)), ((55.0, 110.0),), ())
    """
    if day % 7 == REST_DAY:
        return ()
    return ((55.0, 110.0),) if day % 7 == LONG_TRIP_DAY else ((12.0, 40.0), (16.0, 60.0))


def drive_days(parameters: np.ndarray, days: int, ambient_C: float, atmosphere_kPa: float = ATMOSPHERE) -> np.ndarray:
    """Parameters (n,) of vehicles after days of use, at an ambient temperature [degC] and pressure [kPa].

    parameters (n,): before those days. Heater and blower are on. A driver who sees the needle in the red stops driving
    the vehicle for good. Raises PhysicsFailed for a vehicle whose equations cannot be solved.
    """
    lived, failed = drive_days_of_all(parameters, days, ambient_C, atmosphere_kPa)
    if failed is not None:
        require_solved(failed, BEFORE_THE_JOB)
    return lived


def drive_days_of_all(
    parameters: np.ndarray,
    days: int,
    ambient_C: float,
    atmosphere_kPa: float = ATMOSPHERE,
    tolerance_factor: float = TOLERANCE_FACTOR,
) -> tuple[np.ndarray, Fleet | None]:
    """As ``drive_days``, but also return the vehicles whose equations could not be solved, or None; their parameters
    are those after the last accepted step. tolerance_factor: of ``Fleet``.
    """
    fleet = Fleet.cold(parameters, ambient_C, atmosphere_kPa)
    fleet.tolerance_factor = tolerance_factor
    days_left = _DrivenDays(World(fleet, Weather(ambient_C)), copy_records(parameters), np.arange(len(parameters)))
    days_left.world.set(heater=1.0, blower=2.0)
    for day in range(1, days + 1):
        days_left.world.wait(NIGHT_MINUTES * MINUTE)
        for minutes, kmh in trips(day):
            days_left.travel(minutes, kmh)
    days_left.end(np.ones(len(days_left.index), bool))
    return days_left.lived, days_left.failed


@dataclass
class _DrivenDays:
    """Vehicles that are still driven.

    world: of these vehicles (m,); index (m,): their places among all n; lived (n,): resulting parameters of those that
    are no longer driven; failed: those whose equations could not be solved.
    """

    world: World
    lived: np.ndarray
    index: np.ndarray
    failed: Fleet | None = None

    def travel(self, minutes: float, kmh: float) -> None:
        """One trip with idling and rest; vehicles whose needle goes into the red are driven no further."""
        for stretch, controls in ((minutes, running(kmh=kmh)), (IDLE_MINUTES, running())):
            self.world.set(**controls, occupants=1.0)
            left = stretch
            while left > 0.0 and len(self.index):
                self.world.wait(min(left, GLANCE_MINUTES) * MINUTE)
                left -= GLANCE_MINUTES
                red = gauge_needle(self.world.fleet) > RED_FROM
                if red.any():
                    self.end(red)
        self.world.set(**STOPPED, occupants=0.0)
        self.world.wait(BETWEEN_MINUTES * MINUTE)

    def end(self, which: np.ndarray) -> None:
        """Switch off vehicles (bool mask (m,)), let them stand for a night, and store their parameters."""
        world = World(self.world.fleet.select(which), self.world.weather, self.world.now)
        world.set(**STOPPED)
        world.wait(NIGHT_MINUTES * MINUTE)
        self.lived[self.index[which]] = as_it_stands(world.fleet)
        if world.fleet.failed.any():
            failed = world.fleet.select(world.fleet.failed)
            self.failed = failed if self.failed is None else Fleet.joined(self.failed, failed)
        self.world.fleet, self.index = self.world.fleet.select(~which), self.index[~which]


def as_it_stands(fleet: Fleet) -> np.ndarray:
    """Parameters (n,) that reproduce the present state of cold vehicles: the inverse of ``Fleet.cold``.

    Sets missing coolant, bottle level, air trapped in the cores, pressure left by gas, and water in the carpet.
    """
    p, y = copy_records(fleet.parameters), fleet.state
    for i in range(len(fleet)):
        kg_per_L = coolant.density(float(y[i, st.RADIATOR]), float(p["glycol"][i])) / 1000.0
        room = float(capacity(p.view(np.recarray)[i])) - float(p["tank_air_L"][i])
        gone = max(room - float(y[i, st.COOLANT]) / kg_per_L, 0.0)
        behind = min(max(float(y[i, st.REAR_AIR]), 0.0), gone)
        trapped = min(max(float(y[i, st.CORE_AIR]), 0.0), gone - behind)
        found = gone - behind > trapped + float(p["neck_free_L"][i])  # the core then fills with air by itself
        p["missing_L"][i] = gone - behind - (0.0 if found else trapped)
        p["core_air_share"][i] = 0.0 if found else trapped / float(p["core_L"][i])
        p["rear_air_share"][i] = behind / float(p["rear_L"][i]) if p["rear_L"][i] > 0.0 else 0.0
        p["bottle_L"][i] = max(float(y[i, st.BOTTLE]), 0.0) / kg_per_L
        left = _pressure_cold(fleet, i, float(y[i, st.COOLANT]) / kg_per_L)
        p["morning_kPa"][i] = left if left > LEFT_KPA else 0.0
        p["carpet_g"][i] = 1000.0 * max(float(y[i, st.CARPET]), 0.0)
    return p


def _pressure_cold(fleet: Fleet, i: int, litres: float) -> float:
    """Pressure [kPa] in the loop of vehicle i once all of it, litres of coolant too, is as cold as its radiator."""
    p, y = fleet.parameters.view(np.recarray)[i], fleet.state[i]
    degrees, atmosphere = float(y[st.RADIATOR]), float(fleet.controls["atmosphere_kPa"][i])
    vapour = coolant.saturation_pressure(degrees, float(p["glycol"]))
    flat_L = COLLAPSED_SHARE * float(p["upper_hose_L"])
    gas = max(float(y[st.GAS]), 0.0)
    give = float(p["compliance_L_kPa"])
    return loop_pressure(litres, float(capacity(p)), give, flat_L, gas, vapour, degrees, atmosphere)[0]
