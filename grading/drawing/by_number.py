"""Drawing a vehicle by its number: the same number and program version give everybody the same vehicle.

A number may stand alone, as 4711, or follow a word that narrows the draw (``grading.drawing.narrowing``):

- blower-4711: a fault of that system
- no-air-4711: a vehicle with that complaint
- easy-4711, medium-4711, hard-4711: difficulty 1 or 2, 3, 4 or 5
- pair-nwxqtd-4711: one of two faults, which the six letters identify without naming them
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from grading.drawing.cells import ANY, NOTHING, Cell, faults_for
from grading.drawing.dice import Dice
from grading.drawing.drawing import ATTEMPTS, Drawer
from grading.drawing.narrowing import (
    Narrowing,
    can_come_with,
    healthy,
    narrowing,
    shared_complaints,
)
from grading.drawing.number import job_id, number_of, word_of
from grading.drawing.plan import Plan
from grading.drawing.written import write_jobs
from grading.fairness.proof_course import can_be_tried
from grading.marks.rubric import Rubric
from scenarios.files.own_folders import drawn_folder
from scenarios.language import _, say
from scenarios.model import Catalogue, Job
from scenarios.wrong_use import WrongUse


def draw_by_number(catalogue: Catalogue, number: str, rubric: Rubric, language: str) -> Job:
    """The first fair job of a number: fault drawn by rate, complaint as simulated. Raises WrongUse."""
    name = job_id(number)
    asked = narrowing(catalogue, word_of(number_of(name) or ""))
    drawer = Drawer(catalogue, Plan(jobs=1), 0, rubric, language, vehicles=1)
    for attempt in range(ATTEMPTS):
        dice = Dice("number", name, attempt)
        cell = _cell(catalogue, asked, drawer.plan, dice)
        job = drawer.fair(name, cell, dice) if cell is not None else None
        if job is not None:
            return job
    raise WrongUse(say("no fair vehicle was found for the number {number}; take another", number=number))


def _cell(catalogue: Catalogue, asked: Narrowing, plan: Plan, dice: Dice) -> Cell | None:
    """Cell of an attempt, None if no vehicle fits it."""
    kind = NOTHING if not asked.system and dice.share("kind") < plan.nothing_wrong else ANY
    cell = Cell(0, kind, asked.system, "", False, difficulty=asked.difficulty)
    if asked.complaint:
        faults = can_come_with(catalogue, asked.complaint)
        kind = kind if kind == ANY or any(map(healthy, faults)) else ANY
        cell = replace(cell, kind=kind, faults=faults, complaints=frozenset({asked.complaint}))
    elif asked.faults:
        # both equally likely whatever their rates, as the learner is to distinguish them
        which = dice.one_of("which of them", asked.faults)
        shared = shared_complaints(catalogue, asked.faults)
        cell = replace(cell, kind=NOTHING if healthy(which) else ANY, faults=frozenset({which}), complaints=shared)
    eligible = [
        one.id
        for one in catalogue.vehicles.values()
        if (cell.kind == NOTHING and not asked.faults and not asked.complaint)
        or (_can_have(catalogue, one.id, asked, cell) and _can_complain(catalogue, one.id, cell))
    ]
    if not eligible:
        return None
    return replace(
        cell, vehicle=dice.one_of("vehicle", eligible), earlier_work=dice.share("earlier") < plan.earlier_work
    )


def _can_have(catalogue: Catalogue, vehicle: str, asked: Narrowing, cell: Cell) -> bool:
    """Whether a vehicle can have a fault of the cell, or both faults of a pair, so as not to reveal which it has."""
    of = catalogue.vehicles[vehicle]
    if not asked.system and not cell.faults:
        return True
    if asked.faults:
        return all(healthy(name) or catalogue.faults[name].fits(of) for name in asked.faults)
    return cell.kind == NOTHING or bool(faults_for(catalogue, of, cell.kind, cell.system, cell.faults))


def _can_complain(catalogue: Catalogue, vehicle: str, cell: Cell) -> bool:
    of = catalogue.vehicles[vehicle]
    return not cell.complaints or any(can_be_tried(catalogue, of, kind) for kind in cell.complaints)


def drawn_by_number(catalogue: Catalogue, number: str, rubric: Rubric, language: str) -> tuple[str, Path]:
    """Id of a number's job and its folder; draws the job if it has not been drawn yet. Raises WrongUse and OSError."""
    name = job_id(number)
    folder = drawn_folder(name)
    if not (folder / "jobs" / f"{name}.yaml").exists():
        job = draw_by_number(catalogue, number, rubric, language)
        write_jobs(folder, [job], _("Drawn by its number."))
    return name, folder
