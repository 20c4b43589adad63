"""Allocation of a plan to jobs: which system's fault each job of a version has, if any, and in which vehicle."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from grading.drawing.dice import Dice
from grading.drawing.plan import Plan
from scenarios.model import Catalogue, Fault, Vehicle

KINDS = COMES_AND_GOES, TWO, STEADY, ANY, NOTHING = "comes and goes", "two", "steady", "any", "nothing"
"""Kinds of jobs: an intermittent fault, two faults, a permanent fault, a fault of either sort, no fault."""


class NoVehicle(ValueError):
    """No vehicle of a plan can have a fault of one of its systems; the message is that system."""


@dataclass(frozen=True)
class Cell:
    """Requirements for one job of a version.

    number: of the job in its version, from 0; kind: of KINDS; system: of its fault, empty for any; vehicle: id;
    earlier_work: whether its history mentions earlier work; faults: ids of permitted faults, empty for any; complaints:
    permitted keys of COMPLAINTS, empty for any; difficulty: lowest and highest, by the minutes of a competent
    technician.
    """

    number: int
    kind: str
    system: str
    vehicle: str
    earlier_work: bool
    faults: frozenset[str] = frozenset()
    complaints: frozenset[str] = frozenset()
    difficulty: tuple[int, int] = (1, 5)


def cells_of(plan: Plan, catalogue: Catalogue, seed: int) -> list[Cell]:
    """Cells of a version, the same for each version. Shares are rounded to whole jobs; systems and vehicles occur
    equally often as far as they can have such faults.

    Raises NoVehicle.
    """
    dice, count = Dice(seed, "cells"), plan.jobs
    kinds = _kinds(plan)
    earlier = dice.shuffled("earlier work", [k < round(plan.earlier_work * count) for k in range(count)])
    systems, vehicles = plan.systems or ("",), plan.vehicles or tuple(catalogue.vehicles)

    def fits(vehicle: str, kind: str, system: str) -> bool:
        return kind == NOTHING or bool(faults_for(catalogue, catalogue.vehicles[vehicle], kind, system))

    for system in systems:
        if not any(fits(vehicle, ANY, system) for vehicle in vehicles):
            raise NoVehicle(system)
    used: Counter[str] = Counter()
    drawn: list[tuple[str, str, str]] = []
    for k, kind in enumerate(sorted(kinds, key=KINDS.index)):  # most restrictive kind first
        eligible = [
            one for one in dice.shuffled(f"system {k}", systems) if any(fits(name, kind, one) for name in vehicles)
        ]
        if not eligible:
            raise NoVehicle(", ".join(systems))
        system = min(eligible, key=lambda one: used[f"system {one}"])
        fitting = [name for name in dice.shuffled(f"vehicle {k}", vehicles) if fits(name, kind, system)]
        vehicle = min(fitting, key=lambda one: used[f"vehicle {one}"])
        used.update((f"system {system}", f"vehicle {vehicle}"))
        drawn.append((kind, system, vehicle))
    order = dice.shuffled("order", drawn)
    return [Cell(number, *which, earlier[number]) for number, which in enumerate(order)]


def _kinds(plan: Plan) -> list[str]:
    """The kind of each job of a version."""
    count = plan.jobs
    kinds = ([NOTHING] * round(plan.nothing_wrong * count) + [TWO] * round(plan.two_faults * count))[:count]
    if plan.come_and_go is None:
        return kinds + [ANY] * (count - len(kinds))
    kinds += [COMES_AND_GOES] * min(round(plan.come_and_go * count), count - len(kinds))
    return kinds + [STEADY] * (count - len(kinds))


def faults_for(
    catalogue: Catalogue, vehicle: Vehicle, kind: str, system: str, of: frozenset[str] = frozenset()
) -> list[Fault]:
    """Candidates for the first fault of such a job, without entries that change nothing. of: ids, empty for any."""
    return [
        fault
        for fault in catalogue.faults_of(vehicle)
        if fault.changes
        and (not system or fault.system == system)
        and (not of or fault.id in of)
        and (kind not in (STEADY, COMES_AND_GOES) or fault.comes_and_goes == (kind == COMES_AND_GOES))
    ]
