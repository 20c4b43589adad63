"""What a scan tool reads out of engine computer and heater control, and what their lamps show; arrays (n,)."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet
from sim.vehicle import code_memory

CODES = ("none", *code_memory.NAMES)
"""Trouble codes that the engine computer can set here, in the order in which one hides the next; SAE J2012 texts in
``sim.observation.scan_data``."""
NO_FRAME_C = 1000.0  # stands for a freeze frame that is not there [degC]


def _first(fleet: Fleet, column: int) -> np.ndarray:
    """Index into CODES of the first code whose column is 1, 0 where there is none."""
    held = fleet.codes[:, :, column] > 0.5
    return np.where(held.any(axis=1), held.argmax(axis=1) + 1.0, 0.0)


def stored_code(fleet: Fleet) -> np.ndarray:
    """Index into CODES of the stored code (SAE J1979 service 03). Shape (n,)."""
    return _first(fleet, code_memory.STORED)


def pending_code(fleet: Fleet) -> np.ndarray:
    """Index into CODES of the code that failed in this trip or the last one that judged it (service 07). Shape (n,)."""
    return _first(fleet, code_memory.PENDING)


def freeze_frame(fleet: Fleet) -> np.ndarray:
    """Coolant temperature [degC] in the freeze frame (service 02), NO_FRAME_C where there is none. Shape (n,)."""
    return np.where(fleet.switches["frame_of"] > 0.5, fleet.switches["frame_C"], NO_FRAME_C)


def not_ready(fleet: Fleet) -> np.ndarray:
    """1 until the thermostat's monitor has come to a result since the codes were cleared. Shape (n,)."""
    return 1.0 - fleet.switches["ready"]


def door_code(fleet: Fleet) -> np.ndarray:
    """1 where the heater control remembers a blend door that did not reach its place. Shape (n,)."""
    return fleet.switches["door_code"].copy()


def blower_code(fleet: Fleet) -> np.ndarray:
    """1 where the heater control remembers a blower that drew no current. Shape (n,)."""
    return fleet.switches["blower_code"].copy()


def engine_lamp(fleet: Fleet) -> np.ndarray:
    """1 while the engine lamp is lit: by a stored code, and as a bulb check until the engine runs. Shape (n,)."""
    asked = (fleet.codes[:, :, code_memory.LAMP] > 0.5).any(axis=1)
    return fleet.controls["ignition"] * np.maximum(asked, _bulb_check(fleet))


def charge_lamp(fleet: Fleet) -> np.ndarray:
    """1 while the charge lamp is lit: nothing charges the battery, with the engine running or not. Shape (n,)."""
    silent = fleet.parameters["charging_works"] < 0.5
    return fleet.controls["ignition"] * np.maximum(silent, _bulb_check(fleet))


def _bulb_check(fleet: Fleet) -> np.ndarray:
    """Whether an engine stands that has not stopped itself: a hybrid goes on as if it ran."""
    return (fleet.algebraic["runs"] < 0.5) & (fleet.switches["stopped"] < 0.5)
