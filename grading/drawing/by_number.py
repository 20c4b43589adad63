"""A vehicle by its number: the same number gives the same vehicle to everybody who has the same program version."""

from __future__ import annotations

import re
from pathlib import Path

from grading.drawing.cells import ANY, NOTHING, Cell, faults_for
from grading.drawing.dice import Dice
from grading.drawing.drawing import ATTEMPTS, Drawer
from grading.drawing.plan import Plan
from grading.drawing.written import write_jobs
from grading.marks.rubric import Rubric
from scenarios.files.own_folders import drawn_folder
from scenarios.language import _, say
from scenarios.model import SYSTEMS, Catalogue, Job
from scenarios.wrong_use import WrongUse

SYSTEM_WORDS = {name.replace(" ", "-"): name for name in SYSTEMS[:-1]}
"""How a system is typed, and its name."""
_NUMBER = re.compile(r"(?:([a-z-]+)-)?([0-9]{1,9})")


def job_id(number: str) -> str:
    """Id of the job of a number such as 4711, or of one within a system such as blower-4711. Raises WrongUse."""
    found = _NUMBER.fullmatch(number.strip().casefold())
    if found is None or (found[1] is not None and found[1] not in SYSTEM_WORDS):
        told = {"given": repr(number), "systems": ", ".join(SYSTEM_WORDS)}
        raise WrongUse(say("the vehicle's number {given}, expected 4711 or blower-4711; systems are {systems}", **told))
    return "-".join(part for part in ("draw", found[1], str(int(found[2]))) if part)


def draw_by_number(catalogue: Catalogue, number: str, rubric: Rubric, language: str) -> Job:
    """The fair job of a number: fault by rate, complaint as the vehicle shows it. Raises WrongUse."""
    name = job_id(number)
    system = SYSTEM_WORDS.get(name.removeprefix("draw-").rpartition("-")[0], "")
    plan = Plan(jobs=1)
    drawer = Drawer(catalogue, plan, 0, rubric, language, vehicles=1)
    for attempt in range(ATTEMPTS):
        dice = Dice("number", name, attempt)
        kind = NOTHING if not system and dice.share("kind") < plan.nothing_wrong else ANY
        able = [one.id for one in catalogue.vehicles.values() if not system or faults_for(catalogue, one, kind, system)]
        cell = Cell(0, kind, system, dice.one_of("vehicle", able), dice.share("earlier") < plan.earlier_work)
        job = drawer.fair(name, cell, dice)
        if job is not None:
            return job
    raise WrongUse(say("no fair vehicle was found for the number {number}; take another", number=number))


def drawn_by_number(catalogue: Catalogue, number: str, rubric: Rubric, language: str) -> tuple[str, Path]:
    """Id of a number's job and the folder it lies in, drawn now where it never was. Raises WrongUse and OSError."""
    name = job_id(number)
    folder = drawn_folder(name)
    if not (folder / "jobs" / f"{name}.yaml").exists():
        job = draw_by_number(catalogue, number, rubric, language)
        write_jobs(folder, [job], _("Drawn by its number."))
    return name, folder
