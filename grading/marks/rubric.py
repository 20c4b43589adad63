"""The rubric: weights and pass marks, read from a file that an instructor may change."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from grading.sessions.modes import RUNGS
from scenarios.files.strict_yaml import load
from scenarios.language import _, say
from scenarios.model import CRITERIA

PACKAGED = Path(__file__).with_name("rubric.yaml")


@dataclass(frozen=True, slots=True)
class Rubric:
    """weights: criterion to share of 100; total, diagnosis, efficiency: least marks that pass; cap: total after a
    critical safety error; hints: step of a hint to marks of the total that it costs; hash: SHA-256 of the file.
    """

    weights: dict[str, float]
    total: float
    diagnosis: float
    efficiency: float
    cap: float
    hints: dict[str, float]
    hash: str


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
    marks = root.mapping("pass")
    rubric = Rubric(
        weights,
        marks.number("total", low=0.0, high=100.0),
        marks.number("diagnosis", low=0.0, high=100.0),
        marks.number("efficiency", low=0.0, high=100.0),
        marks.number("critical-error-cap", low=0.0, high=100.0),
        hints,
        hashlib.sha256(path.read_bytes()).hexdigest(),
    )
    marks.done()
    root.done()
    return rubric
