"""Jobs examined one by one, each on the vehicles that learners get."""

from __future__ import annotations

from dataclasses import dataclass

from grading.fairness.doubt import Doubt
from grading.fairness.vehicle import Examiner
from grading.marks.rubric import Rubric
from scenarios.model import Catalogue


@dataclass(frozen=True)
class Case:
    """A job's id and the seed of one of its vehicles."""

    job: str
    seed: int


class Fairness:
    """Examines vehicle by vehicle; the observer's beliefs are shared by the vehicles of a job that come in a row."""

    def __init__(self, catalogue: Catalogue, rubric: Rubric) -> None:
        """rubric: it says how many minutes are allowed."""
        self.catalogue, self.rubric = catalogue, rubric
        self._examiner: Examiner | None = None

    def doubts(self, case: Case) -> tuple[Doubt, ...]:
        """All that is unfair about a job on one vehicle."""
        job = self.catalogue.jobs[case.job]
        if self._examiner is None or self._examiner.job is not job:
            self._examiner = Examiner(self.catalogue, job, self.rubric)
        return self._examiner.doubts(case.seed)
