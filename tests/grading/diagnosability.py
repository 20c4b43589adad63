"""How well a set of checks can tell faults apart: detection, isolation and ambiguity groups after IEEE 1522.

A row of the matrix is what a fault shows in each check, 0 for what a sound vehicle shows. Formulas from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Diagnosability:
    """groups: faults (indices) that show the same, of those that are detected; detected, isolated: share of faults
    [-] that show at all, and share of the detected that no other fault looks like; group_size: mean, over groups or
    expected by rate.
    """

    groups: tuple[tuple[int, ...], ...]
    detected: float
    detected_by_rate: float
    isolated: float
    isolated_by_rate: float
    mean_group: float
    expected_group: float


def diagnosability(shown: np.ndarray, rates: np.ndarray) -> Diagnosability:
    """Figures of a matrix (faults, checks), rates [any unit] (faults,). At least one fault must show."""
    rows: dict[tuple[int, ...], list[int]] = {}
    for fault, row in enumerate(shown.tolist()):
        if any(row):
            rows.setdefault(tuple(row), []).append(fault)
    groups = tuple(tuple(group) for group in rows.values())
    seen = sorted(fault for group in groups for fault in group)
    alone = [group[0] for group in groups if len(group) == 1]
    rate = float(rates[seen].sum())
    return Diagnosability(
        groups,
        len(seen) / len(shown),
        rate / float(rates.sum()),
        len(alone) / len(seen),
        float(rates[alone].sum()) / rate,
        len(seen) / len(groups),
        sum(len(group) * float(rates[list(group)].sum()) for group in groups) / rate,
    )
