"""The reference diagnostician: what a perfect observer would do on the same vehicle, told nothing else.

It verifies the complaint first. Then, at each point, it tries every check, with the preparations that the check wants,
on some of the possible vehicles. Of the checks with most information about the fault per minute it takes the one after
which the rest of the way would be cheapest, were it gone by information per minute alone (a rollout,
``grading.reference.rollout``); and it stops when no way on saves more minutes of wrong repairs than it takes, the part
has been looked at and rivals are told from it (``grading.reference.foreman``). Hints and the debrief ask the same rule
(``advise``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from grading.observer.cache import Trail
from grading.observer.particles import Hypotheses
from grading.reference.foreman import (
    CONFIRMING_SHARE,
    LOOKING_SHARE,
    WRONG_REPAIR_MINUTES,
    against,
    confirming,
    is_verified,
    rivals,
    shows_complaint,
    unseen,
    verifying,
    wrong_repair,
)
from grading.reference.options import CONFIRMS, VERIFIES, Option, options, prospect
from grading.reference.preparation import Readiness, State, ways
from grading.reference.rollout import Table, choose, merged
from grading.sessions.session import SWITCH_OFF, Session
from scenarios.actions import Action
from scenarios.model import Catalogue, Job

LEAST_BITS = 0.02
SURE = 0.85
"""Belief below which nobody should fit a part while there is something to look at (common practice, no source)."""
TELLING_BITS = 0.1
"""Information for which it is then still worth looking, whatever it takes."""
WITHIN_REACH = 0.3
"""Of checks whose rate is at least this share of the best."""
BY_RATE, BY_SAVING = 28, 4
"""Checks that the rollout thinks about: those of the best rates, and those that save most alone."""
OUTCOMES = 5
"""Kinds of outcome of a check that it keeps apart."""
MARGIN = 0.15
"""Share of the expected minutes that it must save against the best rate of information, for it errs by that much."""
COLD_FIRST = 0.5
"""Share of the best rate that is enough for a check which only a cold engine allows: once it runs, that is lost."""
TRIED, DEPTH, CUT = 8, 5, 0.02
"""How many checks it thinks of as the next, how many after each, and the weight of a branch not worth following."""
MOST_CHECKS = 25
SOLVER = {
    "rule": "rollout over information per minute",
    "cost_over_exact": 1.019,
    "instances": 200,
    "measured": "2026-11-28",
}
"""What a grade says of the rule: its expected cost over that of the exact optimum, summed over the instances of the
bench's ``reference_over_exact``."""


@dataclass
class Course:
    """What the reference did: its actions, checks, minutes, final belief and diagnosis, and how many of its imagined
    vehicles could not be calculated to the end.
    """

    actions: list[Action] = field(default_factory=list)
    checks: list[str] = field(default_factory=list)
    minutes: float = 0.0
    diagnosis: str = "none"
    belief: float = 0.0
    vehicles_failed: int = 0


@dataclass(frozen=True)
class Advice:
    """What the reference would do: best, the check to take, None where none is left that tells; worth, whether it is
    worth its minutes, or it is time to declare.
    """

    best: Option | None
    worth: bool


def shortlist(found: list[Option], now: float, wrong: float = WRONG_REPAIR_MINUTES) -> list[int]:
    """Places of the options that the rollout thinks about: those of the best rates, and those that save most alone.

    now: belief in the likeliest fault; wrong: what a wrong repair costs [min].
    """
    telling = [k for k, option in enumerate(found) if option.bits > LEAST_BITS]
    saves = {k: (found[k].surest - now) * wrong - found[k].minutes for k in telling}
    return sorted({*telling[:BY_RATE], *sorted(telling, key=lambda k: -saves[k])[:BY_SAVING]})


def _greedy(found: list[Option]) -> int:
    """Place of the best rate, but what only a cold engine tells comes before it is started."""
    order = sorted(range(len(found)), key=lambda k: -found[k].rate)
    if any(action.verb == "engine" for action in found[order[0]].before):
        for k in order:
            if found[k].rate < COLD_FIRST * found[order[0]].rate:
                break
            if (found[k].check.opens_cap or "cold" in found[k].check.best_when) and not found[k].before:
                return k
    return order[0]


def weigh(found: list[Option], table: Table, weight: np.ndarray) -> Advice:
    """The best of the options listed, which are the table's checks, and whether it is worth its minutes.

    It is when the rollout expects it to save more minutes of wrong repairs than all that follows takes, or when the
    belief is too weak to fit a part on and something within reach still tells. The best is that of the best rate of
    information, unless the rollout finds another that is clearly cheaper. weight (n,): of the table's vehicles.
    """
    if not found:
        return Advice(None, False)
    choice = choose(table, weight, tried=TRIED, depth=DEPTH, cut=CUT)
    if choice.check is not None:
        # a few vehicles and outcomes: what it finds a little better may be none
        greedy = _greedy(found)
        better = choice.cost < (1.0 - MARGIN) * choice.costs[greedy]
        return Advice(found[choice.check if better else greedy], True)
    belief = 1.0 - choice.stop / table.wrong
    reach = WITHIN_REACH * max(option.rate for option in found)
    near = [k for k, option in enumerate(found) if option.rate >= reach and option.bits > TELLING_BITS]
    if belief < SURE and near:
        return Advice(found[min(near, key=lambda k: (choice.costs[k], -found[k].rate))], True)
    return Advice(found[int(np.argmin(choice.costs))], False)


def advise(hypotheses: Hypotheses, readiness: Readiness, done: set[str]) -> Advice:
    """What to do next; done: checks not to be tried again.

    The complaint is verified first. Then comes what the look ahead over several checks finds. Where nothing more tells
    on a warm engine and the belief is too weak to fit a part on, it may be let cool. Before it is time to declare, the
    part is looked at, and the fault told from rivals that nothing has parted from it yet.
    """
    advice = _ahead(hypotheses, readiness, done)
    if advice.worth:
        return advice
    if float(hypotheses.belief().max()) < SURE:
        cold = [option for option in options(hypotheses, readiness, done, let_cool=True) if option.bits > TELLING_BITS]
        if cold:
            return Advice(cold[0], True)
    confirms = _confirming(hypotheses, readiness, done)
    return advice if confirms is None else Advice(replace(confirms, purpose=CONFIRMS), True)


def _confirming(hypotheses: Hypotheses, readiness: Readiness, done: set[str]) -> Option | None:
    """A check to take before the likeliest fault is declared, None where none is wanted or to be had."""
    wrong = wrong_repair(hypotheses)
    return _looking(hypotheses, readiness, done, LOOKING_SHARE * wrong) or _parting(
        hypotheses, readiness, done, CONFIRMING_SHARE * wrong
    )


def _looking(hypotheses: Hypotheses, readiness: Readiness, done: set[str], most: float) -> Option | None:
    """The quickest check that looks at the part of the likeliest fault, where none has; most: minutes it may take."""
    looks = unseen(hypotheses, done)
    if not looks:
        return None
    others = done | hypotheses.workshop.catalogue.checks.keys() - set(looks)
    for let_cool in (False, True):
        found = [o for o in options(hypotheses, readiness, others, let_cool) if o.minutes <= most]
        if found:
            return min(found, key=lambda option: option.minutes)
    return None


def _parting(hypotheses: Hypotheses, readiness: Readiness, done: set[str], most: float) -> Option | None:
    """The check that best parts the likeliest fault from rivals that nothing has parted from it; most: its minutes."""
    others = rivals(hypotheses)
    if not others:
        return None
    ahead = prospect(against(hypotheses, others), readiness, done, longest=most)
    return confirming(ahead, int(hypotheses.belief().argmax()), most)


def advised(trail: Trail, now: Hypotheses, readiness: Readiness, done: set[str]) -> Advice:
    """``advise`` at a belief of a trail: where the reference and a learner begin alike, it is asked once."""
    about = readiness.minutes_run, readiness.overheated, frozenset(done)
    return trail.once(now, about, lambda: advise(now, readiness, done))


def _ahead(hypotheses: Hypotheses, readiness: Readiness, done: set[str]) -> Advice:
    """The same, on the engine as it is."""
    wrong, now = wrong_repair(hypotheses), float(hypotheses.belief().max())
    # surer than SURE, nothing is taken next that costs more than it could save
    longest = np.inf if now < SURE else wrong * (1.0 - now)
    ahead = prospect(hypotheses, readiness, done, longest=longest, reach=WITHIN_REACH)
    if not is_verified(hypotheses.workshop.catalogue, hypotheses.job, done):
        first = verifying(ahead.found, hypotheses.job, readiness)
        if first is not None:
            return Advice(
                replace(first, purpose=VERIFIES) if shows_complaint(first.check, hypotheses.job) else first, True
            )
    near, weight = ahead.near, ahead.near.weights()
    listed = shortlist(ahead.found, float(near.by_cause().max()), wrong)
    found = [ahead.found[k] for k in listed]
    if not found:
        return Advice(None, False)
    chance = [merged(ahead.shown[k], weight, near.label, len(near.drawn), OUTCOMES) for k in listed]
    takes, leads = ways(State.of(near.workshop, readiness), near.workshop.place, [option.check for option in found])
    table = Table(near.label, len(near.drawn), np.array(chance), takes, leads, wrong)
    return weigh(found, table, weight)


def diagnose(
    catalogue: Catalogue,
    job: Job,
    seed: int,
    trail: Trail,
    progress: Callable[[float], None] | None = None,
) -> Course:
    """Diagnose the job's own vehicle as the reference would.

    trail: beliefs of the job; progress: told a share of the work done, guessed from the checks so
    far, and may raise to break it off.
    """
    session = Session(catalogue, job, seed)
    session.switches_off = False  # it is done below, where the belief follows
    hypotheses, readiness, course = trail.start, Readiness(), Course()
    done: set[str] = set()
    while len(done) < MOST_CHECKS:
        if progress:
            progress(len(done) / (len(done) + 4.0))
        advice = advised(trail, hypotheses, readiness, done)
        best = advice.best
        if best is None or not advice.worth:
            break
        for action in (*best.before, Action("check", (best.check.id,))):
            outcome = session.do(action)
            if outcome.refused is not None:
                break
            seen = [(noticed.label, noticed.step) for noticed in outcome.noticed]
            steps = [reading.step for reading in outcome.readings]
            hypotheses, _ = trail.after(hypotheses, outcome.action, steps, seen)
            readiness.note(session.workshop, outcome.minutes, action)
            course.actions.append(outcome.action)
            if action.verb == "check":
                course.checks.append(action.text(0))
            if session.must_switch_off:
                readiness.overheated = True  # a careful person lets it stand now
                session.do(SWITCH_OFF)
                hypotheses, _ = trail.after(hypotheses, SWITCH_OFF, [], [])
                course.actions.append(SWITCH_OFF)
                break
        done.add(best.check.id)
    belief = hypotheses.belief()
    course.minutes = session.minute
    course.diagnosis = hypotheses.faults[int(belief.argmax())].id
    course.belief = float(belief.max())
    course.vehicles_failed = hypotheses.vehicles_failed
    return course
