"""A technician who works by rules of the trade alone: what a person is shown, no belief and no figure of a fault."""

from tests.studies.trade_player.player import TradePlayer
from tests.studies.trade_player.skill import COMPETENT, EXPERT, SKILLS, Skill

__all__ = ["COMPETENT", "EXPERT", "SKILLS", "Skill", "TradePlayer"]
