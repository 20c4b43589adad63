"""Whether a fault changes any vehicle and its cures restore something, from parameters alone and without simulation."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from scenarios.files.data_error import DataError, quoted
from scenarios.files.entry import Entry
from scenarios.language import _, say
from scenarios.model import Catalogue, Change, Fault, Repair, Vehicle
from scenarios.planting import plant
from sim.laws.actuators import BLEND_CONTACT, BLOWER_CONTACT, BRUSH_CONTACT, SENSOR_CONTACT, VALVE_CONTACT
from sim.repairs import SEALED_LEAKS
from sim.vehicle.parameters import healthy

_LEVEL = frozenset({"missing_L", "bottle_L", "morning_kPa"})
_FILLED = _LEVEL | {"core_air_share"}
_FUSE = frozenset({"blower_fuse"})
_LOOM = _FUSE | {"loom_burnt"}
_RINSED = _FILLED | {"core_clear"}
MENDS: dict[str, frozenset[str]] = {
    "top up": _LEVEL,
    "bleed": frozenset({"core_air_share"}),
    "fill and bleed": _FILLED,
    "pump routine": _FILLED,
    "bleed rear": frozenset({"rear_air_share"}),
    "vacuum fill": _FILLED | {"rear_air_share"},
    "flush core": _RINSED,
    "flush hard": _RINSED,
    "fresh coolant": _FILLED | {"glycol", "coolant_V", "sludge", "sealant"},
    "top up with water": _LEVEL,
    "add sealant": _LEVEL | frozenset(SEALED_LEAKS),
    "dry carpet": frozenset({"carpet_g"}),
    "new gasket": _FILLED,
    "fit fuse": _FUSE,
    "fit larger fuse": _LOOM,
    "bridge fuse": _LOOM,
    "tie valve open": frozenset({"valve_least"}),
    "tie valve open, line left off": frozenset({"valve_least"}),
    "bypass valve": _FILLED | {"has_valve"},
    "relearn actuator": frozenset({"blend_learned"}),
    "fit actuator unlearned": frozenset(),
    "tighten clips": frozenset({"leak_hose"}),
    "tighten belt": frozenset({"pump_drive"}),
    "mend blower contact": frozenset(),
    "mend brushes": frozenset(),
    "mend valve contact": frozenset(),
    "mend blend contact": frozenset(),
    "mend sensor contact": frozenset(),
    "clear codes": frozenset(),
}
"""Operation of ``sim.repairs`` to the parameters that it restores or whose effect on arrival it removes."""

MENDS_CONTACT = {
    "mend blower contact": BLOWER_CONTACT,
    "mend brushes": BRUSH_CONTACT,
    "mend valve contact": VALVE_CONTACT,
    "mend blend contact": BLEND_CONTACT,
    "mend sensor contact": SENSOR_CONTACT,
}
"""Operation to the loose contact that it repairs."""


def effect_errors(catalogue: Catalogue, fault: Fault, entry: Entry) -> Iterator[DataError]:
    """Errors for changes of a fault that change no vehicle, and for cures that restore nothing on any vehicle."""
    vehicles = [vehicle for vehicle in catalogue.vehicles.values() if fault.fits(vehicle)]
    if not vehicles or not fault.changes:
        return
    for change, node in zip(fault.changes, entry.listed("changes"), strict=True):
        if not any(_changed(vehicle, fault, change) for vehicle in vehicles):
            wrong = say("a change of {parameter} that changes nothing", parameter=quoted(change.parameter))
            yield node.error(wrong, _("a value that a sound vehicle does not have"))
    for name, node in zip(fault.cured_by, entry.listed("cured_by"), strict=True):
        repair = catalogue.repairs.get(name)
        if repair is None:
            continue
        fitting = [vehicle for vehicle in vehicles if repair.fits(vehicle)]
        if fitting and not any(_cures(repair, vehicle, fault) for vehicle in fitting):
            changed = ", ".join(dict.fromkeys(change.parameter for change in fault.changes))
            wrong = say("the repair {name}, which cures nothing of this fault", name=quoted(name))
            yield node.error(wrong, say("one that brings back some of {parameters}", parameters=changed))


def _parameter_values(vehicle: Vehicle, fault: Fault, change: Change) -> tuple[np.ndarray, np.ndarray]:
    """Values of a changed parameter, healthy and with the fault at its worst, for several variants."""
    variant = np.array([0.0, 0.4 * change.chance, 0.8 * change.chance])
    sound = healthy(len(variant), vehicle.parameters)
    struck = sound.copy()
    plant(struck, replace(fault, changes=(change,)), np.full(len(variant), fault.severity[1]), variant)
    return sound[change.parameter], struck[change.parameter]


def _changed(vehicle: Vehicle, fault: Fault, change: Change) -> bool:
    sound, struck = _parameter_values(vehicle, fault, change)
    return bool((sound != struck).any())


def _cures(repair: Repair, vehicle: Vehicle, fault: Fault) -> bool:
    """Whether a repair restores any parameter that the fault changes on a vehicle."""
    mended = {*repair.renews, *(name for operation in repair.does for name in MENDS.get(operation, ()))}
    contacts = [MENDS_CONTACT[operation] for operation in repair.does if operation in MENDS_CONTACT]
    for change in fault.changes:
        if change.parameter in mended and _changed(vehicle, fault, change):
            return True
        if change.parameter == "contact_of" and np.isin(_parameter_values(vehicle, fault, change)[1], contacts).any():
            return True
    return False
