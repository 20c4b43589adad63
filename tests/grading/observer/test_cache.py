"""What sessions have in common is followed once, and nothing of a grade depends on who was marked before."""

from __future__ import annotations

import json

import numpy as np
import pytest

import grading.observer.cache
from grading.marks.grade import Grader
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from scenarios.actions import Action
from tests.grading.workbench import FIND, SEED, bench, play, with_fault

DECLARE = (Action("diagnose", ("coolant-low", 90.0)),)


def test_a_grade_is_the_same_whoever_was_marked_before() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    first, second = (play(catalogue, job, *actions, *DECLARE).recorder.entries for actions in (FIND, FIND[:3]))
    alone, after = Grader(catalogue, job, SEED), Grader(catalogue, job, SEED)
    after.grade(first)
    beliefs = [json.dumps(grader.grade(second).to_json(), sort_keys=True) for grader in (alone, after, after)]
    assert beliefs[0] == beliefs[1] == beliefs[2]


def test_a_common_beginning_is_followed_once_and_old_beliefs_are_forgotten(monkeypatch: pytest.MonkeyPatch) -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    entries = [e for e in play(catalogue, job, *FIND[:4]).recorder.entries if e.kind == "action"]
    monkeypatch.setattr(grading.observer.cache, "resample", lambda belief: belief)  # it would replay further vehicles
    belief_cache, acted = BeliefCache(Particles.sample_prior(catalogue, job), most=3), 0
    act = Particles.act

    def counted(self: Particles, action: Action, steps: list[int], noticed: list[tuple[str, int]]) -> object:
        nonlocal acted
        acted += 1
        return act(self, action, steps, noticed)

    def follow(count: int) -> Particles:
        now = belief_cache.start
        for entry in entries[:count]:
            now, _ = belief_cache.after(now, entry.action, entry.steps, entry.noticed)
        return now

    once = follow(3)
    monkeypatch.setattr(Particles, "act", counted)
    assert follow(3) is once and acted == 0
    follow(4)  # the fourth is new, and the first is forgotten for it
    assert acted == 1
    assert follow(1) is not None and acted == 2
    assert len(belief_cache.start.history) == 0  # what was handed out is never changed


def followed(belief_cache: BeliefCache, *actions: tuple[Action, list[int], list[tuple[str, int]]]) -> Particles:
    """The belief after (action, steps read, signs noticed)."""
    now = belief_cache.start
    for action, steps, noticed in actions:
        now, _ = belief_cache.after(now, action, steps, noticed)
    return now


def test_once_is_keyed_by_history_and_subject() -> None:
    """Computed again for other actions, readings, signs or subjects."""
    catalogue, job = with_fault(bench(), "coolant-low")
    belief_cache, on, off = (
        BeliefCache(Particles.sample_prior(catalogue, job)),
        Action("ignition", ("on",)),
        Action("ignition", ("off",)),
    )
    thoughts: list[int] = []

    def think() -> int:
        thoughts.append(len(thoughts))
        return thoughts[-1]

    read = Action("check", ("gauge",))
    beliefs = [
        followed(belief_cache),
        followed(belief_cache, (on, [], [])),
        followed(belief_cache, (on, [], [("gauge seen", 0)])),
        followed(belief_cache, (on, [], [("gauge seen", 1)])),
        followed(belief_cache, (on, [], []), (read, [0], [])),
        followed(belief_cache, (on, [], []), (read, [1], [])),
        followed(belief_cache, (on, [], []), (off, [], [])),
    ]
    for again in range(2):
        for place, now in enumerate(beliefs):
            assert belief_cache.once(now, "a", think) == 2 * place, again
            assert belief_cache.once(now, "b", think) == 2 * place + 1
    assert len(thoughts) == 2 * len(beliefs)
    # a new object with the same history
    assert belief_cache.once(followed(belief_cache, (on, [], []), (read, [1], [])), "b", think) == 11


def test_belief_settles_only_after_evidence(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    settled: list[int] = []

    def resample(belief: Particles) -> Particles:
        settled.append(len(belief.history))
        return belief

    monkeypatch.setattr(grading.observer.cache, "resample", resample)
    belief_cache = BeliefCache(Particles.sample_prior(catalogue, job))
    on = Action("ignition", ("on",))
    followed(
        belief_cache, (on, [], []), (on, [], [("gauge seen", 0)]), (Action("check", ("gauge",)), [0], []), (on, [], [])
    )
    assert settled == [2, 3]


def test_performed_refers_to_the_particles_before_settling(monkeypatch: pytest.MonkeyPatch) -> None:
    """Settling may replace particles afterwards."""
    catalogue, job = with_fault(bench(), "coolant-low")
    monkeypatch.setattr(grading.observer.cache, "resample", lambda belief: belief.copy(np.arange(5)))
    belief_cache = BeliefCache(Particles.sample_prior(catalogue, job))
    then, done = belief_cache.after(belief_cache.start, Action("check", ("heater-feed-infrared",)), [5], [])
    assert (len(then.label), len(done.readings[0][1])) == (5, len(belief_cache.start.label))
    assert belief_cache.after(belief_cache.start, Action("check", ("heater-feed-infrared",)), [5], [])[1] is done


def test_least_recently_used_belief_is_evicted() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    belief_cache = BeliefCache(Particles.sample_prior(catalogue, job), most=2)
    on, off, go = (Action(verb, (word,)) for verb, word in (("ignition", "on"), ("ignition", "off"), ("go", "bench")))
    first, second = (followed(belief_cache, (action, [], [])) for action in (on, off))
    assert followed(belief_cache, (on, [], [])) is first  # now the more recently used
    followed(belief_cache, (go, [], []))
    assert followed(belief_cache, (on, [], [])) is first
    assert followed(belief_cache, (off, [], [])) is not second


def test_a_repair_in_one_belief_leaves_the_parts_of_the_other_as_they_were() -> None:
    """Copies share parts until hands change them."""
    catalogue, job = with_fault(bench(), "hose-leaks")
    belief_cache = BeliefCache(Particles.sample_prior(catalogue, job))
    before = belief_cache.start.workshop.fleet.parameters.copy()
    assert (before["leak_hose"] > 1e-3).any()
    then, _ = belief_cache.after(belief_cache.start, Action("repair", ("new-hose",)), [], [])
    assert np.array_equal(belief_cache.start.workshop.fleet.parameters, before)
    assert then.workshop.fleet.parameters["leak_hose"].max() < before["leak_hose"].max()
