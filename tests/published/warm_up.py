"""The mid-size car, driven through the UDDS as `fastsim` drives its mid-size sedan.

Differences that remain. Its warm node is the cylinder head, ours the coolant. Its engine speed is not known: ours
follows from a gear for each road speed (common practice, no source). Its cabin takes 5 kW from the engine, however cool
that is, until it has 21 degC, then what keeps it there, and breathes no fresh air. So here the air recirculates, the
heater is at full hot until the cabin has 21 degC and off above that, and the blower is stepped every 2 s between 1 and
4: down above 5 kW of heat taken, up below 3.5 kW.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from sim.drive import DriveLog, legs_of_log
from sim.vehicle import states as st
from sim.world import Leg, Weather, World, running
from tests.published.driving import driven, reached, road_load, standing

UDDS = Path(__file__).parent / "drives" / "udds.csv"
GEARS = ((15.0, 110.0), (30.0, 62.0), (50.0, 42.0), (70.0, 33.0), (np.inf, 27.0))  # up to km/h: 1/min per km/h
IDLE_RPM = 750.0
HEATED_C = 21.0
TAKEN_W = (3500.0, 5000.0)


@cache
def udds(ambient_C: float) -> DriveLog:
    """The schedule as a log at one ambient temperature [degC]."""
    time, kmh = np.loadtxt(UDDS, delimiter=",", skiprows=1, unpack=True)
    per_kmh = np.array([next(ratio for upto, ratio in GEARS if speed < upto) for speed in kmh])
    return DriveLog(time, np.maximum(IDLE_RPM, per_kmh * kmh), kmh, np.full(len(time), ambient_C))


@cache
def coolant(ambient_C: float, heater: bool) -> tuple[np.ndarray, np.ndarray]:
    """Time [s] and coolant temperature [degC] through the UDDS from a start at ambient [degC]."""
    fleet = standing({}, ambient_C, ambient_C)
    world = World(fleet, Weather(ambient_C))
    if heater:
        world.set(recirculation=1.0, blower=1.0)
    times, temperatures = [0.0], [ambient_C]
    for leg in legs_of_log(udds(ambient_C), road_load(fleet)):
        world.run([Leg(leg.seconds, leg.controls | (_heating(world) if heater else {}))])
        times.append(world.now)
        temperatures.append(float(fleet.state[0, st.JACKET]))
    return np.array(times), np.array(temperatures)


def _heating(world: World) -> dict[str, float]:
    """Heater and blower for the next 2 s."""
    fleet = world.fleet
    taken, blower = float(fleet.algebraic["heater_W"][0]), float(fleet.controls["blower"][0])
    step = (taken < TAKEN_W[0]) - (taken > TAKEN_W[1])
    warm = fleet.state[0, st.CABIN] >= HEATED_C
    return {"heater": float(not warm), "blower": float(np.clip(blower + step, 1.0, 4.0))}


def time_to(level: float, ambient_C: float, heater: bool) -> float:
    """Time [s] to a coolant temperature [degC]."""
    return reached(*coolant(ambient_C, heater), level)


@cache
def steady_time_to(level: float) -> float:
    """Time [s] to a coolant temperature [degC] at 50 km/h from 20 degC, heater off."""
    course = driven(standing({}, 20.0, 20.0), [Leg(1200.0, running(kmh=50.0))])
    return reached(course["time_s"], course["engine_coolant_C"], level)
