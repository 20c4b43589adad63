"""When the switches of the independent vehicle change over: a margin [K] each, and a clock for a loose contact."""

from collections.abc import Mapping, MutableMapping, Sequence
from math import floor, inf

from tests.reference.rates import Vehicle

COOLED_K = 6.0
GOLDEN = 0.618033988749895


def vehicle_of(p: Mapping[str, float], c: Mapping[str, float], switches: Mapping[str, float]) -> Vehicle:
    """The vehicle with its switches as they stand, by name as in ``sim.vehicle.states.SWITCHES``."""
    left = switches["fan"], switches["blend"], switches["asked"]
    broken = max(switches["seized"], switches["drained"])
    return Vehicle(
        p,
        c,
        *left,
        contact=1.0 - switches["open"],
        stopped=switches["stopped"],
        broken=broken,
        valve_left=switches["valve"],
        cut=switches["heater_cut"],
        cooling=switches["runs_on"],
    )


def margins(vehicle: Vehicle, switches: Mapping[str, float], y: Sequence[float]) -> dict[str, float]:
    """How far [K] each switch is beyond where it must change over; below 0 it stays, -inf: it never does."""
    p, c = vehicle.p, vehicle.c
    sensed = vehicle.sensor(y)
    beyond = {
        "fan": -inf,
        "stopped": -inf,
        "open": -inf,
        "seized": -inf,
        "drained": -inf,
        "heater_cut": -inf,
        "runs_on": -inf,
    }
    if switches["seized"] < 0.5:
        beyond["seized"] = y[25] - 600.0
    if c["engine"] < 0.5:
        beyond["drained"] = inf if switches["drained"] > 0.5 else -inf
    elif switches["drained"] < 0.5:
        beyond["drained"] = 10.0 - vehicle.battery(y[23])[0]
    if p["coolant_heater_kW"] > 0.0:
        back = p["heater_cut_C"] - p["heater_back_K"]
        beyond["heater_cut"] = back - y[0] if switches["heater_cut"] > 0.5 else y[0] - p["heater_cut_C"]
    if p["electric_rpm"] > 0.0:
        hot = p["run_on_C"]
        beyond["runs_on"] = hot - 8.0 - sensed if switches["runs_on"] > 0.5 else sensed - hot
        if c["engine"] > 0.5:
            beyond["runs_on"] = inf if switches["runs_on"] > 0.5 else -inf
    if p["fan_viscous"] <= 0.5:
        off = p["fan_on_C"] - p["fan_off_K"]
        beyond["fan"] = off - sensed if switches["fan"] > 0.5 else sensed - p["fan_on_C"]
    waits = p["stops_itself"] > 0.5 and c["engine"] > 0.5 and c["kmh"] == 0.0 and c["rpm"] <= p["idle_rpm"]
    if switches["stopped"] > 0.5:
        beyond["stopped"] = p["restart_C"] - sensed if waits else inf
    elif waits:
        beyond["stopped"] = sensed - p["stop_C"]
    if p["contact_of"] > 0.5 and p["contact_mean_s"] <= 0.0:
        warm = y[15] if p["contact_of"] in {1.0, 3.0} else y[9]
        beyond["open"] = p["contact_heat_C"] - COOLED_K - warm if switches["open"] > 0.5 else warm - p["contact_heat_C"]
    return beyond


def hold(p: Mapping[str, float], switches: Mapping[str, float]) -> float:
    """How long [s] a contact that comes and goes stays as it is."""
    turn = 9973.0 * (p["contact_key"] + GOLDEN * (1.0 + switches["toggles"]))
    seconds = max(p["contact_mean_s"], 1.0) * (0.3 + 1.4 * (turn - floor(turn)))
    return seconds * 0.33 if switches["open"] > 0.5 else seconds


def leave_door(vehicle: Vehicle, switches: MutableMapping[str, float]) -> None:
    """Before a contact changes over: where a geared motor has driven the blend door it will stay without current."""
    p = vehicle.p
    if p["contact_of"] == 3.0 and p["blend_drive"] == 2.0 and switches["open"] < 0.5:
        driven = vehicle.place("blend", vehicle.heat, 0.0, True)
        if p["blend_supply"] * p["blend_motor"] * vehicle.c["ignition"] * vehicle.held > 0.5:
            switches["blend"], switches["asked"] = driven, vehicle.heat


def toggle(p: Mapping[str, float], c: Mapping[str, float], switches: MutableMapping[str, float], now: float) -> float:
    """When [s] a contact that comes and goes changes next, inf for one that does not; what is due has then changed."""
    if p["contact_of"] < 0.5 or p["contact_mean_s"] <= 0.0:
        return inf
    if switches["toggles"] == 0.0 and switches["next"] <= 0.0:
        switches["next"] = hold(p, switches)
    while switches["next"] <= now:
        leave_door(vehicle_of(p, c, switches), switches)
        switches["open"] = 1.0 - switches["open"]
        switches["toggles"] += 1.0
        switches["next"] += hold(p, switches)
    return switches["next"]
