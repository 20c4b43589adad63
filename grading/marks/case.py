"""One record prepared for marking: actions, diagnoses and beliefs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from grading.marks.proof import UNPROVEN, Proof
from grading.marks.replay import Step
from grading.marks.rubric import Rubric
from grading.marks.work import first_cure
from grading.observer.prior import prior
from grading.reference.policy import ReferenceRun
from grading.sessions.record import RecordEntry
from scenarios.actions import Action
from scenarios.language import Listed, Text
from scenarios.model import Catalogue, Fault, Job

Result = tuple[float, Sequence[Text]]
"""Marks 0 to 100 of a criterion, and the reasons for lost marks."""


@dataclass(frozen=True)
class Declared:
    """A diagnosis in force at hand-back.

    fault; confidence: stated, 0..1; group: ids of the fault and of those that no check distinguishes from it; belief,
    error (faults,): belief in each fault by which the diagnosis is marked, and its standard error.
    """

    fault: Fault
    confidence: float
    group: frozenset[str]
    belief: np.ndarray
    error: np.ndarray


@dataclass(frozen=True)
class Case:
    """One record prepared for marking.

    actions: entries of kind ``action``; steps: their evaluation by the observer, up to the last diagnosis or repair;
    course: what the reference did; truth: ids of the real faults; held: diagnoses in force, the latest last; proof: of
    the repair.
    """

    catalogue: Catalogue
    job: Job
    actions: list[RecordEntry]
    steps: list[Step]
    course: ReferenceRun
    faults: list[Fault]
    truth: list[str]
    rubric: Rubric
    held: tuple[Declared, ...] = field(default=())
    proof: Proof = UNPROVEN

    @property
    def declared(self) -> Declared | None:
        """The last diagnosis in force."""
        return self.held[-1] if self.held else None

    @property
    def real(self) -> list[Fault]:
        """The vehicle's faults."""
        return [self.catalogue.faults[name] for name in self.truth]

    @cached_property
    def work(self) -> list[Action]:
        """All actions, notes included."""
        return [entry.action for entry in self.actions]

    @cached_property
    def prior(self) -> np.ndarray:
        """Prior probability of each fault (faults,)."""
        return prior(self.job, self.faults)

    @property
    def to_diagnosis(self) -> list[Step]:
        """Steps up to the last diagnosis that differs from the one before, all if there is none."""
        return self.steps[: diagnosed_at(self.steps) + 1]

    @property
    def asked(self) -> list[Fault]:
        """Faults that must be found: those that show the complaint, all if none does by itself."""
        wanted = set(self.job.complains_of)
        return [fault for fault in self.real if wanted & set(fault.shows)] or self.real

    def matches(self, declared: Declared, fault: Fault) -> bool:
        """Whether a diagnosis names a fault or one that no check distinguishes from it."""
        return fault.id in declared.group

    def is_right(self, declared: Declared) -> bool:
        """Whether a diagnosis names a real fault, or another failure of its part with the same cure."""
        return any(self.matches(declared, fault) or same_cure(declared.fault, fault) for fault in self.real)

    def in_group(self, declared: Declared, chance: np.ndarray) -> float:
        """Sum of probabilities (faults,) over the group of a diagnosis."""
        return float(sum(p for fault, p in zip(self.faults, chance, strict=True) if fault.id in declared.group))

    def of_part(self, declared: Declared, chance: np.ndarray) -> float:
        """The same over the faults of its part with the same cure."""
        pairs = zip(self.faults, chance, strict=True)
        return float(sum(p for fault, p in pairs if fault is declared.fault or same_cure(fault, declared.fault)))


def named(faults: Iterable[Fault]) -> Listed:
    """Names of faults, as a list in a sentence."""
    return Listed(fault.name for fault in faults)


def same_cure(one: Fault, other: Fault) -> bool:
    """Whether two faults are failures of one part with a common cure."""
    return one.part == other.part and bool(set(one.cured_by) & set(other.cured_by))


def diagnosed_at(steps: list[Step]) -> int:
    """Index of the last diagnosis that names another fault than the one before it, or of the last step."""
    found, before = len(steps) - 1, None
    for k, step in enumerate(steps):
        if step.action.verb == "diagnose" and step.action.text(0) != before:
            found, before = k, step.action.text(0)
    return found


def earned_at(catalogue: Catalogue, steps: list[Step], declared_at: int, truth: Fault | None) -> tuple[int, bool]:
    """Index of the step whose belief counts for a diagnosis, and whether the belief before that step counts.

    A diagnosis is marked by the evidence before the cure of the fault, whenever it was declared. If the fault was not
    cured, or another one was named (truth None), the belief at the declaration counts.
    """
    cured = None if truth is None else first_cure(catalogue, (step.action for step in steps), truth)
    if cured is None:
        return declared_at, False
    return cured, steps[cured].action.verb == "repair"  # a check that cures takes its readings first
