"""Drawing a job until one is fair: tried on vehicles as ``grading.fairness`` does, and by technicians."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grading.drawing.cells import Cell
from grading.drawing.dice import Dice
from grading.drawing.drawn_job import drawn_job
from grading.drawing.plan import Plan
from grading.drawing.words import words_of
from grading.fairness.competent import competent_medians
from grading.fairness.difficulty import Tried, tried
from grading.fairness.vehicle import Examiner
from grading.marks.rubric import Rubric
from scenarios.model import Catalogue, Job
from scenarios.physics_failure import PhysicsFailed

ATTEMPTS = 40
"""Vehicles that are drawn for a job until one is fair."""
MEASURED = 9
"""Vehicles at least on which a competent technician's minutes and checks are measured."""
FIFTHS = (26.0, 36.0, 47.0, 57.0)
"""Minutes of a competent technician that part the packaged jobs into fifths."""
Planting = tuple[frozenset[str], str]
"""Faults of a job and its vehicle."""


@dataclass(frozen=True)
class Order:
    """A job to be drawn: version, from 0; its cell; first: attempt to begin with, from 0; shunned: faults that must not
    be planted; taken: what other jobs have and this one must not.
    """

    version: int
    cell: Cell
    first: int = 0
    shunned: frozenset[str] = frozenset()
    taken: frozenset[Planting] = frozenset()


@dataclass(frozen=True)
class Drawn:
    """A fair job, or None where no attempt gave one; attempt: which did; tried: what technicians made of it."""

    order: Order
    attempt: int
    job: Job | None = None
    tried: Tried | None = None


class Drawer:
    """Draws the jobs of one set; sent to other processes whole."""

    def __init__(self, catalogue: Catalogue, plan: Plan, seed: int, rubric: Rubric, language: str, vehicles: int):
        """seed: of the set; vehicles: of each job, seeds 1 to so many, on which it must be fair."""
        self.catalogue, self.plan, self.seed, self.rubric = catalogue, plan, seed, rubric
        self.language, self.seeds = language, range(1, vehicles + 1)

    def name(self, order: Order) -> str:
        """Id of the job."""
        return f"draw-{self.seed}-{letter(order.version)}{order.cell.number + 1:02d}"

    def draw(self, order: Order) -> Drawn:
        """The first fair job from an attempt on."""
        for attempt in range(order.first, ATTEMPTS):
            dice = Dice(self.seed, order.version, order.cell.number, attempt)
            job = self.fair(self.name(order), order.cell, dice, order.shunned, order.taken)
            if job is None:
                continue
            try:
                results = tried(self._with(job), job, self.rubric, self.seeds)
            except PhysicsFailed:
                continue
            easiest, hardest = self.plan.difficulty
            if easiest <= results.difficulty <= hardest:
                return Drawn(order, attempt, replace(job, difficulty=results.difficulty), results)
        return Drawn(order, ATTEMPTS)

    def fair(
        self,
        name: str,
        cell: Cell,
        dice: Dice,
        shunned: frozenset[str] = frozenset(),
        taken: frozenset[Planting] = frozenset(),
    ) -> Job | None:
        """A fair job with the time that it takes a competent technician; None where the vehicle drawn makes none.

        name: its id; shunned, taken: as in ``Order``.
        """
        try:
            words = words_of(self.language)
            job = drawn_job(self.catalogue, self.plan, cell, name, words, dice, shunned)
            return None if job is None or planting(job) in taken | self.plan.used else self._proven(job, cell)
        except PhysicsFailed:
            return None

    def _proven(self, job: Job, cell: Cell) -> Job | None:
        """The job with what it takes a competent technician, None where it is not fair or not as hard as its cell wants
        it. Raises PhysicsFailed.
        """
        catalogue = self._with(job)
        minutes, checks = competent_medians(catalogue, job, range(1, max(len(self.seeds), MEASURED) + 1))
        job = replace(
            job,
            competent_minutes=float(round(minutes)),
            competent_checks=round(checks),
            difficulty=difficulty_by_minutes(minutes),
        )
        if not cell.difficulty[0] <= job.difficulty <= cell.difficulty[1]:
            return None
        examiner = Examiner(self._with(job), job, self.rubric)
        return None if any(examiner.doubts(seed) for seed in self.seeds) else job

    def _with(self, job: Job) -> Catalogue:
        return replace(self.catalogue, jobs={**self.catalogue.jobs, job.id: job})


def difficulty_by_minutes(minutes: float) -> int:
    """Difficulty 1 to 5 by what a competent technician takes, where nobody else has tried: fifths of the packaged jobs.

    >>> difficulty_by_minutes(20.0), difficulty_by_minutes(300.0)
    (1, 5)
    """
    return 1 + sum(minutes > limit for limit in FIFTHS)


def planting(job: Job) -> Planting:
    """What makes two jobs alike: the same faults in the same vehicle."""
    return frozenset(job.real_faults), job.vehicle


def letter(version: int) -> str:
    """A letter for a version, from 0.

    >>> letter(0), letter(27)
    ('a', 'bb')
    """
    return chr(ord("a") + version % 26) * (version // 26 + 1)
