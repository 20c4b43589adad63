"""Reads the classes of ``scenarios.model`` from entries of data files: one function for each kind."""

from scenarios.files.entry import Entry
from scenarios.files.limits import limits
from scenarios.language import say
from scenarios.model import (
    BAY,
    COMPLAINTS,
    CONDITIONS,
    COST_CLASSES,
    CRITERIA,
    DASH,
    HAZARDS,
    NEEDS,
    PLACES,
    SEAT,
    SYSTEMS,
    Caution,
    Change,
    Check,
    Fault,
    Job,
    Planted,
    ReadingSpec,
    Repair,
    Vehicle,
)
from sim.vehicle.parameters import PARAMETERS
from sim.vehicle.states import CONTROLS

SETTABLE = {
    "heater": (0.0, 1.0),
    "blower": (0.0, 4.0),
    "vents": (0.0, 2.0),
    "recirculation": (0.0, 1.0),
    "ignition": (0.0, 1.0),
    "engine": (0.0, 1.0),
    "rpm": (0.0, 4500.0),
}
"""Controls that a check may hold for a reading, and their bounds."""

assert SETTABLE.keys() <= set(CONTROLS.names or ())

LIMITS = {name: limits(parameter) for name, parameter in PARAMETERS.items()}
"""Parameters and their limits."""


def vehicle(entry: Entry) -> Vehicle:
    """A vehicle; its figures must be known parameters within their limits."""
    return Vehicle(
        id=entry.identifier("id"),
        name=entry.text("name", longest=40),
        about=entry.prose("about"),
        equipment=frozenset(entry.words("equipment")),
        parameters=entry.figures("parameters", LIMITS),
        manual=entry.texts("manual"),
        finds=entry.texts("finds", "check"),
    )


def _change(entry: Entry) -> Change:
    name = entry.choice("parameter", PARAMETERS.keys())
    goals = entry.exactly_one("to", "factor", "between")
    to = entry.number_for("to", "parameter", name, LIMITS) if "to" in goals else None
    factor = _factor(entry, name) if "factor" in goals else None
    between = entry.pair_for("between", "parameter", name, LIMITS) if "between" in goals else None
    chance = entry.number("chance", low=0.001, high=1.0, default=1.0)
    entry.done()
    return Change(name, to, factor, chance, between)


def _factor(entry: Entry, name: str) -> float:
    """The factor at severity 1, with which a default vehicle must stay within the limits."""
    factor = entry.number("factor", low=1e-9)
    if name not in PARAMETERS:
        return factor
    parameter, (low, high) = PARAMETERS[name], LIMITS[name]
    if parameter.default and not low <= parameter.default * factor <= high:
        reached = say(
            "{parameter} of {value} at severity 1",
            parameter=parameter.name,
            value=f"{parameter.default * factor:g} {parameter.unit}",
        )
        entry.problem("factor", reached, say("one that stays within {low:g} to {high:g}", low=low, high=high))
    return factor


def fault(entry: Entry) -> Fault:
    """A fault and its changes of parameters."""
    return Fault(
        id=entry.identifier("id"),
        name=entry.text("name", longest=60),
        system=entry.choice("system", SYSTEMS),
        part=entry.text("part", longest=60),
        mode=entry.text("mode", longest=60),
        rate=entry.number("rate", low=0.001, high=1000.0),
        rate_note=entry.text("rate_note"),
        severity=entry.pair("severity", 0.0, 1.0),
        requires=frozenset(entry.names("requires", "equipment")),
        excludes=frozenset(entry.names("excludes", "equipment")),
        changes=tuple(map(_change, entry.entries("changes"))),
        cured_by=entry.names("cured_by", "repair"),
        relieved_by=entry.names("relieved_by", "repair"),
        explains=entry.prose("explains"),
        prevents=entry.prose("prevents"),
        cured_in_passing=entry.names("cured_in_passing", "repair or working check"),
        relief_days=entry.number("relief_days", low=0.0, high=3650.0, default=0.0),
        shows=entry.choices("shows", COMPLAINTS) or ("cold",),
        comes_and_goes=entry.boolean("comes_and_goes", default=False),
        leads_to=entry.names("leads_to", "fault"),
        looked_at_by=entry.names("looked_at_by", "check"),
    )


def _reading(entry: Entry) -> ReadingSpec:
    label = entry.text("label", longest=60)
    quantity = entry.name("quantity", "quantity")
    instrument = entry.name("instrument", "instrument")
    sets = entry.figures("sets", SETTABLE)
    at = entry.number("at", low=0.0, high=240.0) if "at" in entry else None
    entry.done()
    return ReadingSpec(label, quantity, instrument, sets, at)


def check(entry: Entry) -> Check:
    """A check and its readings."""
    return Check(
        id=entry.identifier("id"),
        name=entry.text("name", longest=60),
        place=entry.choice("place", PLACES),
        minutes=entry.number("minutes", low=0.1, high=240.0),
        tool=entry.text("tool", longest=60),
        needs=entry.choices("needs", NEEDS),
        best_when=entry.choices("best_when", CONDITIONS),
        requires=frozenset(entry.names("requires", "equipment")),
        cautions=entry.names("cautions", "caution"),
        opens_cap=entry.boolean("opens_cap", default=False),
        does=entry.names("does", "operation"),
        protected=entry.boolean("protected", default=False),
        readings=tuple(map(_reading, entry.entries("readings", least=1))),
        normal=entry.prose("normal"),
        drive_kmh=entry.number("drive_kmh", low=0.0, high=130.0, default=0.0),
        changes_meanwhile=entry.boolean("changes_meanwhile", default=False),
        excludes=frozenset(entry.names("excludes", "equipment")),
    )


def repair(entry: Entry) -> Repair:
    """A repair; it may renew known parameters only."""
    return Repair(
        id=entry.identifier("id"),
        name=entry.text("name", longest=60),
        part=entry.text("part", longest=60),
        place=entry.choice("place", (SEAT, BAY, DASH)),
        minutes=entry.number("minutes", low=0.1, high=1000.0),
        cost=entry.choice("cost", COST_CLASSES),
        needs=entry.choices("needs", NEEDS),
        requires=frozenset(entry.names("requires", "equipment")),
        cautions=entry.names("cautions", "caution"),
        opens_cap=entry.boolean("opens_cap", default=False),
        renews=entry.choices("renews", PARAMETERS.keys()),
        does=entry.names("does", "operation"),
        proven_by=entry.names("proven_by", "check"),
        hazard=entry.text("hazard", default=""),
        poor_work=entry.text("poor_work", default=""),
        excludes=frozenset(entry.names("excludes", "equipment")),
    )


def caution(entry: Entry) -> Caution:
    """A caution."""
    return Caution(
        entry.identifier("id"),
        entry.prose("text"),
        entry.boolean("critical", default=False),
        frozenset(entry.names("requires", "equipment")),
        entry.choice("when", HAZARDS) if "when" in entry else "",
        frozenset(entry.names("excludes", "equipment")),
    )


def _planted(entry: Entry) -> Planted:
    name = entry.name("fault", "fault")
    severity = entry.number("severity", low=0.0, high=1.0) if "severity" in entry else None
    days = entry.integer("days", low=1, high=60) if "days" in entry else None
    luck = entry.number("luck", low=0.0, high=1.0) if "luck" in entry else None
    entry.done()
    return Planted(name, severity, days, luck)


def job(entry: Entry) -> Job:
    """A job."""
    return Job(
        id=entry.identifier("id"),
        title=entry.text("title", longest=60),
        customer=entry.text("customer", longest=60),
        complaint=entry.prose("complaint"),
        complains_of=entry.choices("complains_of", COMPLAINTS, least=1),
        comes_and_goes=entry.boolean("comes_and_goes"),
        vehicle=entry.name("vehicle", "vehicle"),
        faults=tuple(map(_planted, entry.entries("faults", required=True))),
        ambient_C=entry.number("ambient_C", low=-40.0, high=50.0),
        altitude_m=entry.number("altitude_m", low=-400.0, high=4000.0, default=0.0),
        mileage_km=entry.number("mileage_km", low=0.0, high=2e6),
        history=entry.prose("history"),
        difficulty=entry.integer("difficulty", low=1, high=5),
        warm_enough_C=entry.number("warm_enough_C", low=0.0, high=80.0, default=45.0),
        competences=entry.chosen("competences", CRITERIA),
        competent_minutes=entry.number("competent_minutes", low=0.0, high=1e4)
        if "competent_minutes" in entry
        else None,
        competent_checks=entry.integer("competent_checks", low=0, high=1000) if "competent_checks" in entry else None,
        diagnosis_only=entry.boolean("diagnosis_only", default=False),
    )
