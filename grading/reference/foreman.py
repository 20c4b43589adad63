"""Rules of the reference beyond information per minute: verify the complaint, weigh the cost of the repair, rule out
rivals.

The complaint is verified first, and a fault is not declared for its prior alone: some reading must have separated it
from its rivals. Common practice, no source; figures are ours.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from grading.observer.particles import Particles
from grading.observer.prior import prior
from grading.reference.options import Option, Prospect
from grading.reference.preparation import Readiness
from scenarios.model import COST_CLASSES, Catalogue, Check, Fault, Job, Vehicle

WRONG_REPAIR_MINUTES = 240.0
"""Usual and least cost of a wrong diagnosis [min]: work, part and starting again (common practice, no source)."""
STARTING_AGAIN, MOST_MINUTES = 100.0, 900.0
"""Minutes for starting again after a wrong repair, and the most that a wrong diagnosis counts for."""
LONG_MINUTES = 120.0
"""Work [min] above which a repair is confirmed first."""
EXPENSIVE = ("large", "dear")
"""Cost classes of parts whose repair is confirmed first."""
CONFIRMED = 0.97
"""Belief from which such a repair needs no further confirmation."""
SEPARATED = 8.0
"""Factor by which readings must have changed the odds between two faults for them to count as separated."""
RIVAL = 0.004
"""Belief from which a fault is a rival that must be separated from the declared one."""
CONFIRMING_BITS = 0.3
"""Information [bit] of a check between the declared fault and its rivals, of at most 1, from which it confirms."""
CONFIRMING_SHARE, LOOKING_SHARE = 0.05, 0.1
"""Most minutes, as a share of the cost of a wrong diagnosis, of a check that separates the declared fault from rivals,
and of one that inspects the part itself."""
LOST_BITS, LOST_RATE, LOST_MINUTES = 0.1, 0.2, 6.0
"""A check that needs a cold engine comes before the engine is started to verify the complaint: its least information
[bit], least rate as a share of that of the verifying check, and most minutes."""

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
"""Quantities that show a complaint, by key of COMPLAINTS. Overheating is left out: it is not reproduced on purpose."""
FELT_WARM = frozenset({"cold", "lukewarm", "cold at idle", "cold on the road", "cold standing", "cold in the rear"})
"""Complaints that a cold engine cannot show, as every heater is cold then."""


def shows_complaint(check: Check, job: Job) -> bool:
    """Whether a check reads a quantity that shows the job's complaint."""
    read = {spec.quantity for spec in check.readings}
    return any(
        read & set(SHOWN_BY.get(kind, ())) and not (kind in FELT_WARM and "cold" in check.best_when)
        for kind in job.complains_of
    )


def is_verified(catalogue: Catalogue, job: Job, done: Iterable[str]) -> bool:
    """Whether one of the checks done could show the complaint."""
    return any(shows_complaint(catalogue.checks[name], job) for name in done if name in catalogue.checks)


def verifying(found: list[Option], job: Job, readiness: Readiness) -> Option | None:
    """The option that verifies the complaint with the best rate of information; None if none is possible any more.

    If the engine must be started for it, quick checks that need a cold engine come first, those that run it last.
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
    """Cost of work and parts of the cheapest cure of a fault [min], and whether it is to be confirmed first."""
    cures = [catalogue.repairs[name] for name in fault.cured_by if name in catalogue.repairs]
    costs = [
        (cure.minutes + COST_CLASSES[cure.cost], cure.minutes > LONG_MINUTES or cure.cost in EXPENSIVE)
        for cure in cures
        if cure.fits(vehicle)
    ]
    return min(costs, default=(0.0, False))


def wrong_repair(particles: Particles) -> float:
    """Expected cost of a wrong diagnosis [min]: work and parts weighted by belief, and starting again."""
    known = particles.workshop
    costs = [repair_cost(known.catalogue, known.vehicle, fault)[0] for fault in particles.faults]
    cost = STARTING_AGAIN + float(particles.belief() @ np.array(costs))
    return min(max(cost, WRONG_REPAIR_MINUTES), MOST_MINUTES)


def unchecked_part(particles: Particles, done: Iterable[str]) -> tuple[str, ...]:
    """Ids of checks that inspect the part of the likeliest fault; empty if one of them is done."""
    looks = particles.faults[int(particles.belief().argmax())].looked_at_by
    return () if set(looks) & set(done) else looks


def rivals(particles: Particles) -> list[int]:
    """Faults (indices) that the likeliest one must still be separated from before it is declared.

    Those that only the prior separates from it; all other remaining faults if its repair is long or expensive and the
    belief is below CONFIRMED.
    """
    belief = particles.belief()
    likeliest = int(belief.argmax())
    fault = particles.faults[likeliest]
    _, dear = repair_cost(particles.workshop.catalogue, particles.workshop.vehicle, fault)
    others = [k for k in np.flatnonzero(belief > 0.0).tolist() if k != likeliest]
    if dear and belief[likeliest] < CONFIRMED:
        return others
    before = prior(particles.job, particles.faults)
    odds = before[likeliest] / np.maximum(before, 1e-300)
    return [k for k in others if belief[k] >= RIVAL and belief[likeliest] < SEPARATED * odds[k] * belief[k]]


def balanced_particles(particles: Particles, others: list[int]) -> Particles:
    """The particles of the likeliest fault and of others (indices), with half the weight on each side."""
    weights, likeliest = particles.weights(), int(particles.belief().argmax())
    keep = np.flatnonzero(particles.has([likeliest, *others]) & (weights > 0.0))
    two = particles.copy(keep)
    mine, w = two.has([likeliest]), weights[keep]
    two.drawn = np.ones(len(two.drawn))
    two.log_weight = np.log(w / np.where(mine, max(w[mine].sum(), 1e-300), max(w[~mine].sum(), 1e-300)))
    return two


def confirming(ahead: Prospect, likeliest: int, most: float) -> Option | None:
    """The option with the best rate of information between a fault (index) and its rivals; None if none has enough.

    ahead: options evaluated on ``balanced_particles``; most: minutes that it may take.
    """
    weight, mine = ahead.sample.weights(), ahead.sample.has([likeliest])
    best, best_rate = None, 0.0
    for option, shown in zip(ahead.found, ahead.shown, strict=True):
        bits = _information_between(shown * weight, mine)
        rate = bits / max(option.minutes, 0.25)
        if option.minutes <= most and bits >= CONFIRMING_BITS and rate > best_rate:
            best, best_rate = option, rate
    return best


def _information_between(joint: np.ndarray, mine: np.ndarray) -> float:
    """Information [bit] about which of two equally likely sides is true, from joint probabilities of sampled outcomes
    and particles (outcomes, n); mine (n,): mask of one side.
    """
    share = joint[:, mine].sum(axis=1) / joint.sum(axis=1)
    both = np.clip(np.stack([share, 1.0 - share]), 1e-12, 1.0)
    return 1.0 + float(np.mean(np.sum(both * np.log2(both), axis=0)))
