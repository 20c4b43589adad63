"""Trouble codes and lamps of the engine computer and the heater control, before any instrument; arrays (n,)."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet
from sim.vehicle import code_memory

CODES = ("none", *code_memory.NAMES)
"""Trouble codes of the engine computer, in the order in which a reader shows them; SAE J2012 texts in
``sim.observation.scan_data``."""
NO_FRAME_C = 1000.0  # [degC] value for a missing freeze frame


def _first(fleet: Fleet, column: int) -> np.ndarray:
    """Index into CODES of the first code whose column is set, 0 for none."""
    order = np.array(code_memory.READ_ORDER)
    held = fleet.codes[:, order, column] > 0.5
    return np.where(held.any(axis=1), order[held.argmax(axis=1)] + 1.0, 0.0)


def stored_code(fleet: Fleet) -> np.ndarray:
    """Index into CODES of the stored code (SAE J1979 service 03). Shape (n,)."""
    return _first(fleet, code_memory.STORED)


def pending_code(fleet: Fleet) -> np.ndarray:
    """Index into CODES of the pending code, failed in this trip or the last completed one (service 07). Shape (n,)."""
    return _first(fleet, code_memory.PENDING)


def freeze_frame(fleet: Fleet) -> np.ndarray:
    """Coolant temperature [degC] in the freeze frame (service 02), NO_FRAME_C without one. Shape (n,)."""
    return np.where(fleet.switches["frame_of"] > 0.5, fleet.switches["frame_C"], NO_FRAME_C)


def not_ready(fleet: Fleet) -> np.ndarray:
    """1 until the thermostat monitor has completed since the codes were cleared. Shape (n,)."""
    return 1.0 - fleet.switches["ready"]


def door_code(fleet: Fleet) -> np.ndarray:
    """1 where the heater control has stored a blend door position fault. Shape (n,)."""
    return fleet.switches["door_code"].copy()


def blower_code(fleet: Fleet) -> np.ndarray:
    """1 where the heater control has stored a blower current fault. Shape (n,)."""
    return fleet.switches["blower_code"].copy()


def engine_lamp(fleet: Fleet) -> np.ndarray:
    """1 while the engine lamp is lit: by a stored code, or as a bulb check until the engine runs. Shape (n,)."""
    asked = (fleet.codes[:, :, code_memory.LAMP] > 0.5).any(axis=1)
    return fleet.controls["ignition"] * np.maximum(asked, _bulb_check(fleet))


def charge_lamp(fleet: Fleet) -> np.ndarray:
    """1 while the charge lamp is lit: no charging, or bulb check before the engine runs. Shape (n,)."""
    silent = fleet.parameters["charging_works"] < 0.5
    return fleet.controls["ignition"] * np.maximum(silent, _bulb_check(fleet))


def _bulb_check(fleet: Fleet) -> np.ndarray:
    """Whether the engine is stopped, except by stop-start, during which a hybrid's lamps behave as if it ran."""
    return (fleet.algebraic["runs"] < 0.5) & (fleet.switches["stopped"] < 0.5)
