"""What wrong work has done to a vehicle, as it is seen, smelt or heard when it happens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from scenarios.language import N_
from scenarios.model import Repair
from sim.repairs import BURST_G_S_KPA

FUSES = ("fit fuse", "fit larger fuse", "bridge fuse")
"""Operations that put a new fuse, or what stands for one, into its place."""


@dataclass(frozen=True)
class Consequence:
    """told: to the person, in English; marked: the safety error, empty for none; critical: whether that ends the pass;
    came: whether it did, from the vehicle's parameters before and after a repair.
    """

    told: str
    marked: str
    critical: bool
    came: Callable[[np.void, np.void, Repair], bool]


def _rose(name: str, least: float) -> Callable[[np.void, np.void, Repair], bool]:
    """Whether a parameter has come to a least value or beyond."""
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
    """What a repair has done to a vehicle besides what it was meant to; before, after: the vehicle's parameters."""
    return [one for one in CONSEQUENCES if one.came(before, after, repair)]
