"""Operations on a vehicle beyond setting parameters: filling, bleeding, renewing parts, and wrong repairs."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.fleet import Fleet
from sim.laws import coolant
from sim.laws.actuators import BLEND_CONTACT, BLOWER_CONTACT, BRUSH_CONTACT, SENSOR_CONTACT, VALVE_CONTACT
from sim.laws.pressure import ATMOSPHERE
from sim.observation.heater import AUDIBLE_DRAG
from sim.observation.loop import neck_shortfall
from sim.vehicle import states as st
from sim.vehicle.code_memory import ERASED

Operation = Callable[[Fleet], None]
MAINS_KPA = 400.0  # mains pressure (common practice, no source)
SEAM_AGEING_KM = 250_000.0  # distance after which a core's seams have 1/e of their strength (estimate)
BURST_SPILL_KG = 0.5  # coolant spilled on the carpet before the tap is shut (estimate)
SEALANT_SETTLING_S = 3.0 * 3600.0  # running time until 1/e of a sealant is still suspended (estimate)
SEALED_LEAKS = ("leak_hose", "leak_pump", "leak_radiator", "leak_housing", "leak_tee", "leak_tank", "leak_core")
SEALED_CORE, SEALED_RADIATOR = 0.2, 0.6
FUSE_BLOWS_AT = 1.35  # multiple of its rating at which a fuse blows within half an hour (ISO 8820-3, M)
UNLEARNED_SHARE = 0.35  # share of its travel that a door drive makes before it has learned its ends (estimate)
BURST_G_S_KPA = 0.05  # leak of a core with burst seams: some 9 kg/h at 50 kPa (estimate)


def _fill_gas(fleet: Fleet, litres: np.ndarray) -> None:
    """Replace litres (n,) of gas by fresh coolant; the cap is off, so the gas escapes at zero gauge pressure."""
    p, y = fleet.parameters, fleet.state
    for i in range(len(fleet)):
        fresh = coolant.density(float(y[i, st.RADIATOR]), float(p["glycol"][i])) / 1000.0
        y[i, st.COOLANT] += max(float(litres[i]), 0.0) * fresh


def top_up(fleet: Fleet) -> None:
    """Fill to the neck or cold line, and the bottle to its line. Air trapped in the cores stays."""
    p, y = fleet.parameters, fleet.state
    trapped = y[:, st.CORE_AIR] + y[:, st.REAR_AIR]
    _fill_gas(fleet, neck_shortfall(fleet))
    y[:, st.GAS] = np.maximum(trapped + p["tank_air_L"], 0.0) * ATMOSPHERE
    y[:, st.NECK_AIR] = 0.0
    line = p["bottle_line_L"] * 1.05 * p["has_bottle"]
    y[:, st.BOTTLE] = np.maximum(y[:, st.BOTTLE], line)
    fleet.refresh()


def bleed(fleet: Fleet) -> None:
    """Bleed the heater core at its bleed point, with coolant following from a funnel."""
    y = fleet.state
    air = y[:, st.CORE_AIR].copy()
    _fill_gas(fleet, air)
    y[:, st.GAS] = np.maximum(y[:, st.GAS] - air * ATMOSPHERE, 0.0)
    y[:, st.CORE_AIR] = 0.0
    fleet.refresh()


def fill_and_bleed(fleet: Fleet) -> None:
    """Top up and bleed, as after any work that opened the loop."""
    top_up(fleet)
    bleed(fleet)


def flush_core(fleet: Fleet) -> None:
    """Flush the heater core gently in both directions, then fill and bleed.

    The open share of its tubes is raised to the power 0.35: a flush clears it in part (estimate; common practice).
    """
    fleet.parameters["core_clear"] **= 0.35
    fill_and_bleed(fleet)


def fresh_coolant(fleet: Fleet) -> None:
    """Drain, flush, fill with the correct mixture, bleed."""
    fleet.parameters["glycol"] = 0.5
    fleet.parameters["coolant_V"] = 0.05
    fleet.parameters["sludge"] = 0.08
    fleet.parameters["sealant"] = 0.0
    fill_and_bleed(fleet)


def dry_carpet(fleet: Fleet) -> None:
    """Lift and dry the carpet."""
    fleet.state[:, st.CARPET] = 0.0


def flush_hard(fleet: Fleet) -> None:
    """Flush the core at mains pressure: clears it as a gentle flush does, and bursts weak seams.

    Seams weaken with distance driven: each SEAM_AGEING_KM leaves 1/e of their strength (estimate).
    """
    flush_core(fleet)
    p = fleet.parameters
    burst = p["core_bursts_kPa"] * np.exp(-p["core_km"] / SEAM_AGEING_KM) < MAINS_KPA
    p["leak_core"] = np.where(burst, np.maximum(p["leak_core"], BURST_G_S_KPA), p["leak_core"])
    fleet.state[:, st.CARPET] += np.where(burst, BURST_SPILL_KG, 0.0)
    fleet.refresh()


def top_up_with_water(fleet: Fleet) -> None:
    """Fill with plain water, diluting the coolant."""
    p, y = fleet.parameters, fleet.state
    before = y[:, st.COOLANT].copy()
    top_up(fleet)
    p["glycol"] *= before / np.maximum(y[:, st.COOLANT], 0.1)
    fleet.refresh()


def add_sealant(fleet: Fleet) -> None:
    """Pour in a sealant: small leaks shrink to a fifth for a while; what stays suspended settles as the engine runs
    (common practice).
    """
    p = fleet.parameters
    for name in SEALED_LEAKS:
        p[name] *= np.where(p[name] < 0.01, 0.2, 1.0)
    p["sealant"] += 1.0
    p["sludge"] = np.minimum(p["sludge"] + 0.4, 1.0)
    top_up(fleet)


def settle_sealant(fleet: Fleet, ran_s: np.ndarray) -> None:
    """Let sealant settle in the narrow tubes of core and radiator over running times ran_s [s], (n,).

    One tin leaves SEALED_CORE and SEALED_RADIATOR of their open shares (estimate). Independent of how the time is
    divided.
    """
    p = fleet.parameters
    settled = p["sealant"] * -np.expm1(-ran_s / SEALANT_SETTLING_S)
    p["sealant"] -= settled
    p["core_clear"] *= SEALED_CORE**settled
    p["radiator_clear"] *= SEALED_RADIATOR**settled


def _load_wiring(fleet: Fleet, rating_A: np.ndarray) -> None:
    """Energise the blower circuit through a new fuse of rating_A [A], (n,); infinite where it is bridged.

    A short blows the fuse if its current is high enough for the rating, and burns the wire otherwise; an oversized fuse
    lets a dragging motor burn the wire (common practice, no source).
    """
    p = fleet.parameters
    shorted = p["blower_short"] > 0.5
    current = p["battery_V"] / (p["battery_ohm"] + p["short_ohm"])
    blows = shorted & (current > FUSE_BLOWS_AT * rating_A)
    unprotected = rating_A > p["fuse_A"]
    burns = (shorted & ~blows) | (unprotected & (p["bearing_drag"] > AUDIBLE_DRAG))
    p["blower_fuse"] = np.where(blows, 0.0, 1.0)
    p["loom_burnt"] = np.where(burns & unprotected, 1.0, p["loom_burnt"])
    fleet.refresh()


def fit_fuse(fleet: Fleet) -> None:
    """Fit a blower fuse of the correct rating; with a short behind it, it blows at once."""
    _load_wiring(fleet, fleet.parameters["fuse_A"].copy())


def fit_larger_fuse(fleet: Fleet) -> None:
    """Fit a fuse of twice the rating: a dead short blows it too, anything less burns the wire."""
    _load_wiring(fleet, 2.0 * fleet.parameters["fuse_A"])


def bridge_fuse(fleet: Fleet) -> None:
    """Bridge the fuse with a wire, leaving the circuit unprotected."""
    _load_wiring(fleet, np.full(len(fleet), np.inf))


def tie_valve_open(fleet: Fleet) -> None:
    """Tie the heater valve's lever open and plug its vacuum line; a seized valve does not move."""
    fleet.parameters["valve_least"] = np.where(fleet.parameters["valve_stem"] > 0.5, 1.0, 0.0)
    fleet.refresh()


def tie_valve_open_line_off(fleet: Fleet) -> None:
    """The same with the line left open: the engine draws air through it; idle speed rises, vacuum falls (estimate)."""
    tie_valve_open(fleet)
    fleet.parameters["valve_supply"] = 0.0
    fleet.parameters["idle_rpm"] *= 1.25
    fleet.parameters["vacuum_kPa"] *= 0.7
    fleet.refresh()


def bypass_valve(fleet: Fleet) -> None:
    """Join the hoses without the heater valve; fill and bleed."""
    fleet.parameters["has_valve"] = 0.0
    fill_and_bleed(fleet)


def new_gasket(fleet: Fleet) -> None:
    """Head off, checked and skimmed, new gasket: clears the accumulated damage."""
    fleet.state[:, st.OVERHEATING] = 0.0
    fill_and_bleed(fleet)


def relearn_actuator(fleet: Fleet) -> None:
    """Relearn the blend actuator's end stops: it then reaches the demanded position, if motor and gears are sound."""
    p = fleet.parameters
    sound = (p["blend_motor"] * p["blend_supply"] > 0.5) & (p["blend_linkage"] > 0.7)
    asked = fleet.controls["heater"] * p["command"]
    p["blend_learned"] = np.where(sound, 1.0, p["blend_learned"])
    fleet.switches["blend"] = np.where(sound, asked, fleet.switches["blend"])
    fleet.switches["asked"] = np.where(sound, asked, fleet.switches["asked"])
    fleet.refresh()


def fit_actuator_unlearned(fleet: Fleet) -> None:
    """Fit a blend actuator without letting it learn its end stops: it takes part of the travel for all of it."""
    p = fleet.parameters
    p["blend_learned"] = np.minimum(p["blend_learned"], UNLEARNED_SHARE)
    fleet.switches["blend"] = fleet.switches["asked"] * p["blend_learned"]
    fleet.refresh()


def tighten_clips(fleet: Fleet) -> None:
    """Tighten the hose clips: a fifth of the leak remains (estimate)."""
    fleet.parameters["leak_hose"] *= 0.2


def tighten_belt(fleet: Fleet) -> None:
    """Tighten the belt: one that slips grips again, but not as well as a new one (estimate)."""
    drive = fleet.parameters["pump_drive"]
    fleet.parameters["pump_drive"] = np.where(drive > 0.03, np.maximum(drive, 0.85), drive)
    fleet.refresh()


def repair_contact(which: float) -> Operation:
    """Operation that repairs the loose contact at a place (``sim.laws.actuators``), if that is where it is."""

    def repair(fleet: Fleet) -> None:
        here = fleet.parameters["contact_of"] == which
        fleet.parameters["contact_of"] = np.where(here, 0.0, fleet.parameters["contact_of"])
        fleet.switches["open"] = np.where(here, 0.0, fleet.switches["open"])
        fleet.refresh()

    return repair


def bleed_rear(fleet: Fleet) -> None:
    """Bleed the rear heater at its own bleed point."""
    y = fleet.state
    air = y[:, st.REAR_AIR].copy()
    _fill_gas(fleet, air)
    y[:, st.GAS] = np.maximum(y[:, st.GAS] - air * ATMOSPHERE, 0.0)
    y[:, st.REAR_AIR] = 0.0
    fleet.refresh()


def vacuum_fill(fleet: Fleet) -> None:
    """Evacuate the loop and let coolant in: no air stays trapped, front or rear."""
    bleed_rear(fleet)
    fill_and_bleed(fleet)


def clear_codes(fleet: Fleet) -> None:
    """Clear trouble codes, freeze frame and readiness with the scan tool; a fault still present sets its code again at
    once.
    """
    fleet.codes[:] = 0.0
    for name in ERASED:
        fleet.switches[name] = 0.0
    fleet.refresh()


OPERATIONS: dict[str, Operation] = {
    "top up": top_up,
    "bleed": bleed,
    "fill and bleed": fill_and_bleed,
    "flush core": flush_core,
    "fresh coolant": fresh_coolant,
    "dry carpet": dry_carpet,
    "flush hard": flush_hard,
    "top up with water": top_up_with_water,
    "add sealant": add_sealant,
    "fit fuse": fit_fuse,
    "tie valve open": tie_valve_open,
    "tie valve open, line left off": tie_valve_open_line_off,
    "bypass valve": bypass_valve,
    "new gasket": new_gasket,
    "relearn actuator": relearn_actuator,
    "fit actuator unlearned": fit_actuator_unlearned,
    "bleed rear": bleed_rear,
    "pump routine": fill_and_bleed,
    "fit larger fuse": fit_larger_fuse,
    "bridge fuse": bridge_fuse,
    "tighten clips": tighten_clips,
    "tighten belt": tighten_belt,
    "mend blower contact": repair_contact(BLOWER_CONTACT),
    "mend brushes": repair_contact(BRUSH_CONTACT),
    "mend valve contact": repair_contact(VALVE_CONTACT),
    "mend blend contact": repair_contact(BLEND_CONTACT),
    "mend sensor contact": repair_contact(SENSOR_CONTACT),
    "vacuum fill": vacuum_fill,
    "clear codes": clear_codes,
}
"""Operations by name, each acting on every vehicle of a fleet."""


def renew(fleet: Fleet, names: tuple[str, ...], good: np.ndarray) -> None:
    """Fit new parts: set parameters to those of a sound part.

    names: parameters; good: structured (n,) or (1,), the source of the new values. A renewed door or valve moves to its
    commanded position.
    """
    for name in names:
        fleet.parameters[name] = good[name]
    if any(name.startswith("blend_") for name in names):
        fleet.switches["blend"] = fleet.switches["asked"] = fleet.controls["heater"]
    fleet.refresh()
