"""Texts that no source line holds as they are read: the catalogue's, and the words of the instruments."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from grading.sessions.perception import SENSES
from scenarios.model import Caution, Check, Fault, Job, ReadingSpec, Repair, Vehicle
from sim.observation.instruments import INSTRUMENTS
from tests.packaged import packaged_catalogue

READ: dict[type, tuple[str, ...]] = {
    Vehicle: ("name", "about", "manual", "finds"),
    Fault: ("name", "part", "mode", "explains", "prevents"),
    Check: ("name", "tool", "readings", "normal"),
    ReadingSpec: ("label",),
    Repair: ("name", "part", "hazard", "poor_work"),
    Caution: ("text",),
    Job: ("title", "customer", "complaint", "history"),
}
"""Fields that people read; of a mapping its values, and its keys too where they are words (a vehicle's ``manual``)."""
UNREAD: dict[type, tuple[str, ...]] = {
    Vehicle: ("id", "equipment", "parameters"),
    Fault: (
        *("id", "system", "rate", "rate_note", "severity", "requires", "excludes", "changes", "cured_by"),
        *("relieved_by", "cured_in_passing", "relief_days", "shows", "comes_and_goes", "leads_to"),
        "looked_at_by",
    ),
    Check: (
        *("id", "place", "minutes", "needs", "best_when", "requires", "cautions", "opens_cap", "does", "protected"),
        *("drive_kmh", "changes_meanwhile", "excludes"),
    ),
    ReadingSpec: ("quantity", "instrument", "sets", "at"),
    Repair: (
        *("id", "place", "minutes", "cost", "needs", "requires", "cautions", "opens_cap", "renews", "does"),
        *("proven_by", "excludes"),
    ),
    Caution: ("id", "critical", "requires", "when", "excludes"),
    Job: (
        *("id", "vehicle", "faults", "ambient_C", "altitude_m", "mileage_km", "difficulty", "warm_enough_C"),
        *("complains_of", "comes_and_goes", "competences", "competent_minutes", "competent_checks", "diagnosis_only"),
    ),
}
"""The others: ids, numbers, and words whose lists are marked in ``scenarios.model``."""


def texts_of(thing: Any, where: str) -> Iterator[tuple[str, str]]:
    """Every text of a thing that people read, and where it stands."""
    for name in READ[type(thing)]:
        value = getattr(thing, name)
        if isinstance(value, str):
            yield value, f"{where}, {name}"
        elif isinstance(value, dict):
            for key, text in value.items():
                if name == "manual":
                    yield key, f"{where}, {name}"
                yield text, f"{where}, {name} {key}"
        else:
            for item in value:
                yield from texts_of(item, f"{where}, {name}")


def catalogue_texts() -> Iterator[tuple[str, str]]:
    """Every text of the packaged catalogue, and where it stands."""
    catalogue = packaged_catalogue()
    for kind in fields(catalogue):
        for name, thing in getattr(catalogue, kind.name).items():
            if is_dataclass(thing):
                yield from texts_of(thing, f"{kind.name.removesuffix('s')} {name}")
    for check in catalogue.checks.values():
        yield check.tool.split(",")[0], f"check {check.id}, heading of its tool"


def sense_texts() -> Iterator[tuple[str, str]]:
    """What is noticed without a reading, and its words."""
    for label, sense in SENSES.items():
        yield label, f"sense {label}"
        for word in getattr(INSTRUMENTS[sense.instrument], "words", ()):
            yield word, f"sense {label}, word"


def instrument_texts() -> Iterator[tuple[str, str]]:
    """Names, units and words of every instrument."""
    for name, instrument in INSTRUMENTS.items():
        yield instrument.name, f"instrument {name}"
        if instrument.unit:
            yield instrument.unit, f"instrument {name}, unit"
        if over := getattr(instrument, "over", ""):
            yield over, f"instrument {name}, beyond its range"
        for word in getattr(instrument, "words", ()):
            yield word, f"instrument {name}, word"
