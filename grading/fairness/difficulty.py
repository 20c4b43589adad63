"""How hard a job is: the share of technicians, competent ones and novices, who fail it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grading.marks.grade import Judge
from grading.marks.rubric import Rubric
from grading.sessions.session import Session
from grading.technicians import COMPETENT, SKILLS, Skill, Technician
from scenarios.model import Catalogue, Job

NOVICE = SKILLS[0]
HARDEST = 5


@dataclass(frozen=True)
class Tried:
    """What technicians made of a job: passed, total: of each competent one; novices_passed: of each novice."""

    passed: tuple[bool, ...]
    total: tuple[float, ...]
    novices_passed: tuple[bool, ...]

    @property
    def failing(self) -> float:
        """Share of all of them who failed [-]."""
        every = (*self.passed, *self.novices_passed)
        return 1.0 - sum(every) / len(every)

    @property
    def difficulty(self) -> int:
        """From 1, where everybody passes, to 5, where nobody does.

        >>> Tried((True, True), (90.0, 88.0), (False, True)).difficulty
        2
        """
        return 1 + round((HARDEST - 1) * self.failing)


def tried(catalogue: Catalogue, job: Job, rubric: Rubric, seeds: Iterable[int]) -> Tried:
    """Let a competent technician and a novice work on each vehicle and mark them. Raises PhysicsFailed."""
    passed, total, novices = [], [], []
    for seed in seeds:
        judge = Judge(catalogue, job, seed, rubric)
        for skill in (COMPETENT, NOVICE):
            grade = judge.grade(_worked(catalogue, job, seed, skill).recorder.entries)
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
