"""Consistency of a catalogue: every name is known, and entries that refer to each other fit."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from scenarios.files.data_error import Problems, one_of, quoted
from scenarios.files.data_node import Node
from scenarios.files.entry import Entry, Reference
from scenarios.language import N_, _, say
from scenarios.model import COMPLAINTS, ROAD, Catalogue, Job, Vehicle

HEALTHY = "none"
"""Id of the entry that stands for no fault."""

_REFERRED_TO = (
    *(N_("vehicle"), N_("fault"), N_("check"), N_("repair"), N_("caution"), N_("equipment")),
    *(N_("quantity"), N_("instrument"), N_("operation"), N_("repair or working check")),
)
"""Kinds of reference, as messages name them."""

Entries = Mapping[str, Mapping[str, Entry]]
"""Entries that the catalogue was read from: kind (`faults`) to id to entry."""


def names_of(things: Mapping[str, Mapping[str, Any]]) -> dict[str, Collection[str]]:
    """Known names by kind of reference; things: kind (`faults`) to id to object."""
    vehicles: Iterable[Vehicle] = things["vehicles"].values()
    known: dict[str, Collection[str]] = {kind.removesuffix("s"): by_id for kind, by_id in things.items()}
    working = {name for name, check in things["checks"].items() if check.does}
    return known | {
        "equipment": {word for vehicle in vehicles for word in vehicle.equipment},
        "repair or working check": {*things["repairs"], *working},
    }


def names_of_physics() -> dict[str, Collection[str]]:
    """Names known to the compiled physics, by kind of reference. Imported when called, as that is slow."""
    from sim.observation.instruments import INSTRUMENTS
    from sim.observation.quantities import QUANTITIES
    from sim.repairs import OPERATIONS

    return {"quantity": QUANTITIES, "instrument": INSTRUMENTS, "operation": OPERATIONS}


def check_names(
    references: Iterable[Reference], names: Mapping[str, Collection[str]], problems: Problems
) -> list[Reference]:
    """Collect an error for each reference to an unknown name of a kind in `names`; return these references."""
    unknown = []
    for reference in references:
        known = names.get(reference.kind)
        if known is not None and reference.name not in known:
            wrong = say("unknown {kind} {name}", kind=_(reference.kind), name=quoted(reference.name))
            problems.add(reference.node.error(wrong, one_of(reference.name, known)))
            unknown.append(reference)
    return unknown


def check_fits(catalogue: Catalogue, entries: Entries, whole: bool = True) -> None:
    """Keeps an error for whatever does not fit together, names that are unknown aside.

    entries: those to look at; whole: whether every vehicle and repair is known; a fault is held against them only then.
    """
    for name, entry in entries["vehicles"].items():
        _vehicle_fits(catalogue, name, entry)
    for name, entry in entries["faults"].items() if whole else ():
        _fault_fits(catalogue, name, entry)
    for name, entry in entries["checks"].items():
        _check_fits(catalogue, name, entry)
    for name, entry in entries["jobs"].items():
        _job_fits(catalogue, name, entry)


def _vehicle_fits(catalogue: Catalogue, name: str, entry: Entry) -> None:
    vehicle = catalogue.vehicles[name]
    for check, (key, _value) in entry.table("finds").items():
        if check in catalogue.checks and not catalogue.checks[check].fits(vehicle):
            wrong = say("the check {name} does not exist on this vehicle", name=quoted(check))
            entry.context.problems.add(key.error(wrong, _("a check whose required equipment it has")))


def _fault_fits(catalogue: Catalogue, name: str, entry: Entry) -> None:
    fault = catalogue.faults[name]
    if (name == HEALTHY) == bool(fault.changes):
        entry.problem(
            "changes",
            say("{number} changes", number=len(fault.changes)),
            say("none for {name}, some for any other fault", name=quoted(HEALTHY)),
        )
    vehicles = [vehicle for vehicle in catalogue.vehicles.values() if fault.fits(vehicle)]
    if not vehicles:
        entry.problem("requires", _("a fault that no vehicle can have"), _("equipment that some vehicle has"))
    cures = [catalogue.repairs[cure] for cure in fault.cured_by if cure in catalogue.repairs]
    for vehicle in vehicles:
        if fault.changes and not any(cure.fits(vehicle) for cure in cures):
            wrong = say("no repair that cures it on the vehicle {name}", name=quoted(vehicle.id))
            entry.problem("cured_by", wrong, _("at least one that exists there"))


def _check_fits(catalogue: Catalogue, name: str, entry: Entry) -> None:
    check = catalogue.checks[name]
    if (check.place == ROAD) != (check.drive_kmh > 0.0):
        wrong = say(
            "drive_kmh of {speed} for a check of place {name}", speed=f"{check.drive_kmh:g}", name=quoted(check.place)
        )
        entry.problem("drive_kmh", wrong, _("one above 0 on the road, none elsewhere"))
    labels = [reading.label for reading in check.readings]
    if repeated := {label for label in labels if labels.count(label) > 1}:
        entry.problem("readings", say("the label {name} again", name=quoted(min(repeated))), _("each label once"))


def _job_fits(catalogue: Catalogue, name: str, entry: Entry) -> None:
    job = catalogue.jobs[name]
    vehicle = catalogue.vehicles.get(job.vehicle)
    nodes: list[Node] = entry.read(lambda: entry.node.mapping().items("faults", default=[]), [])
    seen: set[str] = set()
    for node, planted in zip(nodes, job.faults, strict=False):
        fault = catalogue.faults.get(planted.fault)
        if fault is None:
            continue
        problems = entry.context.problems
        if fault.id == HEALTHY:
            problems.add(
                node.error(say("the fault {name}", name=quoted(HEALTHY)), _("an empty list where nothing is wrong"))
            )
        if fault.id in seen:
            problems.add(node.error(say("the fault {name} again", name=quoted(fault.id)), _("each fault once")))
        seen.add(fault.id)
        if vehicle is not None and not fault.fits(vehicle):
            wrong = say(
                "the vehicle {vehicle} cannot have the fault {fault}",
                vehicle=quoted(vehicle.id),
                fault=quoted(fault.id),
            )
            problems.add(node.error(wrong, one_of(fault.id, [f.id for f in catalogue.faults_of(vehicle)])))
        low, high = fault.severity
        if planted.severity is not None and not low <= planted.severity <= high:
            wrong = say("the severity {value}", value=f"{planted.severity:g}")
            problems.add(node.error(wrong, say("one that the fault has, {low:g} to {high:g}", low=low, high=high)))
    _complaint_fits_fault(catalogue, job, entry)


def _complaint_fits_fault(catalogue: Catalogue, job: Job, entry: Entry) -> None:
    """Collect an error where a complaint is not one that the first fault shows."""
    root = catalogue.faults.get(job.faults[0].fault if job.faults else HEALTHY)
    if root is None:
        return
    complaints: list[Node] = entry.read(lambda: entry.node.mapping().items("complains_of", default=[]), [])
    for node in complaints:
        if node.value in COMPLAINTS and node.value not in root.shows:
            names = {"complaint": quoted(str(node.value)), "fault": quoted(root.id)}
            wrong = say("the complaint {complaint}, which {fault} does not bring", **names)
            entry.context.problems.add(node.error(wrong, one_of(str(node.value), root.shows)))
    if job.comes_and_goes and not root.comes_and_goes:
        wrong = say("true, while {fault} does not come and go", fault=quoted(root.id))
        entry.problem("comes_and_goes", wrong, "false")
