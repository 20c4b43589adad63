"""Plan of a set of drawn jobs, read from an instructor's plan file."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from scenarios.authoring.own_jobs import own_jobs
from scenarios.files.data_node import Node
from scenarios.files.entry import Entry, LoadContext
from scenarios.files.strict_yaml import load
from scenarios.language import _, say
from scenarios.model import SYSTEMS, Catalogue

MOST_JOBS = 500
COLDEST_C, HOTTEST_C = -25.0, 35.0
USUAL_WEATHER_C = (-6, 8)
EASIEST, HARDEST = 1, 5
SHARES = ("nothing_wrong", "two_faults", "come_and_go", "earlier_work")


@dataclass(frozen=True)
class Plan:
    """Requirements for a set of drawn jobs.

    jobs: number in each version; systems, vehicles: drawn equally often, empty for all vehicles, or for faults by their
    rates alone; difficulty: lowest and highest accepted, 1 to 5; weather: lowest and highest ambient temperature
    [degC]; nothing_wrong, two_faults, come_and_go: shares of jobs without a fault, with two faults, and with an
    intermittent fault, None for as often as fault rates give; earlier_work: share of jobs whose history mentions
    earlier work; apart: groups of faults of which a version has at most one; used: jobs of earlier sets as (faults,
    vehicle), which are not drawn again; diagnosis_only: whether the fault is to be found but not repaired.
    """

    jobs: int = 10
    systems: tuple[str, ...] = ()
    vehicles: tuple[str, ...] = ()
    difficulty: tuple[int, int] = (EASIEST, HARDEST)
    weather: tuple[int, int] = USUAL_WEATHER_C
    nothing_wrong: float = 0.05
    two_faults: float = 0.0
    come_and_go: float | None = None
    earlier_work: float = 0.5
    apart: tuple[frozenset[str], ...] = ()
    used: frozenset[tuple[frozenset[str], str]] = field(default_factory=frozenset)
    diagnosis_only: bool = False


def read_plan(path: Path, catalogue: Catalogue) -> Plan:
    """The plan in a file; folders in it are relative to the file. Raises DataError or DataErrors with the places of all
    errors.
    """
    context, usual = LoadContext(), Plan()
    root = load(path)
    entry = Entry(root, context)
    systems = entry.choices("systems", [name for name in SYSTEMS if name != SYSTEMS[-1]])
    vehicles = entry.choices("vehicles", catalogue.vehicles)
    coldest, warmest = (
        entry.pair("weather", COLDEST_C, HOTTEST_C) if "weather" in entry else tuple(map(float, usual.weather))
    )
    easiest, hardest = (
        entry.pair("difficulty", EASIEST, HARDEST) if "difficulty" in entry else (float(EASIEST), float(HARDEST))
    )
    shares = entry.figures("shares", dict.fromkeys(SHARES, (0.0, 1.0)))
    plan = Plan(
        entry.integer("jobs", low=1, high=MOST_JOBS),
        systems,
        vehicles,
        (round(easiest), round(hardest)),
        (round(coldest), round(warmest)),
        shares.get("nothing_wrong", usual.nothing_wrong),
        shares.get("two_faults", usual.two_faults),
        shares.get("come_and_go"),
        shares.get("earlier_work", usual.earlier_work),
        tuple(_apart(entry, node, catalogue) for node in entry.listed("apart")),
        frozenset().union(*(_used(entry, path, node) for node in entry.listed("not_used_in"))),
        entry.boolean("diagnosis_only", default=False),
    )
    entry.done()
    if plan.nothing_wrong + plan.two_faults + (plan.come_and_go or 0.0) > 1.0:
        with context.problems:
            raise root.error(_("shares of jobs that sum to more than 1"), _("at most 1 together"))
    context.problems.finish()
    return plan


def _apart(entry: Entry, node: Node, catalogue: Catalogue) -> frozenset[str]:
    return entry.read(lambda: frozenset(item.choice(catalogue.faults) for item in node.items(least=2)), frozenset())


def _used(entry: Entry, plan: Path, node: Node) -> frozenset[tuple[frozenset[str], str]]:
    """Faults and vehicle of each job in an earlier set's folder."""

    def take() -> frozenset[tuple[frozenset[str], str]]:
        folder = plan.parent / node.text()
        if not folder.exists():
            raise node.error(say("'{folder}' is not there", folder=folder), _("the folder of an earlier set"))
        catalogue, places = own_jobs([folder], [])
        jobs = [catalogue.jobs[name] for name in places]
        return frozenset((frozenset(job.real_faults), job.vehicle) for job in jobs)

    return entry.read(take, frozenset())
