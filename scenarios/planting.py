"""Putting faults into vehicles: their changes of parameters, scaled by severity, and what days of use make of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from scenarios.daily_use import ARRIVAL, live
from scenarios.model import Fault
from sim.vehicle.records import copy_records


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


@dataclass(frozen=True, slots=True)
class Struck:
    """A fault that a vehicle has: severity and luck as in ``plant``; days it was driven with it, None: not told."""

    fault: Fault
    severity: float
    luck: float
    days: int | None = None


def strike(parameters: np.ndarray, faults: Sequence[Struck], ambient_C: float, atmosphere_kPa: float) -> np.ndarray:
    """Parameters (1,) of a vehicle as it arrives with its faults, in that weather [degC] and air [kPa].

    parameters (1,): of the good vehicle, left alone. A fault without days stands as it was imagined: a leak has left
    as much as its severity says. One with days begins on a full, bled vehicle, which is then driven for those days:
    what is missing, trapped or wet at their end has come about by itself. The oldest begins first.
    """
    parameters = copy_records(parameters)
    old = sorted((each for each in faults if each.days is not None), key=lambda each: -(each.days or 0))
    for each, ends in zip(old, [*(later.days or 0 for later in old[1:]), 0][: len(old)], strict=True):
        _plant_one(parameters, each, begun(each.fault))
        parameters = live(parameters, (each.days or 0) - ends, ambient_C, atmosphere_kPa)
    for each in faults:
        if each.days is None:
            _plant_one(parameters, each, each.fault)
    return parameters


def gets_worse(fault: Fault) -> bool:
    """Whether days of use make of the part that is bad what the fault shows, as of a leak."""
    return begun(fault).changes != fault.changes


def begun(fault: Fault) -> Fault:
    """The fault on its first day: the part is bad and nothing has come of it, unless that alone is the fault."""
    parts = tuple(change for change in fault.changes if change.parameter not in ARRIVAL)
    return replace(fault, changes=parts or fault.changes)


def _plant_one(parameters: np.ndarray, each: Struck, fault: Fault) -> None:
    plant(parameters, fault, np.array([each.severity]), np.array([each.luck]))
