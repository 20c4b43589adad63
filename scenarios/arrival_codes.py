"""Trouble codes stored on arrival: the owner has driven the vehicle with the fault."""

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
"""The owner's drive from cold: speed of the weekly long trip (``scenarios.daily_use``), and the times [min] between
glances at the needle.
"""
REGULATION_MARGIN_K = 5.0  # margin above the thermostat's rating within which an engine is not about to overheat
WARM_C = 85.0  # coolant temperature while heater and blower are used: no automatic control holds them back then
SENSOR_AIR_SHARE = 0.5  # share of the air volume that leaves the sensor half in steam
TOLERANCE_FACTOR = 2000.0  # relaxed: temperatures to a tenth of a kelvin
MOST_CACHED = 20_000  # vehicles whose codes are cached
KEPT = ("frame_of", "frame_C", "door_code", "blower_code", "heater_code")
"""Switches that the control units keep between trips."""
_CODES_OF_DRIVES: dict[bytes, tuple[np.ndarray, np.ndarray] | None] = {}
"""Cache of codes and KEPT after the owner's drives, by hash of weather and parameters."""
WITHOUT_EFFECT = frozenset(
    {"core_R", "core_clear", "feed_clear", "return_clear", "heater_feed_R", "heater_return_R", "valve_G", "boost_works"}
    | {"feed_soft", "rear_air_share", "sludge", "fan_forced", "core_km", "core_bursts_kPa"}
)
"""Parameters of the groups below that make the engine neither too cold nor too hot."""
AFFECTS_A_DRIVE = (
    "sensor_offset_K",
    *(
        each.name
        for group in ("engine", "loop", "thermostat", "radiator", "electric main pump")
        for each in GROUPS[group]
        if each.name not in WITHOUT_EFFECT
    ),
)
STOPS_THE_LOOP = ("boost_works", "core_clear", "return_clear", "feed_clear")
"""Parameters by which the coolant of a coolant heater may stand, so that it cuts itself out."""
AFFECTS_AT_ONCE = (
    "sensor_ohm_extra",
    "sensor_short",
    *(
        each.name
        for group in ("actuation", "electrics", "electric main pump", "loose contact")
        for each in GROUPS[group]
    ),
)


def add_arrival_codes(fleet: Fleet, good: np.ndarray) -> None:
    """Add the trouble codes that days with their faults have left in cold, arriving vehicles (n,), in place.

    good (n,): the same vehicles without faults, which have no codes and are not driven. The codes after two identical
    drives follow from one drive. A loose contact has been open at some time.
    """
    fleet.switches["ready"] = 1.0
    tried = np.flatnonzero(_differ(fleet.parameters, good, AFFECTS_AT_ONCE))
    if len(tried):
        owner = _after_using_controls(fleet.select(tried))
        fleet.codes[tried] = owner.codes
        for name in KEPT:
            fleet.switches[name][tried] = owner.switches[name]
    _add_codes_of_drives(fleet, np.flatnonzero(could_fail(fleet.parameters, good)))


def _add_codes_of_drives(fleet: Fleet, index: np.ndarray) -> None:
    """Add the codes of the owner's drives to the vehicles at an index. Results are cached, as marking uses the same
    vehicles more than once.
    """
    weather = b"".join(fleet.controls[name][:1].tobytes() for name in ("ambient_C", "atmosphere_kPa"))
    keys = [blake2b(weather + one.tobytes(), digest_size=16).digest() for one in fleet.parameters[index]]
    known = {key: _CODES_OF_DRIVES.get(key) for key in keys}
    new = [k for k, key in enumerate(keys) if known[key] is None]
    if new:
        owner = _after_drives(fleet.select(index[new]))
        kept = np.column_stack([owner.switches[name] for name in KEPT])
        known.update({keys[k]: (owner.codes[i], kept[i]) for i, k in enumerate(new)})
        if len(_CODES_OF_DRIVES) > MOST_CACHED:
            _CODES_OF_DRIVES.clear()
        _CODES_OF_DRIVES.update({keys[k]: known[keys[k]] for i, k in enumerate(new) if not owner.failed[i]})
    found = [memory for key in keys if (memory := known[key]) is not None]
    if found:
        fleet.codes[index] = np.array([codes for codes, _ in found])
        for name, values in zip(KEPT, np.array([kept for _, kept in found]).T, strict=True):
            fleet.switches[name][index] = values


def could_fail(parameters: np.ndarray, good: np.ndarray) -> np.ndarray:
    """Which vehicles (n,) might run too cold or too hot on the road, or appear to their control unit to do so.

    parameters, good: on arrival, and without faults. Leaks and a weak cap act through the missing coolant.
    """
    air = parameters["missing_L"] + parameters["core_air_share"] * parameters["core_L"]
    stands = (parameters["coolant_heater_kW"] > 0.0) & (_differ(parameters, good, STOPS_THE_LOOP) | (air > 0.0))
    return stands | _differ(parameters, good, AFFECTS_A_DRIVE) | (air > SENSOR_AIR_SHARE * parameters["sensor_dry_L"])


def _differ(parameters: np.ndarray, good: np.ndarray, names: tuple[str, ...]) -> np.ndarray:
    """Which vehicles (n,) differ from the healthy ones in any of the named parameters."""
    out = np.zeros(len(parameters), bool)
    for name in names:
        out |= parameters[name] != good[name]
    return out


def _after_drives(fleet: Fleet) -> Fleet:
    """The same vehicles after two identical drives; a vehicle whose needle goes into the red is stopped there.

    Combustion gas entering the loop is ignored here: it would take ten times as long.
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
        held = believed < world.fleet.parameters["regulates_C"] + REGULATION_MARGIN_K
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
    _after_second_trip(whole)
    return whole


def _after_second_trip(fleet: Fleet) -> None:
    """Apply a second identical trip to the codes: pending ones are stored, with the lamp on and a freeze frame."""
    codes, frame_of = fleet.codes, fleet.switches["frame_of"]
    pending = codes[:, :, code_memory.PENDING] > 0.5
    for column in (code_memory.STORED, code_memory.LAMP):
        codes[:, :, column] = np.where(pending, 1.0, codes[:, :, column])
    first = pending.argmax(axis=1)
    framed = pending.any(axis=1) & (frame_of < 0.5)
    fleet.switches["frame_of"] = np.where(framed, first + 1.0, frame_of)
    at = codes[np.arange(len(fleet)), first, code_memory.AT_C]
    fleet.switches["frame_C"] = np.where(framed, at, fleet.switches["frame_C"])


def _after_using_controls(fleet: Fleet) -> Fleet:
    """The same vehicles after heater and blower were run through their range with the engine running and warm.

    Every trip gives the same result, so one is enough.
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
