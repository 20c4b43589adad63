"""Fault injection: changes of parameters scaled by severity, and their consequences after days of use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from scenarios.daily_use import ARRIVAL, drive_days
from scenarios.model import Fault
from sim.vehicle.records import copy_records

MOST_MISSING = 0.85
"""Largest share of the loop's coolant that a fault leaves missing: a small loop loses less than a large one."""
_LITRES = ("jacket_L", "upper_hose_L", "radiator_L", "feed_hose_L", "core_L", "return_hose_L", "rear_L")


def plant(parameters: np.ndarray, fault: Fault, severity: np.ndarray, variant: np.ndarray) -> None:
    """Apply a fault to parameters (n,), in place.

    severity (n,): 0 healthy to 1 worst; variant (n,): quantile 0..1 that decides which optional changes of the fault a
    vehicle has, and the values that are drawn between bounds.
    """
    for change in fault.changes:
        old = parameters[change.parameter]
        if change.to is not None:
            new = old + severity * (change.to - old)
        elif change.between is not None:
            low, high = change.between
            new = low + (high - low) * variant
        else:
            assert change.factor is not None
            new = old * change.factor**severity
        if change.parameter == "missing_L":
            new = np.minimum(new, MOST_MISSING * sum(parameters[name] for name in _LITRES))
        parameters[change.parameter] = np.where(variant < change.chance, new, old)


@dataclass(frozen=True, slots=True)
class FaultInstance:
    """A fault of one vehicle: severity and variant as in ``plant``; days driven with it, None if not given."""

    fault: Fault
    severity: float
    variant: float
    days: int | None = None


def plant_faults(
    parameters: np.ndarray, faults: Sequence[FaultInstance], ambient_C: float, atmosphere_kPa: float
) -> np.ndarray:
    """Parameters (1,) of a vehicle as it arrives with its faults, at an ambient temperature [degC] and pressure [kPa].

    parameters (1,): of the healthy vehicle, not changed. A fault without days applies in full: a leak has lost as much
    coolant as its severity says. A fault with days starts on a full, bled vehicle that is then driven for those days,
    so that missing coolant, trapped air and wet carpet result from the simulation. The oldest fault starts first.
    """
    parameters = copy_records(parameters)
    old = sorted((each for each in faults if each.days is not None), key=lambda each: -(each.days or 0))
    for each, ends in zip(old, [*(later.days or 0 for later in old[1:]), 0][: len(old)], strict=True):
        _plant_instance(parameters, each, on_first_day(each.fault))
        parameters = drive_days(parameters, (each.days or 0) - ends, ambient_C, atmosphere_kPa)
    for each in faults:
        if each.days is None:
            _plant_instance(parameters, each, each.fault)
    return parameters


def gets_worse(fault: Fault) -> bool:
    """Whether the symptoms of a fault build up over days of use, as those of a leak do."""
    return on_first_day(fault).changes != fault.changes


def on_first_day(fault: Fault) -> Fault:
    """The fault on its first day: the changes of the part without their consequences, unless it has no others."""
    parts = tuple(change for change in fault.changes if change.parameter not in ARRIVAL)
    return replace(fault, changes=parts or fault.changes)


def _plant_instance(parameters: np.ndarray, each: FaultInstance, fault: Fault) -> None:
    plant(parameters, fault, np.array([each.severity]), np.array([each.variant]))
