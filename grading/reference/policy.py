"""The reference: what an ideal diagnostician would do on the same vehicle with the same knowledge.

It verifies the complaint first. Then it evaluates every check with its preparations on a sample of the particles, and
takes the one with the least expected cost by a rollout (``grading.reference.rollout``). It stops when no check saves
more minutes of wrong repairs than it takes, the part has been inspected and rivals are ruled out
(``grading.reference.foreman``). Hints and the debrief use the same rule (``advise``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.reference.foreman import (
    CONFIRMING_SHARE,
    LOOKING_SHARE,
    WRONG_REPAIR_MINUTES,
    balanced_particles,
    confirming,
    is_verified,
    rivals,
    shows_complaint,
    unchecked_part,
    verifying,
    wrong_repair,
)
from grading.reference.options import CONFIRMS, VERIFIES, Option, options, prospect
from grading.reference.preparation import PlannedState, Readiness, transitions
from grading.reference.rollout import Table, choose, merge_outcomes
from grading.sessions.session import SWITCH_OFF, Session
from scenarios.actions import Action
from scenarios.model import Catalogue, Job

LEAST_BITS = 0.02
SURE = 0.85
"""Belief below which no part should be fitted while informative checks are left (common practice, no source)."""
TELLING_BITS = 0.1
"""Information [bit] for which a check is then still worth its minutes, whatever these are."""
WITHIN_REACH = 0.3
"""Least rate of such a check, as a share of the best rate."""
BY_RATE, BY_SAVING = 28, 4
"""Checks that the rollout considers: those with the best rates, and those that save most by themselves."""
OUTCOMES = 5
"""Classes of outcomes of a check in the rollout."""
MARGIN = 0.15
"""Share of the expected cost that the rollout must save against the check of the best rate: its error is that large."""
COLD_FIRST = 0.5
"""Share of the best rate that suffices for a check that needs a cold engine, as it is lost once the engine runs."""
TRIED, DEPTH, CUT = 8, 5, 0.02
"""Checks tried first, depth after each, and the least weight of a branch in the rollout."""
MOST_CHECKS = 25
SOLVER = {
    "rule": "rollout over information per minute",
    "cost_over_exact": 1.019,
    "instances": 200,
    "measured": "2026-11-28",
}
"""Description of the rule in a grade: its expected cost over that of the exact optimum, summed over the instances of
the bench's ``reference_over_exact``."""


@dataclass
class ReferenceRun:
    """What the reference did: actions, checks, minutes, diagnosis, final belief in it, and failed particles."""

    actions: list[Action] = field(default_factory=list)
    checks: list[str] = field(default_factory=list)
    minutes: float = 0.0
    diagnosis: str = "none"
    belief: float = 0.0
    vehicles_failed: int = 0


@dataclass(frozen=True)
class Advice:
    """What the reference would do. best: the check to take, None if no informative one is left; worth: whether it is
    worth its minutes, otherwise it is time to declare.
    """

    best: Option | None
    worth: bool


def shortlist(found: list[Option], now: float, wrong: float = WRONG_REPAIR_MINUTES) -> list[int]:
    """Indices of the options that the rollout considers: those with the best rates, and those that save most by
    themselves.

    now: belief in the likeliest fault; wrong: cost of a wrong repair [min].
    """
    telling = [k for k, option in enumerate(found) if option.bits > LEAST_BITS]
    saves = {k: (found[k].confidence - now) * wrong - found[k].minutes for k in telling}
    return sorted({*telling[:BY_RATE], *sorted(telling, key=lambda k: -saves[k])[:BY_SAVING]})


def _greedy(found: list[Option]) -> int:
    """Index of the option with the best rate, except that checks that need a cold engine come before it is started."""
    order = sorted(range(len(found)), key=lambda k: -found[k].rate)
    if any(action.verb == "engine" for action in found[order[0]].before):
        for k in order:
            if found[k].rate < COLD_FIRST * found[order[0]].rate:
                break
            if (found[k].check.opens_cap or "cold" in found[k].check.best_when) and not found[k].before:
                return k
    return order[0]


def choose_option(found: list[Option], table: Table, weight: np.ndarray) -> Advice:
    """The best of the options, which are the table's checks, and whether it is worth its minutes.

    It is if the rollout expects going on to save more minutes of wrong repairs than it takes, or if the belief is too
    low to fit a part and an informative check is within reach. The best is the one with the best rate of information,
    unless the rollout finds another that is clearly cheaper. weight (n,): of the table's particles.
    """
    if not found:
        return Advice(None, False)
    choice = choose(table, weight, tried=TRIED, depth=DEPTH, cut=CUT)
    if choice.check is not None:
        # small differences are noise of the few particles and outcomes
        greedy = _greedy(found)
        better = choice.cost < (1.0 - MARGIN) * choice.costs[greedy]
        return Advice(found[choice.check if better else greedy], True)
    belief = 1.0 - choice.stop / table.wrong
    reach = WITHIN_REACH * max(option.rate for option in found)
    within_reach = [k for k, option in enumerate(found) if option.rate >= reach and option.bits > TELLING_BITS]
    if belief < SURE and within_reach:
        return Advice(found[min(within_reach, key=lambda k: (choice.costs[k], -found[k].rate))], True)
    return Advice(found[int(np.argmin(choice.costs))], False)


def advise(particles: Particles, readiness: Readiness, done: set[str]) -> Advice:
    """The next step; done: checks that are not considered again.

    The complaint is verified first. Then follows the choice of the rollout. If no check on a warm engine is informative
    and the belief is too low to fit a part, the engine may be left to cool. Before it is time to declare, the part is
    inspected and the fault is separated from its remaining rivals.
    """
    advice = _rollout_advice(particles, readiness, done)
    if advice.worth:
        return advice
    if float(particles.belief().max()) < SURE:
        cold = [option for option in options(particles, readiness, done, let_cool=True) if option.bits > TELLING_BITS]
        if cold:
            return Advice(cold[0], True)
    confirms = _confirming(particles, readiness, done)
    return advice if confirms is None else Advice(replace(confirms, purpose=CONFIRMS), True)


def _confirming(particles: Particles, readiness: Readiness, done: set[str]) -> Option | None:
    """A check to take before the likeliest fault is declared, None if none is needed or possible."""
    wrong = wrong_repair(particles)
    return _looking(particles, readiness, done, LOOKING_SHARE * wrong) or _separating(
        particles, readiness, done, CONFIRMING_SHARE * wrong
    )


def _looking(particles: Particles, readiness: Readiness, done: set[str], most: float) -> Option | None:
    """The quickest check that inspects the part of the likeliest fault, if none was done; most: its minutes at most."""
    looks = unchecked_part(particles, done)
    if not looks:
        return None
    others = done | particles.workshop.catalogue.checks.keys() - set(looks)
    for let_cool in (False, True):
        found = [o for o in options(particles, readiness, others, let_cool) if o.minutes <= most]
        if found:
            return min(found, key=lambda option: option.minutes)
    return None


def _separating(particles: Particles, readiness: Readiness, done: set[str], most: float) -> Option | None:
    """The check that best separates the likeliest fault from its remaining rivals; most: its minutes at most."""
    others = rivals(particles)
    if not others:
        return None
    ahead = prospect(balanced_particles(particles, others), readiness, done, longest=most)
    return confirming(ahead, int(particles.belief().argmax()), most)


def advised(belief_cache: BeliefCache, now: Particles, readiness: Readiness, done: set[str]) -> Advice:
    """``advise`` at a cached belief, computed once where the reference and a learner have the same history."""
    about = readiness.minutes_run, readiness.overheated, frozenset(done)
    return belief_cache.once(now, about, lambda: advise(now, readiness, done))


def _rollout_advice(particles: Particles, readiness: Readiness, done: set[str]) -> Advice:
    """As ``advise``, without cooling and confirmation."""
    wrong, now = wrong_repair(particles), float(particles.belief().max())
    # above SURE, nothing is taken that costs more than it can save
    longest = np.inf if now < SURE else wrong * (1.0 - now)
    ahead = prospect(particles, readiness, done, longest=longest, reach=WITHIN_REACH)
    if not is_verified(particles.workshop.catalogue, particles.job, done):
        first = verifying(ahead.found, particles.job, readiness)
        if first is not None:
            return Advice(
                replace(first, purpose=VERIFIES) if shows_complaint(first.check, particles.job) else first, True
            )
    sample, weight = ahead.sample, ahead.sample.weights()
    listed = shortlist(ahead.found, float(sample.by_cause().max()), wrong)
    found = [ahead.found[k] for k in listed]
    if not found:
        return Advice(None, False)
    chance = [merge_outcomes(ahead.shown[k], weight, sample.label, len(sample.drawn), OUTCOMES) for k in listed]
    check_minutes, next_state = transitions(
        PlannedState.of(sample.workshop, readiness), sample.workshop.place, [option.check for option in found]
    )
    table = Table(sample.label, len(sample.drawn), np.array(chance), check_minutes, next_state, wrong)
    return choose_option(found, table, weight)


def diagnose(
    catalogue: Catalogue,
    job: Job,
    seed: int,
    belief_cache: BeliefCache,
    progress: Callable[[float], None] | None = None,
) -> ReferenceRun:
    """Diagnose the job's own vehicle as the reference would.

    belief_cache: beliefs of the job; progress: called with the share done, estimated from the checks so far; it may
    raise to abort.
    """
    return diagnosed(catalogue, job, seed, belief_cache, progress).course


@dataclass(frozen=True)
class Diagnosed:
    """The end of a diagnosis: what the reference did, its particles, how long the engine has run, and checks done."""

    course: ReferenceRun
    particles: Particles
    readiness: Readiness
    done: set[str]


def diagnosed(
    catalogue: Catalogue,
    job: Job,
    seed: int,
    belief_cache: BeliefCache,
    progress: Callable[[float], None] | None = None,
) -> Diagnosed:
    """``diagnose`` with what it ends in."""
    session = Session(catalogue, job, seed)
    session.switches_off = False  # done below, where the belief is updated
    particles, readiness, course = belief_cache.start, Readiness(), ReferenceRun()
    done: set[str] = set()
    while len(done) < MOST_CHECKS:
        if progress:
            progress(len(done) / (len(done) + 4.0))
        advice = advised(belief_cache, particles, readiness, done)
        best = advice.best
        if best is None or not advice.worth:
            break
        for action in (*best.before, Action("check", (best.check.id,))):
            outcome = session.do(action)
            if outcome.refused is not None:
                break
            seen = [(noticed.label, noticed.step) for noticed in outcome.noticed]
            steps = [reading.step for reading in outcome.readings]
            particles, _ = belief_cache.after(particles, outcome.action, steps, seen)
            readiness.note(session.workshop, outcome.minutes, action)
            course.actions.append(outcome.action)
            if action.verb == "check":
                course.checks.append(action.text(0))
            if session.must_switch_off:
                readiness.overheated = True  # it must stand now
                session.do(SWITCH_OFF)
                particles, _ = belief_cache.after(particles, SWITCH_OFF, [], [])
                course.actions.append(SWITCH_OFF)
                break
        done.add(best.check.id)
    belief = particles.belief()
    course.minutes = session.minute
    course.diagnosis = particles.faults[int(belief.argmax())].id
    course.belief = float(belief.max())
    course.vehicles_failed = particles.vehicles_failed
    return Diagnosed(course, particles, readiness, done)
