"""What proves a repair: the air at the vents, measured after it and warm enough.

Which checks can prove it follows from what they look at, not from their names.
"""

from __future__ import annotations

from grading.sessions.record import Entry
from scenarios.model import Catalogue, Check, Job, Vehicle
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Display

PROVES = "vent temperature"
"""Quantity that proves a repair, by its name in ``sim.observation.quantities.QUANTITIES``."""


def _displays(check: Check) -> dict[str, Display]:
    """Label to instrument of the readings [degC] that can prove a repair.

    Air that was asked to be cold proves nothing, nor does a hand in the air.
    """
    found = {}
    for spec in check.readings:
        instrument = INSTRUMENTS[spec.instrument]
        hot = spec.sets.get("heater", 1.0) == 1.0
        if spec.quantity == PROVES and hot and isinstance(instrument, Display) and instrument.unit == "°C":
            found[spec.label] = instrument
    return found


def proof_check(catalogue: Catalogue, vehicle: Vehicle) -> Check | None:
    """The quickest check of a vehicle that can prove a repair, None where there is none."""
    able = [check for check in catalogue.checks_of(vehicle) if _displays(check)]
    return min(able, key=lambda check: (check.minutes, check.id), default=None)


def vent_air(catalogue: Catalogue, entry: Entry) -> float | None:
    """The coldest air [degC] that an action measured at the vents, None where it measured none."""
    check = catalogue.checks.get(entry.action.text(0)) if entry.data["verb"] == "check" else None
    displays = _displays(check) if check else {}
    readings = entry.data.get("readings", ())
    shown = [displays[r["label"]].value(int(r["step"])) for r in readings if r["label"] in displays]
    return min(shown, default=None)


def proves_warm(catalogue: Catalogue, job: Job, actions: list[Entry]) -> bool:
    """Whether the last measurement at the vents, after the last repair, showed air that is warm enough for the job."""
    last = max((k for k, entry in enumerate(actions) if entry.data["verb"] == "repair"), default=0)
    measured = [air for entry in actions[last:] if (air := vent_air(catalogue, entry)) is not None]
    return bool(measured) and measured[-1] >= job.warm_enough_C
