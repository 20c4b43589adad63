"""Figures that the engine computer holds about its own type of engine."""

from __future__ import annotations

import numpy as np


def calibrated(p: np.ndarray) -> dict[str, np.ndarray]:
    """Warm-up calibration of the engine computer: slowest warm-up, heater at its greatest load.

    A block with a weak thermal link to the metal takes little part in a warm-up; the heat it does take counts as a
    loss. The margins are own estimates: the slowest sound engine of a type warms faster
    (``tests.scenarios.disputed.test_codes``).
    """
    litres = p["jacket_L"] + p["feed_hose_L"] + p["core_L"] + p["return_hose_L"] + p["rear_L"]
    part = p["metal_block_W_K"] / (p["metal_block_W_K"] + 60.0)
    store = p["metal_kJ_K"] + part * p["block_kJ_K"] + 3.5 * litres
    heater = 1200.0 * 0.85 * p["blower_m3_s"] + 800.0 * p["rear_air_kg_s"] * (p["rear_L"] > 0.0)
    lost = heater + p["block_loss_W_K"] + np.minimum((1.0 - part) * p["metal_block_W_K"], 20.0) + 20.0
    return {"regulates_C": p["opens_C"], "expected_kJ_K": 1.5 * store, "expected_W_K": 1.15 * lost}
