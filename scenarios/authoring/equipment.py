"""Consistency of a vehicle's equipment: parts that exclude each other, and the parameters that go with a part."""

from __future__ import annotations

from collections.abc import Iterator

from scenarios.files.data_error import DataError, one_of, quoted
from scenarios.files.data_node import Node
from scenarios.files.entry import Entry
from scenarios.language import _, say
from scenarios.model import Catalogue, Vehicle
from sim.vehicle.parameters import PARAMETERS

EXCLUSIVE = (
    ("valve-cable", "valve-vacuum", "valve-electric", "three-way-valve"),
    ("blend-cable", "blend-vacuum", "blend-motor"),
    ("mode-motor", "vacuum-doors"),
    ("resistor-pack", "blower-controller"),
    ("radiator-cap", "expansion-tank"),
    ("overflow-bottle", "expansion-tank"),
    ("electric-fan", "viscous-fan"),
    ("petrol", "diesel", "electric-drive"),
    ("pump-belt", "electric-main-pump"),
)
"""A vehicle has at most one part of each group."""

FIGURES = {
    "valve-cable": ("valve_drive", 0.0),
    "valve-vacuum": ("valve_drive", 1.0),
    "valve-electric": ("valve_drive", 2.0),
    "heater-valve": ("has_valve", 1.0),
    "blend-cable": ("blend_drive", 0.0),
    "blend-vacuum": ("blend_drive", 1.0),
    "blend-motor": ("blend_drive", 2.0),
    "resistor-pack": ("blower_electronic", 0.0),
    "blower-controller": ("blower_electronic", 1.0),
    "overflow-bottle": ("has_bottle", 1.0),
    "radiator-cap": ("has_bottle", 1.0),
    "expansion-tank": ("has_bottle", 0.0),
    "electric-fan": ("fan_viscous", 0.0),
    "viscous-fan": ("fan_viscous", 1.0),
    "air-conditioning": ("ac_fitted", 1.0),
    "electric-drive": ("heat_at_1000", 0.0),
    "pump-belt": ("electric_rpm", 0.0),
}
"""Equipment to the vehicle parameter that goes with it, and its value."""


def equipment_errors(catalogue: Catalogue, vehicle: Vehicle, entry: Entry) -> Iterator[DataError]:
    """Errors in the equipment of a vehicle; entry: that it was read from."""
    words: dict[str, Node] = {str(node.value): node for node in entry.listed("equipment")}
    asked_for = _asked_for(catalogue)
    for word, node in words.items():
        if word not in asked_for:
            wrong = say("the equipment {name}, which no fault, check, repair or caution asks for", name=quoted(word))
            yield node.error(wrong, one_of(word, asked_for))
    for group in EXCLUSIVE:
        first, *others = [word for word in words if word in group] or [""]
        for word in others:
            values = {"name": quoted(word), "other": quoted(first)}
            yield words[word].error(say("{name} beside {other}", **values), _("one of them: they exclude each other"))
    for word, (name, value) in FIGURES.items():
        given = vehicle.parameters.get(name, PARAMETERS[name].default)
        if word in words and given != value:
            values = {"word": quoted(word), "name": name, "given": given}
            place = entry.table("parameters").get(name, (words[word], words[word]))[1]
            yield place.error(say("{name} of {given:g} with {word}", **values), f"{value:g}")


def _asked_for(catalogue: Catalogue) -> set[str]:
    """Equipment that anything requires or excludes, and all members of the groups in EXCLUSIVE."""
    things = [*catalogue.faults.values(), *catalogue.checks.values(), *catalogue.repairs.values()]
    things = [*things, *catalogue.cautions.values()]
    words = {word for thing in things for word in thing.requires | thing.excludes}
    return words | {word for group in EXCLUSIVE for word in group}
