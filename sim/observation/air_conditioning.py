"""Quantities of the air conditioning, before any instrument; each function returns an array (n,)."""

from __future__ import annotations

import numpy as np

from sim.fleet import Fleet

CLUTCH_OHM = 3.6  # coil of a compressor's clutch (common practice)


def clutch_coil_ohm(fleet: Fleet) -> np.ndarray:
    """Resistance [ohm] of the coil of the compressor's clutch, unplugged. Shape (n,)."""
    return np.where(fleet.parameters["ac_clutch"] > 0.5, CLUTCH_OHM, 1e6)


def refrigerant_pressure(fleet: Fleet) -> np.ndarray:
    """Pressure [kPa] in the refrigerant circuit at rest. Shape (n,).

    With liquid left it is the saturation pressure of R134a at ambient temperature, 293 kPa absolute at 0 degC and 572
    kPa at 20 degC, here a parabola (textbook, M); below a fifth of a charge no liquid is left (estimate).
    """
    ambient = fleet.controls["ambient_C"]
    saturated = 293.0 + 10.6 * ambient + 0.17 * ambient**2 - 101.0
    return np.maximum(saturated, 0.0) * np.minimum(fleet.parameters["refrigerant"] / 0.2, 1.0)
