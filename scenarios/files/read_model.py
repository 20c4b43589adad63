"""From entries of data files to the objects of ``scenarios.model``: one function for each kind of thing."""

from scenarios.files.data_node import Node
from scenarios.files.entry import Entry
from scenarios.files.limits import limits
from scenarios.language import _, say
from scenarios.model import (
    BAY,
    COMPLAINTS,
    COST_CLASSES,
    CRITERIA,
    DASH,
    HAZARDS,
    NEEDS,
    PLACES,
    SEAT,
    STATES,
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
from sim.vehicle.parameters import PARAMETERS, Parameter
from sim.vehicle.states import CONTROLS

SETTABLE = {
    "heater": 1.0,
    "blower": 4.0,
    "vents": 2.0,
    "recirculation": 1.0,
    "ignition": 1.0,
    "engine": 1.0,
    "rpm": 4500.0,
}
"""Controls that a check may hold for a reading, and their greatest value."""

assert SETTABLE.keys() <= set(CONTROLS.names or ())


def _within(node: Node, parameter: Parameter) -> float:
    low, high = limits(parameter)
    return node.number(low=low, high=high)


def vehicle(entry: Entry) -> Vehicle:
    """A vehicle; its figures must be known parameters within their limits."""
    parameters = {}
    for name, (key, value) in entry.table("parameters").items():
        with entry.reading.problems:
            key.choice(PARAMETERS.keys())
            parameters[name] = _within(value, PARAMETERS[name])
    return Vehicle(
        id=entry.identifier("id"),
        name=entry.text("name", longest=40),
        about=entry.prose("about"),
        equipment=frozenset(entry.words("equipment")),
        parameters=parameters,
        manual=entry.texts("manual"),
        finds=entry.texts("finds", "check"),
    )


def _change(entry: Entry) -> Change:
    name = entry.choice("parameter", PARAMETERS.keys())
    to = factor = between = None
    given = [key for key in ("to", "factor", "between") if key in entry]
    if len(given) != 1:
        wrong = say("a change with {goals}", goals=", ".join(map(repr, given))) if given else _("a change with no goal")
        entry.problem("factor", wrong, _("one of 'to', 'factor' and 'between'"))
    elif name and "between" in entry:
        between = entry.pair("between", *limits(PARAMETERS[name]))
    elif name:
        to, factor = _goal(entry, PARAMETERS[name])
    chance = entry.number("chance", low=0.001, high=1.0, default=1.0)
    entry.done()
    return Change(name, to, factor, chance, between)


def _goal(entry: Entry, parameter: Parameter) -> tuple[float | None, float | None]:
    """Value or factor at severity 1, of which one is given."""
    to = entry.value("to")
    if to is not None:
        return entry.read(lambda: _within(to, parameter), 0.0), None
    factor = entry.number("factor", low=1e-9)
    low, high = limits(parameter)
    if parameter.default and not low <= parameter.default * factor <= high:
        reached = say(
            "{parameter} of {value} at severity 1",
            parameter=parameter.name,
            value=f"{parameter.default * factor:g} {parameter.unit}",
        )
        entry.problem("factor", reached, say("one that stays within {low:g} to {high:g}", low=low, high=high))
    return None, factor


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
    sets = {}
    for name, (key, value) in entry.table("sets").items():
        with entry.reading.problems:
            key.choice(SETTABLE.keys())
            sets[name] = value.number(low=0.0, high=SETTABLE[name])
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
        best_when=entry.choices("best_when", STATES),
        requires=frozenset(entry.names("requires", "equipment")),
        cautions=entry.names("cautions", "caution"),
        opens_cap=entry.boolean("opens_cap", default=False),
        does=entry.names("does", "operation"),
        protected=entry.boolean("protected", default=False),
        readings=tuple(map(_reading, entry.entries("readings", least=1))),
        normal=entry.prose("normal"),
        drive_kmh=entry.number("drive_kmh", low=0.0, high=130.0, default=0.0),
        changes_meanwhile=entry.boolean("changes_meanwhile", default=False),
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
    )


def caution(entry: Entry) -> Caution:
    """A caution."""
    return Caution(
        entry.identifier("id"),
        entry.prose("text"),
        entry.boolean("critical", default=False),
        frozenset(entry.names("requires", "equipment")),
        entry.choice("when", HAZARDS) if "when" in entry else "",
    )


def _planted(entry: Entry) -> Planted:
    name = entry.name("fault", "fault")
    severity = entry.number("severity", low=0.0, high=1.0) if "severity" in entry else None
    days = entry.integer("days", low=1, high=60) if "days" in entry else None
    entry.done()
    return Planted(name, severity, days)


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
        competences={
            code: entry.read(lambda value=value: value.choice(CRITERIA), "")
            for code, (_key, value) in entry.table("competences").items()
        },
        competent_minutes=entry.number("competent_minutes", low=0.0, high=1e4)
        if "competent_minutes" in entry
        else None,
        competent_checks=entry.integer("competent_checks", low=0, high=1000) if "competent_checks" in entry else None,
        diagnosis_only=entry.boolean("diagnosis_only", default=False),
    )
