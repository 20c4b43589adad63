"""Vehicles driven from cold as the outside figures were, and what is read off their course."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from sim.drive import DriveLog, RoadLoad, legs_of_log
from sim.fleet import Fleet
from sim.trace import Trace, trace
from sim.vehicle.parameters import healthy
from sim.world import Leg


def standing(
    values: Mapping[str, float], start_C: float, ambient_C: float, heater: float = 0.0, blower: float = 0.0
) -> Fleet:
    """One vehicle, all of it at start_C [degC], in air of ambient_C [degC]."""
    fleet = Fleet.cold(healthy(1, dict(values)), start_C)
    fleet.controls["ambient_C"] = ambient_C
    fleet.controls["heater"], fleet.controls["blower"] = heater, blower
    return fleet


def road_load(fleet: Fleet) -> RoadLoad:
    """What resists the first vehicle of a fleet on the road."""
    return RoadLoad(float(fleet.parameters["rolling_N"][0]), float(fleet.parameters["drag_N_per_kmh2"][0]))


def driven(fleet: Fleet, legs: Iterable[Leg], every: float = 1.0) -> Trace:
    """The course of a fleet of one through legs."""
    return trace(fleet, legs, every)


def logged(fleet: Fleet, log: DriveLog, every: float) -> Trace:
    """The course of a fleet of one through a log, at the log's own engine speed whatever the gear."""
    fleet.parameters["idle_rpm"] = fleet.parameters["rpm_per_kmh"] = 0.0
    return trace(fleet, legs_of_log(log, road_load(fleet)), every)


def reached(time_s: np.ndarray, values: np.ndarray, level: float) -> float:
    """Time [s] at which values first come to a level, by a straight line between rows; infinite where they never do.

    >>> reached(np.array([0.0, 10.0, 20.0]), np.array([5.0, 15.0, 25.0]), 20.0)
    15.0
    """
    above = values >= level
    if not above.any():
        return float("inf")
    k = int(np.argmax(above))
    if k == 0:
        return float(time_s[0])
    share = (level - values[k - 1]) / (values[k] - values[k - 1])
    return float(time_s[k - 1] + share * (time_s[k] - time_s[k - 1]))
