"""The reference diagnostician: what a perfect observer would do on the same vehicle, told nothing else.

At each point it asks of every check, with the preparations that the check wants, how much information about the fault
it would bring per minute, by trying it on the possible vehicles; does the best; and stops when no check is worth its
minutes any more beside the cost of a wrong repair.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from grading.belief import Hypotheses, entropy
from grading.planning import Readiness, preparation
from grading.session import Session
from grading.upkeep import settle
from scenarios.actions import Action, NotPossible
from scenarios.model import Catalogue, Check, Job
from scenarios.workshop import WATCH, Workshop
from sim.instruments import INSTRUMENTS
from sim.observe import QUANTITIES
from sim.reading import Known
from sim.variation import normal_deviates, uniform

FOLLOWED = 128
"""Vehicles that the look ahead tries a check on."""
TRIALS = 24
"""Outcomes of a check that are tried."""
WRONG_REPAIR_MINUTES = 240.0
"""What a wrong diagnosis costs, in minutes: the work, the part, and starting again (common practice, no source)."""
COLD_FIRST = 0.5
"""Share of the best rate that is enough for a check which only a cold engine allows: once it runs, that is lost."""
LEAST_BITS = 0.02
SURE = 0.85
"""Belief below which nobody should fit a part while there is something to look at (common practice, no source)."""
TELLING_BITS = 0.1
"""Information for which it is then still worth looking, whatever it takes."""
WITHIN_REACH = 0.3
"""Of checks whose rate is at least this share of the best."""
MOST_CHECKS = 25


@dataclass(frozen=True)
class Option:
    """A check that could be next: its preparations, minutes of all, expected information [bit] and expected belief in
    the likeliest fault afterwards.
    """

    check: Check
    before: tuple[Action, ...]
    minutes: float
    bits: float
    surest: float

    @property
    def rate(self) -> float:
        """Information per minute [bit/min]."""
        return self.bits / max(self.minutes, 0.25)


@dataclass
class Course:
    """What the reference did: its actions, checks, minutes, final belief and diagnosis."""

    actions: list[Action] = field(default_factory=list)
    checks: list[str] = field(default_factory=list)
    minutes: float = 0.0
    diagnosis: str = "none"
    belief: float = 0.0


def _sample(hypotheses: Hypotheses, count: int) -> np.ndarray:
    """Indices of at most count vehicles, drawn evenly through the cumulative weights."""
    w = hypotheses.weights()
    if len(w) <= count:
        return np.arange(len(w))
    places = (np.arange(count) + 0.5) / count
    return np.unique(np.minimum(np.searchsorted(np.cumsum(w), places), len(w) - 1))


def _look(workshop: Workshop, check: Check) -> list[tuple[str, np.ndarray]]:
    """Instrument and true quantities of a check, as they stand now, its own control settings tried in turn."""
    out = []
    for spec in check.readings:
        before = {name: workshop.fleet.controls[name].copy() for name in spec.sets}
        for name, value in spec.sets.items():
            workshop.fleet.controls[name] = value
        if spec.sets:
            workshop.fleet.refresh()
        out.append((spec.instrument, QUANTITIES[spec.quantity](workshop.fleet)))
        for name, value in before.items():
            workshop.fleet.controls[name] = value
        if spec.sets:
            workshop.fleet.refresh()
    return out


@cache
def _noise(reading: int) -> np.ndarray:
    """Noise of a check's reading in each trial, as standard normal deviates (TRIALS,)."""
    return normal_deviates(np.array([uniform("trial", reading, m) for m in range(TRIALS)]))


def expect(hypotheses: Hypotheses, looks: list[tuple[str, np.ndarray]]) -> tuple[float, float]:
    """Expected information [bit] and expected belief in the likeliest fault, over outcomes tried in proportion."""
    w = hypotheses.weights()
    count, faults = len(w), len(hypotheses.faults)
    places = (np.arange(TRIALS) + 0.5) / TRIALS
    truths = np.minimum(np.searchsorted(np.cumsum(w), places), count - 1)
    likelihood = np.ones((TRIALS, count))
    for k, (name, true) in enumerate(looks):
        instrument = INSTRUMENTS[name]
        known = hypotheses.known(name)
        blur = instrument.blur(true, w, hypotheses.label, faults, known)
        of_truths = None if known is None else Known(known.mean[truths], known.variance[truths])
        steps, which = np.unique(instrument.read_all(true[truths], _noise(k), of_truths), return_inverse=True)
        likelihood *= instrument.likelihoods(steps.tolist(), true, blur, known)[which]
    starts = np.flatnonzero(np.diff(hypotheses.label, prepend=-1))  # labels rise
    joint = np.zeros((TRIALS, faults))
    joint[:, hypotheses.label[starts]] = np.add.reduceat(likelihood * w, starts, axis=1)
    posterior = joint / joint.sum(axis=1, keepdims=True)
    before = float(entropy(hypotheses.belief()))
    return before - float(entropy(posterior).mean()), float(posterior.max(axis=1).mean())


def _after(before: tuple[Action, ...], moments: dict[tuple[Action, ...], Hypotheses | None]) -> Hypotheses | None:
    """The moment after some preparations, None where they cannot be done; what checks share of them is done once."""
    if before not in moments:
        earlier = _after(before[:-1], moments)
        made = None if earlier is None else earlier.copy()
        try:
            if made is not None:
                made.act(before[-1])
        except NotPossible:
            made = None
        moments[before] = made
    return moments[before]


def options(hypotheses: Hypotheses, readiness: Readiness, done: set[str]) -> list[Option]:
    """Every check that could be next, best information per minute first; done: checks not to be tried again."""
    chosen = _sample(hypotheses, FOLLOWED)
    near = hypotheses.copy(chosen)
    # drawn in proportion to their weights they count alike, unless all of them were taken
    shares = hypotheses.weights()[chosen] if len(chosen) == len(hypotheses.label) else np.ones(len(chosen))
    near.drawn = np.ones(len(near.faults))
    near.log_weight = np.log(np.maximum(shares, 1e-300))
    groups: dict[tuple[Action, ...], list[Check]] = {}
    for check in hypotheses.workshop.catalogue.checks_of(hypotheses.workshop.vehicle):
        if check.id in done or not check.readings:
            continue
        before = preparation(hypotheses.workshop, check, readiness)
        if before is not None:
            groups.setdefault(tuple(before), []).append(check)
    found = []
    moments: dict[tuple[Action, ...], Hypotheses | None] = {(): near}
    for before, checks in groups.items():
        tried = _after(before, moments)
        if tried is None:
            continue
        minutes = tried.workshop.minute - near.workshop.minute
        for check in checks:
            bits, surest = expect(tried, _look(tried.workshop, check))
            walk = 0.0 if tried.workshop.place == check.place else 0.5
            found.append(Option(check, before, minutes + walk + check.minutes, max(bits, 0.0), surest))
    return sorted(found, key=lambda option: (-option.rate, option.check.id))


def worth_going_on(belief: np.ndarray, found: list[Option]) -> bool:
    """Whether some check is expected to save more minutes of wrong repairs than it takes, or the belief is too weak to
    fit a part on and something within reach still tells.
    """
    now = float(belief.max())
    saves = any(
        option.bits > LEAST_BITS and (option.surest - now) * WRONG_REPAIR_MINUTES > option.minutes for option in found
    )
    near = [option.bits for option in found if option.rate >= WITHIN_REACH * found[0].rate]
    return saves or (now < SURE and max(near, default=0.0) > TELLING_BITS)


def _next(found: list[Option], readiness: Readiness) -> Option:
    """The best option, but what only a cold engine tells comes before it is started."""
    if readiness.cold and any(action.verb == "engine" for action in found[0].before):
        for option in found:
            if option.rate < COLD_FIRST * found[0].rate or option.bits < LEAST_BITS:
                break
            if (option.check.opens_cap or "cold" in option.check.best_when) and not option.before:
                return option
    return found[0]


def diagnose(
    catalogue: Catalogue,
    job: Job,
    seed: int,
    imagined: Hypotheses,
    progress: Callable[[float], None] | None = None,
) -> Course:
    """Diagnose the job's own vehicle as the reference would.

    imagined: a fresh belief, which is not changed; progress: told a share of the work done, guessed from the checks so
    far, and may raise to break it off.
    """
    session = Session(catalogue, job, seed)
    hypotheses, readiness, course = imagined.copy(), Readiness(), Course()
    done: set[str] = set()
    while len(done) < MOST_CHECKS:
        if progress:
            progress(len(done) / (len(done) + 4.0))
        found = options(hypotheses, readiness, done)
        if not worth_going_on(hypotheses.belief(), found):
            break
        best = _next(found, readiness)
        for action in (*best.before, Action("check", (best.check.id,))):
            outcome = session.do(action)
            if outcome.refused is not None:
                break
            seen = [(noticed.label, noticed.step) for noticed in outcome.noticed]
            hypotheses.act(outcome.action, [reading.step for reading in outcome.readings], seen)
            readiness.note(session.workshop, outcome.minutes)
            course.actions.append(outcome.action)
            if action.verb == "check":
                course.checks.append(action.text(0))
            if any(reading.label == WATCH.label and reading.step for reading in outcome.readings):
                readiness.overheated = True  # a careful person lets it stand now
                off = Action("ignition", ("off",))
                session.do(off)
                hypotheses.act(off)
                course.actions.append(off)
                break
        hypotheses = settle(hypotheses)
        done.add(best.check.id)
    belief = hypotheses.belief()
    course.minutes = session.minute
    course.diagnosis = hypotheses.faults[int(belief.argmax())].id
    course.belief = float(belief.max())
    return course
