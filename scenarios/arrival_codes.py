"""Trouble codes that vehicles bring along: their owner has driven them with the fault, and the computers remember."""

from __future__ import annotations

from hashlib import blake2b

import numpy as np

from sim.fleet import Fleet
from sim.observation.instruments import RED_FROM
from sim.observation.loop import gauge_needle, pcm_temperature
from sim.vehicle import code_memory
from sim.vehicle import states as st
from sim.vehicle.parameters import GROUPS
from sim.world import MINUTE, STOPPED, Weather, World, running

ROAD_KMH, GLANCES = 110.0, (10.0, 5.0)
"""The owner's drive from cold: road as on the week's long trip (``scenarios.daily_use``), and the minutes after which
the owner glances at the needle.
"""
HELD_K = 5.0  # above its thermostat's rating up to which an engine is not about to overheat
WARM_C = 85.0  # coolant at which the owner has tried heater and blower, so that no automatic control holds them back
LITTLE_AIR = 0.5  # of the air at which the sensor stands half in steam, below which it is in coolant
TOLERANCE_FACTOR = 2000.0  # error of the temperatures, in times the usual one: a tenth of a kelvin
MOST_KEPT = 20_000  # vehicles whose codes are kept for another time
KEPT = ("frame_of", "frame_C", "door_code", "blower_code")
"""Switches that the computers keep from one trip to the next."""
_DRIVEN: dict[bytes, tuple[np.ndarray, np.ndarray] | None] = {}
"""Codes and KEPT after the owner's drives, by weather and parameters."""
NOT_FELT = frozenset(
    {"core_R", "core_clear", "feed_clear", "return_clear", "heater_feed_R", "heater_return_R", "valve_G", "boost_works"}
    | {"feed_soft", "rear_air_share", "sludge", "fan_forced", "core_km", "core_bursts_kPa"}
)
"""Parameters of these groups that leave the engine neither too cold nor too hot."""
FELT_IN_A_DRIVE = (
    "sensor_offset_K",
    *(
        each.name
        for group in ("engine", "loop", "thermostat", "radiator")
        for each in GROUPS[group]
        if each.name not in NOT_FELT
    ),
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
        owner = _once_tried(fleet.select(tried))
        fleet.codes[tried] = owner.codes
        for name in KEPT:
            fleet.switches[name][tried] = owner.switches[name]
    _bring_from_the_road(fleet, np.flatnonzero(could_fail(fleet.parameters, good)))


def _bring_from_the_road(fleet: Fleet, index: np.ndarray) -> None:
    """Put in what the owner's drives have left in the vehicles of an index; one that was driven before is remembered,
    for a grade imagines the same vehicles more than once.
    """
    weather = b"".join(fleet.controls[name][:1].tobytes() for name in ("ambient_C", "atmosphere_kPa"))
    keys = [blake2b(weather + one.tobytes(), digest_size=16).digest() for one in fleet.parameters[index]]
    known = {key: _DRIVEN.get(key) for key in keys}
    new = [k for k, key in enumerate(keys) if known[key] is None]
    if new:
        owner = _after_drives(fleet.select(index[new]))
        kept = np.column_stack([owner.switches[name] for name in KEPT])
        known.update({keys[k]: (owner.codes[i], kept[i]) for i, k in enumerate(new)})
        if len(_DRIVEN) > MOST_KEPT:
            _DRIVEN.clear()
        _DRIVEN.update({keys[k]: known[keys[k]] for i, k in enumerate(new) if not owner.failed[i]})
    found = [memory for key in keys if (memory := known[key]) is not None]
    if found:
        fleet.codes[index] = np.array([codes for codes, _ in found])
        for name, values in zip(KEPT, np.array([kept for _, kept in found]).T, strict=True):
            fleet.switches[name][index] = values


def could_fail(parameters: np.ndarray, good: np.ndarray) -> np.ndarray:
    """Which vehicles (n,) might run too cold or too hot on the road, or believe that they do.

    parameters, good: as they arrive, and sound. Leaks and a weak cap do so by the coolant that is missing.
    """
    air = parameters["missing_L"] + parameters["core_air_share"] * parameters["core_L"]
    return _differ(parameters, good, FELT_IN_A_DRIVE) | (air > LITTLE_AIR * parameters["sensor_dry_L"])


def _differ(parameters: np.ndarray, good: np.ndarray, names: tuple[str, ...]) -> np.ndarray:
    """Which vehicles (n,) differ from their sound twins in one of the parameters named."""
    out = np.zeros(len(parameters), bool)
    for name in names:
        out |= parameters[name] != good[name]
    return out


def _after_drives(fleet: Fleet) -> Fleet:
    """The same vehicles after two like drives; one whose needle goes into the red is stopped there.

    Combustion gas that enters the loop meanwhile is left out: it would take ten times as long.
    """
    fleet.tolerance_factor = TOLERANCE_FACTOR
    fleet.parameters["gas_ingress"] = 0.0
    ambient = Weather(float(fleet.controls["ambient_C"][0]))
    done: list[tuple[np.ndarray, Fleet]] = []
    left, world = np.arange(len(fleet)), World(fleet, ambient)
    world.set(heater=1.0, blower=2.0, occupants=1.0)
    for minutes in GLANCES:
        world.set(**running(kmh=ROAD_KMH))
        world.wait(minutes * MINUTE)
        red, believed = gauge_needle(world.fleet) > RED_FROM, pcm_temperature(world.fleet)
        held = believed < world.fleet.parameters["regulates_C"] + HELD_K
        over = red | ((world.fleet.switches["watched"] < 0.5) & held)
        done.append((left[over], world.fleet.select(np.flatnonzero(over))))
        left, world = left[~over], World(world.fleet.select(np.flatnonzero(~over)), ambient, world.now)
        if not len(left):
            break
    done.append((left, world.fleet))
    whole = done[0][1]
    for _, part in done[1:]:
        whole = Fleet.joined(whole, part)
    whole = whole.select(np.argsort(np.concatenate([index for index, _ in done])))
    World(whole, ambient).set(**STOPPED)
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
