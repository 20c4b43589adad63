"""Visible, audible and smelt consequences of wrong work on a vehicle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from scenarios.language import N_
from scenarios.model import Repair
from sim.repairs import BURST_G_S_KPA

FUSES = ("fit fuse", "fit larger fuse", "bridge fuse")
"""Operations that fit a new fuse or a substitute for one."""


@dataclass(frozen=True)
class Consequence:
    """A consequence of wrong work.

    message: for the person, in English; safety_error: as marked, empty for none; critical: whether that error fails the
    job; occurred: whether it happened, from the vehicle's parameters before and after a repair.
    """

    message: str
    safety_error: str
    critical: bool
    occurred: Callable[[np.void, np.void, Repair], bool]


def _rose(name: str, least: float) -> Callable[[np.void, np.void, Repair], bool]:
    """Whether a parameter has risen to at least a value."""
    return lambda before, after, repair: float(before[name]) < least <= float(after[name])


CONSEQUENCES = (
    Consequence(
        N_("Smoke and a smell of burnt plastic come from under the dash: the blower's wiring has burnt."),
        N_("burnt the blower's wiring"),
        True,
        _rose("loom_burnt", 0.5),
    ),
    Consequence(
        N_("There is a flash at the fuse box: the new fuse has blown at once."),
        "",
        False,
        lambda before, after, repair: bool(set(FUSES) & set(repair.does)) and float(after["blower_fuse"]) < 0.5,
    ),
    Consequence(
        N_("Water gushes out of the heater box into the foot well: the heater core has burst."),
        N_("burst the heater core"),
        False,
        _rose("leak_core", BURST_G_S_KPA),
    ),
    Consequence(
        N_("Brown flakes drift in the coolant and settle wherever it is narrow."),
        "",
        False,
        lambda before, after, repair: float(after["sealant"]) > float(before["sealant"]),
    ),
)


def consequences(before: np.void, after: np.void, repair: Repair) -> list[Consequence]:
    """Unintended consequences of a repair; before, after: the vehicle's parameters."""
    return [one for one in CONSEQUENCES if one.occurred(before, after, repair)]
