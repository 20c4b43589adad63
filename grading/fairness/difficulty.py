"""Difficulty of a job: the share of technicians, competent and novice, who fail it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from grading.marks.grade import Grader
from grading.marks.rubric import Rubric
from grading.sessions.session import Session
from grading.technicians import COMPETENT, SKILLS, Skill, Technician
from scenarios.model import Catalogue, Job

NOVICE = SKILLS[0]
HARDEST = 5


@dataclass(frozen=True)
class Tried:
    """Results of technicians on a job. passed, total: of each competent one; novices_passed: of each novice."""

    passed: tuple[bool, ...]
    total: tuple[float, ...]
    novices_passed: tuple[bool, ...]

    @property
    def failing(self) -> float:
        """Share of all technicians who failed [-]."""
        every = (*self.passed, *self.novices_passed)
        return 1.0 - sum(every) / len(every)

    @property
    def difficulty(self) -> int:
        """From 1, where everybody passes, to 5, where nobody does.

        >>> Tried((True, True), (90.0, 88.0), (False, True)).difficulty
        2
        """
        return 1 + round((HARDEST - 1) * self.failing)


@dataclass(frozen=True)
class Measured:
    """Measured difficulty of a job. tried: results of technicians; minutes, checks: medians of the reference."""

    tried: Tried
    minutes: float
    checks: float


class Trials:
    """Measures jobs with technicians and the reference on the same vehicles."""

    def __init__(self, catalogue: Catalogue, rubric: Rubric, seeds: Iterable[int]) -> None:
        self.catalogue, self.rubric, self.seeds = catalogue, rubric, tuple(seeds)

    def measured(self, name: str) -> Measured:
        """Measure the difficulty of a job (id). Raises PhysicsFailed."""
        job = self.catalogue.jobs[name]
        graders = [Grader(self.catalogue, job, seed, self.rubric) for seed in self.seeds]
        passed = tried(self.catalogue, job, self.rubric, self.seeds, graders)
        courses = [grader.course for grader in graders]
        return Measured(passed, median(run.minutes for run in courses), median(len(run.checks) for run in courses))


def disagrees(stated: int, measured: Measured) -> bool:
    """Whether a stated difficulty is off by more than one step, which a few technicians cannot resolve."""
    return abs(stated - measured.tried.difficulty) > 1


def tried(
    catalogue: Catalogue, job: Job, rubric: Rubric, seeds: Iterable[int], graders: Iterable[Grader] | None = None
) -> Tried:
    """Let a competent technician and a novice work on each vehicle and mark them; graders: of each vehicle, made here
    if not given. Raises PhysicsFailed.
    """
    seeds = list(seeds)
    passed, total, novices = [], [], []
    for seed, grader in zip(seeds, graders or (Grader(catalogue, job, seed, rubric) for seed in seeds), strict=True):
        for skill in (COMPETENT, NOVICE):
            grade = grader.grade(_worked(catalogue, job, seed, skill).recorder.entries)
            if skill is COMPETENT:
                passed.append(grade.passed)
                total.append(grade.total)
            else:
                novices.append(grade.passed)
    return Tried(tuple(passed), tuple(total), tuple(novices))


def _worked(catalogue: Catalogue, job: Job, seed: int, skill: Skill) -> Session:
    session = Session(catalogue, job, seed)
    Technician(session, skill).play()
    return session
