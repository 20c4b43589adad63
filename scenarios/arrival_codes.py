"""Trouble codes that vehicles bring along: their owner has driven them with the fault, and the computers remember."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet
from sim.observation.instruments import RED_FROM
from sim.observation.loop import gauge_needle
from sim.vehicle import code_memory
from sim.vehicle import states as st
from sim.vehicle.parameters import GROUPS
from sim.world import MINUTE, STOPPED, Weather, World, running

ROAD_KMH, ROAD_MINUTES, IDLE_MINUTES = 110.0, (7.5, 7.5), (4.0,)
"""The owner's drive from cold: a stretch of road as on the week's long trip (``scenarios.daily_use``), then idling, with
a glance at the needle after each part.
"""
WARM_C = 85.0  # coolant at which the owner has tried heater and blower, so that no automatic control holds them back
SLACK = 2000.0  # error of the temperatures, in times the usual one: a tenth of a kelvin
NOT_FELT = frozenset(
    {"core_R", "core_clear", "feed_clear", "return_clear", "heater_feed_R", "heater_return_R", "valve_G", "boost_works"}
    | {"feed_soft", "rear_air_share", "sludge", "core_air_share", "fan_forced", "gauge_works", "gauge_rest"}
    | {"sensor_ohm_extra", "sensor_short", "bottle_L"}
)
"""Parameters of these groups that leave the engine neither too cold nor too hot."""
FELT_IN_A_DRIVE = tuple(
    each.name
    for group in ("engine", "loop", "thermostat", "radiator", "pressure", "air lock", "sensors")
    for each in GROUPS[group]
    if each.name not in NOT_FELT
)
FELT_AT_ONCE = (
    "sensor_ohm_extra",
    "sensor_short",
    *(each.name for group in ("actuation", "electrics", "loose contact") for each in GROUPS[group]),
)


def bring_codes(fleet: Fleet, good: np.ndarray) -> None:
    """Give vehicles (n,) that have just arrived, cold, the codes of days with their faults; changes them in place.

    good (n,): the same vehicles without a fault, whose computers hold no code: nothing is driven for them. What two
    like drives one after the other leave follows from one. A loose contact has been open at some time.
    """
    fleet.switches["ready"] = 1.0
    tried = np.flatnonzero(_differ(fleet.parameters, good, FELT_AT_ONCE))
    if len(tried):
        _keep(fleet, tried, _once_tried(fleet.select(tried)))
    driven = np.flatnonzero(_differ(fleet.parameters, good, FELT_IN_A_DRIVE))
    if len(driven):
        _keep(fleet, driven, _after_drives(fleet.select(driven)))


def _differ(parameters: np.ndarray, good: np.ndarray, names: tuple[str, ...]) -> np.ndarray:
    """Which vehicles (n,) differ from their sound twins in one of the parameters named."""
    out = np.zeros(len(parameters), bool)
    for name in names:
        out |= parameters[name] != good[name]
    return out


def _keep(fleet: Fleet, index: np.ndarray, owner: Fleet) -> None:
    """Take over what the computers of the owner's vehicles remember, at an index of the fleet."""
    fleet.codes[index] = owner.codes
    for name in ("frame_of", "frame_C", "door_code", "blower_code"):
        fleet.switches[name][index] = owner.switches[name]


def _after_drives(fleet: Fleet) -> Fleet:
    """The same vehicles after two like drives; one whose needle goes into the red is stopped there."""
    fleet.slack = SLACK
    done: list[tuple[np.ndarray, Fleet]] = []
    left = np.arange(len(fleet))
    world = World(fleet, Weather(float(fleet.controls["ambient_C"][0])))
    world.set(heater=1.0, blower=2.0, occupants=1.0)
    for parts, controls in ((ROAD_MINUTES, running(kmh=ROAD_KMH)), (IDLE_MINUTES, running())):
        world.set(**controls)
        for minutes in parts:
            world.wait(minutes * MINUTE)
            red = gauge_needle(world.fleet) > RED_FROM
            if red.any():
                done.append((left[red], world.fleet.select(np.flatnonzero(red))))
                left = left[~red]
                world = World(world.fleet.select(np.flatnonzero(~red)), world.weather, world.now)
    done.append((left, world.fleet))
    order = np.argsort(np.concatenate([index for index, _ in done]))
    whole = done[0][1]
    for _, part in done[1:]:
        whole = Fleet.joined(whole, part)
    whole = whole.select(order)
    World(whole, world.weather).set(**STOPPED)
    _repeat(whole)
    return whole


def _repeat(fleet: Fleet) -> None:
    """What a second trip like the first makes of the codes: pending ones are stored, with the lamp and a frame."""
    codes, frame_of = fleet.codes, fleet.switches["frame_of"]
    pending = codes[:, :, code_memory.PENDING] > 0.5
    for column in (code_memory.STORED, code_memory.LAMP):
        codes[:, :, column] = np.where(pending, 1.0, codes[:, :, column])
    first = pending.argmax(axis=1)
    framed = pending.any(axis=1) & (frame_of < 0.5)
    fleet.switches["frame_of"] = np.where(framed, first + 1.0, frame_of)
    at = codes[np.arange(len(fleet)), first, code_memory.AT_C]
    fleet.switches["frame_C"] = np.where(framed, at, fleet.switches["frame_C"])


def _once_tried(fleet: Fleet) -> Fleet:
    """The same vehicles once heater and blower have been through their range, the engine running and warm.

    Each trip finds what the last one did, so that one is enough.
    """
    fleet.state[:, st.SENSOR] = WARM_C
    fleet.switches["open"] = fleet.parameters["contact_of"] > 0.5
    world = World(fleet, Weather(float(fleet.controls["ambient_C"][0])))
    world.set(**running(kmh=ROAD_KMH))  # some contacts open on the road only
    for heater in (0.0, 1.0):
        for blower in (1.0, 4.0):
            world.set(heater=heater, blower=blower)
    world.set(**STOPPED)
    return fleet
