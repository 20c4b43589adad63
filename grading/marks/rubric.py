"""The rubric: weights, pass marks and allowances, from a file that an instructor may change."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from grading.sessions.modes import RUNGS
from scenarios.files.strict_yaml import load
from scenarios.language import _, say
from scenarios.model import CRITERIA, Job

PACKAGED = Path(__file__).with_name("rubric.yaml")


@dataclass(frozen=True, slots=True)
class Rubric:
    """weights: criterion to share of 100; total: least marks that pass; floors: criterion to least marks that pass;
    cap: total after a critical safety error; hints: step of a hint to marks of the total lost for it; needless:
    minutes of needless work and parts at which all marks for parts are lost; allowance_factor, allowance_least,
    allowance_otherwise: minutes allowed, see ``allowed``; hash: SHA-256 of the file.
    """

    weights: dict[str, float]
    total: float
    floors: dict[str, float]
    cap: float
    hints: dict[str, float]
    needless: float
    allowance_factor: float
    allowance_least: float
    allowance_otherwise: float
    hash: str

    def allowed(self, job: Job) -> float:
        """Minutes to the diagnosis within which a job must be done."""
        if job.competent_minutes is None:
            return self.allowance_otherwise
        return max(self.allowance_factor * job.competent_minutes, self.allowance_least)


FLOORS = ("diagnosis", "safety", "parts")
"""Criteria with least marks of their own for a pass."""
LONGEST = 100_000.0


def load_rubric(path: Path = PACKAGED) -> Rubric:
    """Read a rubric. Raises DataError with its place."""
    root_node = load(path)
    root = root_node.mapping()
    weights_map = root.mapping("weights")
    weights = {name: weights_map.number(name, low=0.0, high=100.0) for name in CRITERIA}
    weights_map.done()
    if abs(sum(weights.values()) - 100.0) > 1e-9:
        raise root.value("weights").error(
            say("the weights sum to {sum:g}", sum=sum(weights.values())), _("a sum of 100")
        )
    hints_map = root.mapping("hints")
    hints = {name: hints_map.number(name, low=0.0, high=100.0) for name in RUNGS}
    hints_map.done()
    marks, allowance = root.mapping("pass"), root.mapping("allowance")
    rubric = Rubric(
        weights,
        marks.number("total", low=0.0, high=100.0),
        {name: marks.number(name, low=0.0, high=100.0) for name in FLOORS},
        marks.number("critical-error-cap", low=0.0, high=100.0),
        hints,
        root.number("needless-parts-minutes", low=1.0, high=LONGEST),
        allowance.number("factor", low=1.0, high=100.0),
        allowance.number("least", low=1.0, high=LONGEST),
        allowance.number("otherwise", low=1.0, high=LONGEST),
        hashlib.sha256(path.read_bytes()).hexdigest(),
    )
    marks.done()
    allowance.done()
    root.done()
    return rubric
