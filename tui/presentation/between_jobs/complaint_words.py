"""Complaints in a few words, as they stand under the titles of jobs."""

from __future__ import annotations

from collections.abc import Iterable

from scenarios.language import N_, _

SHORT = {
    "cold": N_("no heat"),
    "lukewarm": N_("not enough heat"),
    "cold at idle": N_("cold at idle"),
    "cold on the road": N_("cold on the road"),
    "cold standing": N_("cold while stop-start rests"),
    "cold in the rear": N_("cold in the rear"),
    "slow": N_("slow to warm up"),
    "too warm": N_("too warm"),
    "no air": N_("no air"),
    "weak air": N_("weak air flow"),
    "weak full speed": N_("weak at full speed"),
    "wrong outlet": N_("air at the wrong outlet"),
    "fogging": N_("windows mist up"),
    "overheating": N_("overheats"),
    "gauge": N_("needle out of place"),
    "wet carpet": N_("wet carpet"),
    "losing coolant": N_("loses coolant"),
    "poor coolant": N_("poor coolant"),
    "fan noise": N_("fan noise"),
}
"""By the keys of ``scenarios.model.COMPLAINTS``."""


def in_short(complaints: Iterable[str]) -> str:
    """Complaints in the language chosen."""
    return "; ".join(_(SHORT.get(kind, kind)) for kind in complaints)
