"""The map of systems: which of a system's faults were tried, passed, and passed without help."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from scenarios.language import N_, _, say
from scenarios.model import SYSTEMS, Catalogue
from tui.presentation.between_jobs.attempts import Attempt

UNTRIED, TRIED, PASSED, ALONE = range(4)
SIGNS = "·✕✓●"
"""A sign for each of them."""
MEANS = (N_("not yet"), N_("tried"), N_("passed"), N_("without help"))


@dataclass(frozen=True, slots=True)
class SystemDone:
    """How far a system is: faults: how many it has; tried, passed, alone: of these. What was passed without help was
    passed, and what was passed was tried.
    """

    system: str
    faults: int
    tried: int
    passed: int
    alone: int

    @property
    def cells(self) -> str:
        """A sign for each fault, what is done first; which fault a sign stands for is not told."""
        counts = (self.alone, self.passed - self.alone, self.tried - self.passed, self.faults - self.tried)
        return "".join(sign * count for sign, count in zip(reversed(SIGNS), counts, strict=True))

    @property
    def told(self) -> str:
        """The same in a sentence, to be read by ear."""
        told = {"system": _(self.system), "tried": self.tried, "all": self.faults}
        if not self.tried:
            return say("{system}: none of {all} tried yet", **told)
        return say(
            "{system}: {tried} of {all} tried, {passed} passed, {alone} of them without help",
            passed=self.passed,
            alone=self.alone,
            **told,
        )


def system_map(catalogue: Catalogue, attempts: Iterable[Attempt]) -> list[SystemDone]:
    """Every system that has faults, in the order of SYSTEMS.

    A fault counts as passed once a job with it was passed, and as passed without help once that was not in guided mode.
    """
    best: dict[str, int] = {}
    for attempt in attempts:
        state = TRIED if not attempt.passed else PASSED if attempt.helped else ALONE
        for fault in attempt.real:
            best[fault] = max(best.get(fault, UNTRIED), state)
    found = []
    for system in SYSTEMS:
        states = [best.get(fault.id, UNTRIED) for fault in catalogue.faults.values() if fault.system == system]
        counts = [sum(state >= least for state in states) for least in (TRIED, PASSED, ALONE)]
        if states:
            found.append(SystemDone(system, len(states), *counts))
    return found


def legend() -> str:
    """What the signs mean."""
    return "  ".join(f"{sign} {_(means)}" for sign, means in zip(reversed(SIGNS), reversed(MEANS), strict=True))
