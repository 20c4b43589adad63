"""Faults that a perfect observer still holds possible at the end, and the check that would tell them apart."""

from __future__ import annotations

import math

import numpy as np

from grading.reference.foreman import balanced_particles, confirming
from grading.reference.options import prospect
from grading.reference.policy import Diagnosed
from scenarios.language import Listed, Message, Text

STILL_POSSIBLE = 0.05
"""Belief from which another fault is named."""
MOST_NAMED = 3


def look_alikes(end: Diagnosed, real: tuple[str, ...] = ()) -> Text:
    """The faults that remain beside the one diagnosed, with their belief, and the check that would tell them apart.

    real: faults of the job, named whatever the belief in them. Empty if nothing else is possible.
    """
    particles, belief = end.particles, end.particles.belief()
    likeliest = int(belief.argmax())
    named = [
        k
        for k in np.argsort(-belief, kind="stable").tolist()
        if k != likeliest and (belief[k] >= STILL_POSSIBLE or (particles.faults[k].id in real and belief[k] > 0.0))
    ][:MOST_NAMED]
    if not named:
        return ""
    faults = Listed(
        Message("{fault} ({belief:.0%})", fault=particles.faults[k].id, belief=float(belief[k])) for k in named
    )
    ahead = prospect(balanced_particles(particles, named), end.readiness, end.done)
    parting = confirming(ahead, likeliest, math.inf)
    if parting is None:
        return Message("still possible: {faults}; no check that is left would tell them apart", faults=faults)
    return Message("still possible: {faults}; {check} would tell them apart", faults=faults, check=parting.check.id)
