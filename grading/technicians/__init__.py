"""A technician who works by rules of the trade alone: what a person is shown, no belief and no figure of a fault."""

from grading.technicians.player import Technician
from grading.technicians.skill import COMPETENT, EXPERT, SKILLS, Skill

__all__ = ["COMPETENT", "EXPERT", "SKILLS", "Skill", "Technician"]
