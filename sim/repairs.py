"""Operations on a vehicle that are not a change of a parameter: filling, bleeding, renewing."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim import coolant
from sim import states as st
from sim.fleet import Fleet
from sim.pressure import ATMOSPHERE

Operation = Callable[[Fleet], None]


def _fill_gas(fleet: Fleet, litres: np.ndarray) -> None:
    """Replace litres (n,) of gas by fresh coolant; the cap is off, so the gas leaves at no pressure."""
    p, y = fleet.parameters, fleet.state
    for i in range(len(fleet)):
        fresh = coolant.density(float(y[i, st.RADIATOR]), float(p["glycol"][i])) / 1000.0
        y[i, st.COOLANT] += max(float(litres[i]), 0.0) * fresh


def top_up(fleet: Fleet) -> None:
    """Fill to the neck or cold line and the bottle to its line. Air locked in the core stays where it is."""
    p, y = fleet.parameters, fleet.state
    neck = np.maximum(fleet.quantities["missing_L"] - y[:, st.CORE_AIR], 0.0)
    _fill_gas(fleet, neck)
    y[:, st.GAS] = np.maximum(y[:, st.CORE_AIR] + p["tank_air_L"], 0.0) * ATMOSPHERE
    line = p["bottle_line_L"] * 1.05 * p["has_bottle"]
    y[:, st.BOTTLE] = np.maximum(y[:, st.BOTTLE], line)
    fleet.refresh()


def bleed(fleet: Fleet) -> None:
    """Let the air out of the heater core at its bleed point, coolant following from a funnel."""
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
    """Rinse the heater core gently both ways, then fill and bleed.

    The open share of its tubes rises to its square root: a flush helps in part (ours; common practice, no source).
    """
    fleet.parameters["core_clear"] = np.sqrt(fleet.parameters["core_clear"])
    fill_and_bleed(fleet)


def fresh_coolant(fleet: Fleet) -> None:
    """Drain, flush through, fill with the right mixture, bleed."""
    fleet.parameters["glycol"] = 0.5
    fleet.parameters["coolant_V"] = 0.05
    fill_and_bleed(fleet)


def dry_carpet(fleet: Fleet) -> None:
    """Lift and dry the carpet."""
    fleet.state[:, st.CARPET] = 0.0


OPERATIONS: dict[str, Operation] = {
    "top up": top_up,
    "bleed": bleed,
    "fill and bleed": fill_and_bleed,
    "flush core": flush_core,
    "fresh coolant": fresh_coolant,
    "dry carpet": dry_carpet,
}
"""Name to operation, each changing every vehicle of a fleet."""


def renew(fleet: Fleet, names: tuple[str, ...], good: np.ndarray) -> None:
    """Bring parameters back to those of a good part.

    names: parameters; good: structured (n,) or (1,), where the new values come from. A door or valve that was renewed
    goes where its control stands.
    """
    for name in names:
        fleet.parameters[name] = good[name]
    if any(name.startswith("blend_") for name in names):
        fleet.switches["blend"] = fleet.switches["asked"] = fleet.controls["heater"]
    fleet.refresh()
