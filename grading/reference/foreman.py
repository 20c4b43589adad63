"""What a foreman asks beyond minutes per bit: the complaint verified, the part's price weighed, a rival looked at.

He does not take the customer's word for the complaint, nor the commonest fault for the one at hand: before he declares,
something has parted it from what else it could be. Common practice, no source; figures are ours.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from grading.observer.particles import Hypotheses
from grading.observer.prior import prior
from grading.reference.options import Option, Prospect
from grading.reference.preparation import Readiness
from scenarios.model import COST_CLASSES, Catalogue, Check, Fault, Job, Vehicle

WRONG_REPAIR_MINUTES = 240.0
"""What a wrong diagnosis usually costs, in minutes: the work, the part, and starting again (common practice, no
source). It never counts for less."""
STARTING_AGAIN, MOST_MINUTES = 100.0, 900.0
"""Minutes that the vehicle's return takes beside the wrong repair, and the most that all of it counts for."""
LONG_MINUTES = 120.0
"""Work from which a repair is confirmed first."""
EXPENSIVE = ("large", "dear")
"""Classes of parts that are likewise."""
CONFIRMED = 0.97
"""Belief from which such a repair needs no further confirming."""
PARTED = 8.0
"""How many times the odds between two faults must have changed by what was seen, so that it has parted them."""
RIVAL = 0.004
"""Belief from which a fault is a rival that must have been parted from the declared one."""
CONFIRMING_BITS = 0.3
"""Information of a check, of the one bit between the declared fault and its rivals, from which it confirms."""
CONFIRMING_SHARE, LOOKING_SHARE = 0.05, 0.1
"""Shares of the minutes of a wrong repair that a check may take which parts the declared fault from its rivals, and one
that looks at the part itself."""
LOST_BITS, LOST_RATE, LOST_MINUTES = 0.1, 0.2, 6.0
"""A check that only a cold engine allows comes before the engine is started to see the complaint, for it is lost then:
its least information [bit] and rate, as a share of that of the check that shows the complaint, and most minutes."""

AT_THE_VENTS, AIR = ("vent temperature",), ("blower air",)
SHOWN_BY: dict[str, tuple[str, ...]] = {
    "cold": AT_THE_VENTS,
    "lukewarm": AT_THE_VENTS,
    "cold at idle": AT_THE_VENTS,
    "cold on the road": AT_THE_VENTS,
    "cold standing": AT_THE_VENTS,
    "cold in the rear": ("rear vent temperature",),
    "slow": AT_THE_VENTS,
    "too warm": AT_THE_VENTS,
    "no air": AIR,
    "weak air": AIR,
    "weak full speed": AIR,
    "wrong outlet": ("mode door position",),
    "fogging": ("glass fog",),
    "gauge": ("gauge needle",),
    "wet carpet": ("carpet wetness",),
    "losing coolant": ("bottle level", "neck shortfall"),
    "poor coolant": ("freezing protection", "sludge"),
    "fan noise": ("fan",),
}
"""Quantities in which a complaint shows, by key of COMPLAINTS. Nobody drives an engine into the red to see it."""
FELT_WARM = frozenset({"cold", "lukewarm", "cold at idle", "cold on the road", "cold standing", "cold in the rear"})
"""Complaints that a cold engine cannot show, for every vehicle is cold then."""


def shows_complaint(check: Check, job: Job) -> bool:
    """Whether a check reads something in which the job's complaint shows."""
    read = {spec.quantity for spec in check.readings}
    return any(
        read & set(SHOWN_BY.get(kind, ())) and not (kind in FELT_WARM and "cold" in check.best_when)
        for kind in job.complains_of
    )


def is_verified(catalogue: Catalogue, job: Job, done: Iterable[str]) -> bool:
    """Whether one of the checks done showed the complaint."""
    return any(shows_complaint(catalogue.checks[name], job) for name in done if name in catalogue.checks)


def verifying(found: list[Option], job: Job, readiness: Readiness) -> Option | None:
    """The option that comes before all others while nothing has shown the complaint: the one that shows it best for its
    minutes; None where none can be had any more.

    Where the engine must be started for it, quick checks that only a cold engine allows come first, those that run it
    last.
    """
    shows = [option for option in found if shows_complaint(option.check, job)]
    if not shows:
        return None
    best = max(shows, key=lambda option: option.rate)
    if readiness.cold and any(action.verb == "engine" for action in best.before):
        lost = [
            option
            for option in found
            if (option.check.opens_cap or "cold" in option.check.best_when)
            and all(action.verb != "engine" for action in option.before)
            and option.minutes <= LOST_MINUTES
            and option.bits > LOST_BITS
            and option.rate >= LOST_RATE * best.rate
        ]
        return max(lost, key=lambda option: (not option.check.runs_engine, option.rate), default=best)
    return best


def repair_cost(catalogue: Catalogue, vehicle: Vehicle, fault: Fault) -> tuple[float, bool]:
    """Work and parts of the cheapest repair that cures a fault [min], and whether it is one to confirm first."""
    cures = [catalogue.repairs[name] for name in fault.cured_by if name in catalogue.repairs]
    costs = [
        (cure.minutes + COST_CLASSES[cure.cost], cure.minutes > LONG_MINUTES or cure.cost in EXPENSIVE)
        for cure in cures
        if cure.fits(vehicle)
    ]
    return min(costs, default=(0.0, False))


def wrong_repair(hypotheses: Hypotheses) -> float:
    """What declaring the wrong fault is expected to cost [min]: work and parts by belief, and starting again."""
    known = hypotheses.workshop
    costs = [repair_cost(known.catalogue, known.vehicle, fault)[0] for fault in hypotheses.faults]
    cost = STARTING_AGAIN + float(hypotheses.belief() @ np.array(costs))
    return min(max(cost, WRONG_REPAIR_MINUTES), MOST_MINUTES)


def unseen(hypotheses: Hypotheses, done: Iterable[str]) -> tuple[str, ...]:
    """Ids of checks that look at the part of the likeliest fault, none of which is done; empty where one is."""
    looks = hypotheses.faults[int(hypotheses.belief().argmax())].looked_at_by
    return () if set(looks) & set(done) else looks


def rivals(hypotheses: Hypotheses) -> list[int]:
    """Faults (indices) that the likeliest one must still be told from before it is declared.

    Those that it is not parted from by what was seen but only by how common it is; where its repair is long or
    expensive and the belief is below CONFIRMED, every other fault that is left.
    """
    belief = hypotheses.belief()
    likeliest = int(belief.argmax())
    fault = hypotheses.faults[likeliest]
    _, dear = repair_cost(hypotheses.workshop.catalogue, hypotheses.workshop.vehicle, fault)
    others = [k for k in np.flatnonzero(belief > 0.0).tolist() if k != likeliest]
    if dear and belief[likeliest] < CONFIRMED:
        return others
    before = prior(hypotheses.job, hypotheses.faults)
    odds = before[likeliest] / np.maximum(before, 1e-300)
    return [k for k in others if belief[k] >= RIVAL and belief[likeliest] < PARTED * odds[k] * belief[k]]


def against(hypotheses: Hypotheses, others: list[int]) -> Hypotheses:
    """The vehicles of the likeliest fault and those of others (indices), half the weight to each side: one who doubts
    a fault does not go by how likely it is.
    """
    weights, likeliest = hypotheses.weights(), int(hypotheses.belief().argmax())
    keep = np.flatnonzero(hypotheses.has([likeliest, *others]) & (weights > 0.0))
    two = hypotheses.copy(keep)
    mine, w = two.has([likeliest]), weights[keep]
    two.drawn = np.ones(len(two.drawn))
    two.log_weight = np.log(w / np.where(mine, max(w[mine].sum(), 1e-300), max(w[~mine].sum(), 1e-300)))
    return two


def confirming(ahead: Prospect, likeliest: int, most: float) -> Option | None:
    """The option that best tells, for its minutes, a fault (index) from its rivals; None where none tells enough.

    ahead: what could be done next, tried on vehicles of ``against``; most: minutes that it may take.
    """
    weight, mine = ahead.near.weights(), ahead.near.has([likeliest])
    best, best_rate = None, 0.0
    for option, shown in zip(ahead.found, ahead.shown, strict=True):
        bits = _between(shown * weight, mine)
        rate = bits / max(option.minutes, 0.25)
        if option.minutes <= most and bits >= CONFIRMING_BITS and rate > best_rate:
            best, best_rate = option, rate
    return best


def _between(joint: np.ndarray, mine: np.ndarray) -> float:
    """Information [bit] about which of two equally likely sides it is, from joint chances of outcomes, tried in
    proportion, and vehicles (outcomes, n); mine (n,): the one side.
    """
    share = joint[:, mine].sum(axis=1) / joint.sum(axis=1)
    both = np.clip(np.stack([share, 1.0 - share]), 1e-12, 1.0)
    return 1.0 + float(np.mean(np.sum(both * np.log2(both), axis=0)))
