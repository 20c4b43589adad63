"""Drawing jobs until one is fair, as ``grading.fairness`` and simulated technicians find."""

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
"""Most vehicles drawn for one job."""
MEASURED = 9
"""Least number of vehicles on which a competent technician's minutes and checks are measured."""
FIFTHS = (26.0, 36.0, 47.0, 57.0)
"""Quintiles of a competent technician's minutes over the packaged jobs."""
FaultsAndVehicle = tuple[frozenset[str], str]
"""Ids of the faults of a job, and of its vehicle."""


@dataclass(frozen=True)
class Order:
    """A job to draw.

    version: from 0; cell; first: attempt to begin with, from 0; excluded: ids of faults that the job must not have;
    used: faults and vehicles of other jobs, which are not drawn again.
    """

    version: int
    cell: Cell
    first: int = 0
    excluded: frozenset[str] = frozenset()
    used: frozenset[FaultsAndVehicle] = frozenset()


@dataclass(frozen=True)
class Drawn:
    """Result of an order. attempt: the one that gave the job; job: None if no attempt gave a fair one; tried: results
    of technicians.
    """

    order: Order
    attempt: int
    job: Job | None = None
    tried: Tried | None = None


class Drawer:
    """Draws the jobs of one set; can be pickled for other processes."""

    def __init__(self, catalogue: Catalogue, plan: Plan, seed: int, rubric: Rubric, language: str, vehicles: int):
        """seed: of the set; vehicles: number of vehicles, seeds from 1, on which each job must be fair."""
        self.catalogue, self.plan, self.seed, self.rubric = catalogue, plan, seed, rubric
        self.language, self.seeds = language, range(1, vehicles + 1)

    def name(self, order: Order) -> str:
        """Id of the job."""
        return f"draw-{self.seed}-{letter(order.version)}{order.cell.number + 1:02d}"

    def draw(self, order: Order) -> Drawn:
        """The first fair job, starting at the attempt of the order."""
        for attempt in range(order.first, ATTEMPTS):
            dice = Dice(self.seed, order.version, order.cell.number, attempt)
            job = self.fair(self.name(order), order.cell, dice, order.excluded, order.used)
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
        excluded: frozenset[str] = frozenset(),
        used: frozenset[FaultsAndVehicle] = frozenset(),
    ) -> Job | None:
        """A fair job with a competent technician's minutes; None if the vehicle drawn gives none.

        name: its id; excluded, used: as in ``Order``.
        """
        try:
            words = words_of(self.language)
            job = drawn_job(self.catalogue, self.plan, cell, name, words, dice, excluded)
            return None if job is None or faults_and_vehicle(job) in used | self.plan.used else self._proven(job, cell)
        except PhysicsFailed:
            return None

    def _proven(self, job: Job, cell: Cell) -> Job | None:
        """The job with a competent technician's minutes and checks; None if it is unfair or of another difficulty than
        its cell requires. Raises PhysicsFailed.
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
    """Difficulty 1 to 5 by a competent technician's minutes, from the quintiles of the packaged jobs.

    >>> difficulty_by_minutes(20.0), difficulty_by_minutes(300.0)
    (1, 5)
    """
    return 1 + sum(minutes > limit for limit in FIFTHS)


def faults_and_vehicle(job: Job) -> FaultsAndVehicle:
    """Two jobs with the same faults in the same vehicle count as alike."""
    return frozenset(job.real_faults), job.vehicle


def letter(version: int) -> str:
    """Letter of a version, from 0.

    >>> letter(0), letter(27)
    ('a', 'bb')
    """
    return chr(ord("a") + version % 26) * (version // 26 + 1)
