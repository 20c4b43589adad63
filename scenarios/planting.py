"""Putting a fault into vehicles: its changes of parameters, scaled by severity."""

from __future__ import annotations

import numpy as np

from scenarios.model import Fault


def plant(parameters: np.ndarray, fault: Fault, severity: np.ndarray, luck: np.ndarray) -> None:
    """Change parameters (n,) in place as the fault does.

    severity (n,): 0 healthy to 1 worst; luck (n,): 0..1, decides changes that not every vehicle with the fault has, and
    values drawn between bounds.
    """
    for change in fault.changes:
        old = parameters[change.parameter]
        if change.to is not None:
            new = old + severity * (change.to - old)
        elif change.between is not None:
            low, high = change.between
            new = low + (high - low) * luck
        else:
            assert change.factor is not None
            new = old * change.factor**severity
        parameters[change.parameter] = np.where(luck < change.chance, new, old)
