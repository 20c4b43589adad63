"""How a plan is shared out: for each job of a version whether it has a fault, of which system, in which vehicle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grading.drawing.dice import Dice
from grading.drawing.plan import Plan
from scenarios.model import Catalogue, Fault, Vehicle

STEADY, COMES_AND_GOES, TWO, NOTHING, ANY = "steady", "comes and goes", "two", "nothing", "any"
"""Kinds of jobs: a fault that is always there, one that comes and goes, two faults, none, and one of either sort."""


@dataclass(frozen=True)
class Cell:
    """What one job of a version is to be.

    number: of the job in its version, from 0; kind; system: of its fault, empty for any; vehicle: id; earlier_work:
    whether its history names some.
    """

    number: int
    kind: str
    system: str
    vehicle: str
    earlier_work: bool


def cells_of(plan: Plan, catalogue: Catalogue, seed: int) -> list[Cell]:
    """The jobs of a version, the same for each: shares are kept to the nearest whole job, each system and vehicle is
    drawn as often as the others to within one.

    Raises ValueError where no vehicle of the plan can have a fault of one of its systems.
    """
    dice, count = Dice(seed, "cells"), plan.jobs
    kinds = [NOTHING] * round(plan.nothing_wrong * count) + [TWO] * round(plan.two_faults * count)
    kinds = kinds[:count]
    if plan.come_and_go is None:
        kinds += [ANY] * (count - len(kinds))
    else:
        kinds += [COMES_AND_GOES] * min(round(plan.come_and_go * count), count - len(kinds))
        kinds += [STEADY] * (count - len(kinds))
    kinds = dice.shuffled("kinds", kinds)
    systems = _evenly(dice, "systems", plan.systems or ("",), count)
    vehicles = _evenly(dice, "vehicles", plan.vehicles or tuple(catalogue.vehicles), count)
    told = [k < round(plan.earlier_work * count) for k in range(count)]
    earlier = dice.shuffled("earlier work", told)
    left, cells = list(vehicles), list[Cell]()
    for number, (kind, system) in enumerate(zip(kinds, systems, strict=True)):
        # the next vehicle in turn that can have such a fault
        able = [
            name for name in left if kind == NOTHING or faults_for(catalogue, catalogue.vehicles[name], kind, system)
        ]
        spare = [name for name in vehicles if faults_for(catalogue, catalogue.vehicles[name], kind, system)]
        if not able and not spare:
            raise ValueError(system)
        name = (able or spare)[0]
        if name in left:
            left.remove(name)
        cells.append(Cell(number, kind, system, name, earlier[number]))
    return cells


def faults_for(catalogue: Catalogue, vehicle: Vehicle, kind: str, system: str) -> list[Fault]:
    """Faults that the first fault of such a job can be; those that change nothing are none."""
    return [
        fault
        for fault in catalogue.faults_of(vehicle)
        if fault.changes
        and (not system or fault.system == system)
        and (kind not in (STEADY, COMES_AND_GOES) or fault.comes_and_goes == (kind == COMES_AND_GOES))
    ]


def _evenly(dice: Dice, name: str, things: Sequence[str], count: int) -> list[str]:
    """Each thing as often as the others to within one, in an order by chance."""
    turns = [dice.shuffled(f"{name} {turn}", things) for turn in range(-(-count // len(things)))]
    return [thing for turn in turns for thing in turn][:count]
