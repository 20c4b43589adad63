"""Sounds of air in the heater core and of an open vacuum line, before any ear; each function returns an array (n,)."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet
from sim.laws.actuators import VACUUM, vacuum_force
from sim.laws.pressure import ATMOSPHERE
from sim.vehicle import states as st

FLARE_RPM = 160.0
"""Rise of warm idle speed [rpm] when a 4 mm line is opened to full vacuum: some 5 % more air through its restrictor.
Common practice, no source."""


def gurgling(fleet: Fleet) -> np.ndarray:
    """Moving air in the heater core [-]: its share of the core times how fast it is driven. Shape (n,).

    Air trapped in the core, air circulating with the coolant, and missing coolant once the neck is empty all pass the
    core. Its speed scales with the root of the pressure across the heater branch over the lock head: a third at idle,
    above 1 when revved. 0 with the engine stopped or without such air. Source: common practice, no source.
    """
    p, q, y = fleet.parameters, fleet.algebraic, fleet.state
    loop_air = np.maximum(np.maximum(y[:, st.GAS], 0.0) / ATMOSPHERE - p["tank_air_L"], 0.0)
    in_cores = y[:, st.CORE_AIR] + y[:, st.REAR_AIR]
    at_neck = np.maximum(p["neck_free_L"] - y[:, st.NECK_AIR], 0.0)
    circulating = np.maximum(loop_air - in_cores - y[:, st.NECK_AIR], 0.0)
    void = np.maximum(q["missing_L"] - loop_air - at_neck, 0.0)
    share = np.clip((y[:, st.CORE_AIR] + circulating + void) / p["core_L"], 0.0, 1.0)
    return share * np.sqrt(np.clip(q["branch_dp"] / p["lock_head_kPa"], 0.0, 2.0)) * q["runs"]


def hissing(fleet: Fleet) -> np.ndarray:
    """Air drawn in by an open vacuum line or diaphragm [-], relative to a fully open line at full vacuum. Shape (n,).

    Only while vacuum is applied: at the heater valve below full heat demand, at the blend door away from its rest
    position. Source: common practice, no source.
    """
    p, q = fleet.parameters, fleet.algebraic
    valve = (p["valve_drive"] == VACUUM) * (fleet.controls["heater"] < 1.0)
    valve = valve * (1.0 - p["valve_supply"] * p["valve_coil"])
    blend = (p["blend_drive"] == VACUUM) * (np.abs(q["heat_asked"] - p["blend_rest"]) > 0.0)
    blend = blend * (1.0 - p["blend_supply"] * p["blend_motor"])
    open_line = np.clip(valve + blend, 0.0, 1.0)
    for k in np.flatnonzero(open_line):  # few vehicles of many
        open_line[k] *= vacuum_force(float(fleet.state[k, st.VACUUM]))
    return open_line


def idle_flare(fleet: Fleet) -> np.ndarray:
    """Engine speed [rpm] in the first second after vacuum is applied, before idle control compensates. Shape (n,)."""
    return fleet.algebraic["rpm"] + FLARE_RPM * hissing(fleet) * fleet.algebraic["runs"]
