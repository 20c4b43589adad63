"""Sounds of air in the heater core and of an open vacuum line, before any ear; each gives an array (n,)."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet
from sim.laws.actuators import vacuum_force
from sim.laws.pressure import ATMOSPHERE
from sim.vehicle import states as st

VACUUM_DRIVE = 1.0
FLARE_RPM = 160.0
"""Rise of a warm idle at once when a 4 mm line is open to full vacuum [rpm]: some 5 % more air through its restrictor.
Common practice, no source."""


def gurgling(fleet: Fleet) -> np.ndarray:
    """Air that moves about in the heater core [-]: its share of the core times how fast it is pushed. Shape (n,).

    Air in the core, air that goes round with the coolant, and the space that coolant no longer fills, once the neck is
    empty, all pass the core. Speed goes with the root of the pressure across the heater branch, over the one that
    empties the core: a third at idle, above 1 with revs. 0 where the engine stands or there is no such air. Source:
    common practice, no source.
    """
    p, q, y = fleet.parameters, fleet.algebraic, fleet.state
    held = np.maximum(np.maximum(y[:, st.GAS], 0.0) / ATMOSPHERE - p["tank_air_L"], 0.0)
    in_cores = y[:, st.CORE_AIR] + y[:, st.REAR_AIR]
    at_neck = np.maximum(p["neck_free_L"] - y[:, st.NECK_AIR], 0.0)
    round_it = np.maximum(held - in_cores - y[:, st.NECK_AIR], 0.0)
    lacking = np.maximum(q["missing_L"] - held - at_neck, 0.0)
    share = np.clip((y[:, st.CORE_AIR] + round_it + lacking) / p["core_L"], 0.0, 1.0)
    return share * np.sqrt(np.clip(q["branch_dp"] / p["lock_head_kPa"], 0.0, 2.0)) * q["runs"]


def hissing(fleet: Fleet) -> np.ndarray:
    """Air drawn in at a vacuum line or diaphragm that is open [-], of a fully open line at full vacuum. Shape (n,).

    Only while vacuum is applied to it: at the heater valve while less than full heat is asked for, at the blend door
    while it is to stand anywhere but where it rests. Source: common practice, no source.
    """
    p, q = fleet.parameters, fleet.algebraic
    valve = (p["valve_drive"] == VACUUM_DRIVE) * (fleet.controls["heater"] < 1.0)
    valve = valve * (1.0 - p["valve_supply"] * p["valve_coil"])
    blend = (p["blend_drive"] == VACUUM_DRIVE) * (np.abs(q["heat_asked"] - p["blend_rest"]) > 0.0)
    blend = blend * (1.0 - p["blend_supply"] * p["blend_motor"])
    open_line = np.clip(valve + blend, 0.0, 1.0)
    for k in np.flatnonzero(open_line):  # few of many vehicles
        open_line[k] *= vacuum_force(float(fleet.state[k, st.VACUUM]))
    return open_line


def idle_flare(fleet: Fleet) -> np.ndarray:
    """Engine speed [rpm] in the first second after vacuum is applied, before the idle control takes it back. (n,)."""
    return fleet.algebraic["rpm"] + FLARE_RPM * hissing(fleet) * fleet.algebraic["runs"]
