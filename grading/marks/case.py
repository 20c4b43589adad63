"""One record as it is marked: what was done, what was declared, and what could be believed of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

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
"""Marks 0 to 100 of a criterion, and the reasons why some were lost."""


@dataclass(frozen=True)
class Declared:
    """A diagnosis that stands when the keys are handed back.

    fault; confidence: stated, 0..1; group: ids of faults that no check tells from it, with it; belief: in each fault,
    as the diagnosis counts, and its standard error (faults,).
    """

    fault: Fault
    confidence: float
    group: frozenset[str]
    belief: np.ndarray
    error: np.ndarray


@dataclass(frozen=True)
class Case:
    """One record as it is marked.

    actions: entries of actions; steps: what the observer made of them, up to the last diagnosis or repair; truth: fault
    ids; held: what was declared and stands, the last one last; proof: of the repair.
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
        """The last diagnosis that stands."""
        return self.held[-1] if self.held else None

    @property
    def real(self) -> list[Fault]:
        """The vehicle's faults."""
        return [self.catalogue.faults[name] for name in self.truth]

    @property
    def work(self) -> list[Action]:
        """What was done, marks in the record included."""
        return [entry.action for entry in self.actions]

    @property
    def prior(self) -> np.ndarray:
        """Probability of each fault by its rate and the complaint (faults,)."""
        return prior(self.job, self.faults)

    @property
    def to_diagnosis(self) -> list[Step]:
        """Steps up to the diagnosis that was the last to say something else, all of them where none was declared."""
        return self.steps[: diagnosed_at(self.steps) + 1]

    @property
    def asked(self) -> list[Fault]:
        """Faults that must be found: those that bring the complaint, all where none does by itself."""
        wanted = set(self.job.complains_of)
        return [fault for fault in self.real if wanted & set(fault.shows)] or self.real

    def matches(self, declared: Declared, fault: Fault) -> bool:
        """Whether a diagnosis names a fault, or one that no check tells from it."""
        return fault.id in declared.group

    def is_right(self, declared: Declared) -> bool:
        """Whether a diagnosis names a fault of the vehicle, or its part with a failure that the same work cures."""
        return any(self.matches(declared, fault) or same_cure(declared.fault, fault) for fault in self.real)

    def in_group(self, declared: Declared, chance: np.ndarray) -> float:
        """Sum over the group of a diagnosis of chances of faults (faults,)."""
        return float(sum(p for fault, p in zip(self.faults, chance, strict=True) if fault.id in declared.group))

    def of_part(self, declared: Declared, chance: np.ndarray) -> float:
        """The same over the faults of its part that the same work cures."""
        pairs = zip(self.faults, chance, strict=True)
        return float(sum(p for fault, p in pairs if fault is declared.fault or same_cure(fault, declared.fault)))


def named(faults: Iterable[Fault]) -> Listed:
    """Names of faults, as a list in a sentence."""
    return Listed(fault.name for fault in faults)


def same_cure(one: Fault, other: Fault) -> bool:
    """Whether two faults are ways of failing of one part, which one repair cures."""
    return one.part == other.part and bool(set(one.cured_by) & set(other.cured_by))


def diagnosed_at(steps: list[Step]) -> int:
    """Index of the last diagnosis that names another fault than the one before it, or of the last step."""
    found, before = len(steps) - 1, None
    for k, step in enumerate(steps):
        if step.action.verb == "diagnose" and step.action.text(0) != before:
            found, before = k, step.action.text(0)
    return found


def earned_at(catalogue: Catalogue, steps: list[Step], declared_at: int, truth: Fault | None) -> tuple[int, bool]:
    """Index of the step whose belief a diagnosis counts with, and whether that before it.

    What earns a diagnosis is what was seen before the work that cured the fault, whenever it was declared; where
    nothing cured it, or it names another fault (truth None), what was known as it was declared.
    """
    cured = None if truth is None else first_cure(catalogue, (step.action for step in steps), truth)
    if cured is None:
        return declared_at, False
    return cured, steps[cured].action.verb == "repair"  # a check that cures has read first
