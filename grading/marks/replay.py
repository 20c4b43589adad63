"""Replay of a record on the particles: information of each step, and belief after it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from grading.observer.cache import BeliefCache
from grading.observer.information import expected_information
from grading.observer.particles import Particles
from grading.reference.options import CONFIRMS, Option
from grading.reference.policy import advised
from grading.reference.preparation import Readiness, working_minutes
from grading.sessions.record import RecordEntry
from scenarios.actions import PHYSICAL, Action


@dataclass(frozen=True)
class Step:
    """One action of the record as evaluated by the observer.

    minute: start; minutes: duration; shown: label and text of each reading; before, after (faults,): belief in each
    fault; error_before, error (faults,): their standard errors; bits: expected information [bit]; best: the check that
    the reference would have taken, None if not evaluated; worth: whether another check was worth its minutes, None if
    not evaluated; regret: minutes since the previous check in excess of those in which the best option gives as much
    information; vehicles_failed: particles removed so far because their equations could not be solved.
    """

    number: int
    action: Action
    minute: float
    minutes: float
    shown: tuple[tuple[str, str], ...]
    before: np.ndarray
    error_before: np.ndarray
    after: np.ndarray
    error: np.ndarray
    bits: float
    best: Option | None
    worth: bool | None = None
    regret: float = 0.0
    vehicles_failed: int = 0


def _solved(
    particles: Particles, looks: list[tuple[str, np.ndarray]], failed: np.ndarray
) -> tuple[Particles, list[tuple[str, np.ndarray]]]:
    """Particles and their true values without failed ones (mask (n,))."""
    if not failed.any():
        return particles, looks
    left = np.flatnonzero(~failed)
    return particles.copy(left), [(name, true[left]) for name, true in looks]


def _best_takes(best: Option | None, check: str, bits: float) -> float:
    """Minutes in which the best option gives as much information as a check that was done; all its minutes if it was
    that check and only confirms.
    """
    if best is None:
        return 0.0
    if best.purpose == CONFIRMS and best.check.id == check:
        return best.minutes
    return bits / best.rate if best.rate > 0.0 else 0.0


def replay(
    entries: list[RecordEntry],
    belief_cache: BeliefCache,
    look_ahead: bool,
    progress: Callable[[float], None] | None = None,
) -> list[Step]:
    """Steps of a record up to its last diagnosis or repair; belief_cache: beliefs of its job.

    look_ahead: also find the best option at each check up to the last diagnosis; progress: called with the share done.
    """
    particles, readiness = belief_cache.start, Readiness()
    actions = [entry for entry in entries if entry.kind == "action"]
    said = max((k for k, entry in enumerate(actions) if entry.data["verb"] == "diagnose"), default=len(actions) - 1)
    last = max((k for k, entry in enumerate(actions) if entry.data["verb"] == "repair"), default=said)
    last = max(said, last)
    steps: list[Step] = []
    done: set[str] = set()
    worked = looked = 0.0  # working minutes, now and at the end of the previous check
    belief, error = particles.belief(), particles.error()
    for k, entry in enumerate(actions[: last + 1]):
        action, before, error_before = entry.action, belief, error
        bits, best, worth, regret = 0.0, None, None, 0.0
        if action.verb in PHYSICAL:
            if action.verb == "check" and look_ahead and k <= said:
                advice = advised(belief_cache, particles, readiness, done)
                best, worth = advice.best, advice.worth
            earlier = particles
            particles, performed = belief_cache.after(earlier, action, entry.steps, entry.noticed)
            readiness.note(particles.workshop, performed.minutes, action)
            worked += working_minutes(action, performed.minutes)
            if action.verb == "check" and entry.steps:
                looks = [(spec.instrument, true) for spec, true, _ in performed.readings]
                bits = max(expected_information(*_solved(earlier, looks, performed.failed))[0], 0.0)
            if action.verb == "check":
                done.add(action.text(0))
                regret = worked - looked - _best_takes(best, action.text(0), bits)
                looked = worked
        elif action.verb == "diagnose" and look_ahead:
            advice = advised(belief_cache, particles, readiness, done)
            best, worth = advice.best, advice.worth
        belief, error = particles.belief(), particles.error()
        shown = tuple((str(r["label"]), str(r["shown"])) for r in entry.data.get("readings", ()))
        steps.append(
            Step(
                int(entry.data["n"]),
                action,
                float(entry.data["minute"]),
                float(entry.data["minutes"]),
                shown,
                before,
                error_before,
                belief,
                error,
                bits,
                best,
                worth,
                max(regret, 0.0) if look_ahead else 0.0,
                particles.vehicles_failed,
            )
        )
        if progress:
            progress((k + 1) / (last + 1))
    return steps
