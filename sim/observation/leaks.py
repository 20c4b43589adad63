"""Leaks of coolant by their place, by eye, by lamp and under pressure; each function returns an array (n,)."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.fleet import Fleet


def wet_hose_ends(fleet: Fleet) -> np.ndarray:
    """Coolant leak at the hose ends [g/h at 50 kPa], as visible in an inspection. Shape (n,)."""
    return fleet.parameters["leak_hose"] * 3600.0 * 50.0


def wet_pump(fleet: Fleet) -> np.ndarray:
    """Coolant leak at the coolant pump's weep hole. Shape (n,)."""
    return fleet.parameters["leak_pump"] * 3600.0 * 50.0


def wet(name: str) -> Callable[[Fleet], np.ndarray]:
    """The same at another place, given by the name of its leak."""
    return lambda fleet: fleet.parameters[name] * 3600.0 * 50.0


def wet_hoses(fleet: Fleet) -> np.ndarray:
    """The same at the heater hoses, their ends and what joins them. Shape (n,)."""
    return (fleet.parameters["leak_hose"] + fleet.parameters["leak_tee"]) * 3600.0 * 50.0


def pressure_drop(fleet: Fleet) -> np.ndarray:
    """Pressure drop [kPa] in five minutes, of a cold loop pumped to the cap's rating. Shape (n,)."""
    return _fall(fleet, fleet.parameters["leak_core"] + fleet.parameters["leak_tee"])


def pressure_drop_pinched(fleet: Fleet) -> np.ndarray:
    """The same with both heater hoses pinched off at the engine. Shape (n,)."""
    return _fall(fleet, np.zeros(len(fleet)))


def _fall(fleet: Fleet, behind: np.ndarray) -> np.ndarray:
    """Pressure drop [kPa], with leaks (n,) [g/s/kPa] beyond the places where the heater hoses are pinched."""
    p, q = fleet.parameters, fleet.algebraic
    before = p["leak_hose"] + p["leak_pump"] + p["leak_radiator"] + p["leak_housing"] + p["leak_tank"]
    leaks = before + behind + q["head_leak"]
    lost_L = leaks * 0.001 * p["cap_kPa"] * 300.0 / 1.05
    compliance = p["compliance_L_kPa"] + np.maximum(q["gas_L"], 0.0) / (p["cap_kPa"] + 101.0)
    return p["cap_kPa"] * -np.expm1(-lost_L / (compliance * p["cap_kPa"]))
