"""How good a technician is: seven levels, from the first week to thirty years."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Skill:
    """level: rules up to it are known; name; misreads: chance that a reading is misread; needless: checks done for no
    reason; enough, lead: weight of the first suspect at which a diagnosis is made, and over the second; patience:
    checks after which one guesses; confirms: whether a dear part is fitted only after one more look; heedless: chance
    of passing over a caution; untidy: chance of leaving a line of the write-up out; repairs: how many are tried.
    Figures are ours.
    """

    level: int
    name: str
    misreads: float
    needless: int
    enough: float
    lead: float
    patience: int
    confirms: bool
    heedless: float
    untidy: float
    repairs: int


SKILLS = (
    Skill(0, "novice", 0.20, 5, 4.0, 0.5, 6, False, 0.06, 0.40, 1),
    Skill(1, "beginner", 0.14, 4, 6.0, 1.0, 9, False, 0.04, 0.25, 1),
    Skill(2, "trainee", 0.08, 3, 8.0, 2.0, 13, False, 0.02, 0.15, 2),
    Skill(3, "junior", 0.05, 2, 9.0, 3.0, 17, True, 0.01, 0.05, 2),
    Skill(4, "competent", 0.02, 1, 10.0, 4.0, 22, True, 0.0, 0.0, 3),
    Skill(5, "proficient", 0.01, 1, 10.0, 4.0, 26, True, 0.0, 0.0, 4),
    Skill(6, "expert", 0.0, 0, 10.0, 4.0, 30, True, 0.0, 0.0, 4),
)
COMPETENT, EXPERT = SKILLS[4], SKILLS[6]
