"""The options of the reference: checks tried after their preparations, on a sample of particles."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import grading.reference.options as module
from grading.observer.information import TRIALS
from grading.observer.particles import Particles
from grading.reference.options import evaluated_options, options, prospect
from grading.reference.preparation import Readiness
from scenarios.actions import Action
from scenarios.model import Check
from tests.grading.reference.small_course import (
    COOL,
    FEED,
    HOT,
    LEVEL,
    LOW,
    RETURN,
    START,
    WARM_UP,
    cold,
    option,
    small,
)

sample, after = module._sample, module._after


def test_checks_are_tried_after_their_preparations() -> None:
    belief = cold()
    catalogue = belief.workshop.catalogue
    at_run = replace(catalogue.checks["gauge"], id="dash-lamps", best_when=())
    belief.workshop.catalogue = replace(catalogue, checks=catalogue.checks | {at_run.id: at_run})
    belief.act(Action("wait", (10.0,)))
    tried = [(one.check.id, one.before, one.minutes) for one, _ in evaluated_options(belief, Readiness(), set())]
    assert tried == [
        (LEVEL, (), 1.5),
        ("dash-lamps", (Action("ignition", ("on",)),), 1.0),
        ("gauge", WARM_UP, 16.0),
        ("vent-temperature", WARM_UP, 16.0),
        (FEED, WARM_UP, 16.5),
        (RETURN, WARM_UP, 16.5),
    ]
    assert (belief.workshop.minute, len(belief.history)) == (10.0, 1)


def test_check_whose_preparation_is_refused_is_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """Idling is refused while the engine is off."""
    prepare = module.preparation

    def refused(workshop: Any, check: Check, *more: Any) -> list[Action] | None:
        return [Action("idle", (1.0,))] if check.id == "gauge" else prepare(workshop, check, *more)

    monkeypatch.setattr(module, "preparation", refused)
    tried = [one.check.id for one, _ in evaluated_options(cold(), Readiness(), set())]
    assert tried == [LEVEL, "vent-temperature", FEED, RETURN]


def test_checks_left_out() -> None:
    belief = cold()
    catalogue = belief.workshop.catalogue
    silent = replace(catalogue.checks["gauge"], readings=())
    belief.workshop.catalogue = replace(catalogue, checks=catalogue.checks | {"gauge": silent})
    readiness = Readiness()
    readiness.minutes_run = 15.0
    found = list(evaluated_options(belief, readiness, {FEED}))
    assert [one.check.id for one, _ in found] == [RETURN, "vent-temperature"]
    assert found[0][0].before == (HOT, LOW)
    cooled = [
        (one.check.id, one.before, one.minutes) for one, _ in evaluated_options(belief, readiness, set(), let_cool=True)
    ]
    assert cooled == [(LEVEL, (COOL,), pytest.approx(42.0 + 1.5))]  # waiting counts a tenth
    assert list(evaluated_options(belief, readiness, {LEVEL}, let_cool=True)) == []
    assert [one.check.id for one in options(belief, readiness, set(), let_cool=True)] == [LEVEL]
    ids = {one.check.id for one in options(belief, readiness, {FEED})}
    assert ids == {one.check.id for one in prospect(belief, readiness, {FEED}).found} == {RETURN, "vent-temperature"}


def test_option_holds_information_and_expected_belief() -> None:
    belief = cold()
    found, chances = next(evaluated_options(belief, Readiness(), set()))
    assert found.check.id == LEVEL
    assert chances.shape == (TRIALS, len(belief.label))
    joint = np.array([np.bincount(belief.label, row * belief.weights()) for row in chances])
    posterior = joint / joint.sum(axis=1, keepdims=True)
    uncertain = [-sum(p * math.log2(p) for p in row if p > 0.0) for row in [belief.belief(), *posterior]]
    assert found.bits == pytest.approx(uncertain[0] - np.mean(uncertain[1:]), abs=1e-9)
    assert found.confidence == pytest.approx(posterior.max(axis=1).mean())


def test_preparations_are_shared_and_none_when_impossible(monkeypatch: pytest.MonkeyPatch) -> None:
    acted: list[Action] = []
    act = Particles.act

    def noted(self: Particles, action: Action) -> object:
        acted.append(action)
        return act(self, action)

    monkeypatch.setattr(Particles, "act", noted)
    belief = cold()
    moments: dict[tuple[Action, ...], Particles | None] = {(): belief}
    two = after((START, LOW), moments)
    assert acted == [START, LOW]
    assert two is not None and (two.workshop.control("engine"), two.workshop.control("blower")) == (1.0, 1.0)
    one = after((START,), moments)
    assert one is not None and (one.workshop.control("engine"), one.workshop.control("blower")) == (1.0, 0.0)
    assert after((START, LOW), moments) is two and acted == [START, LOW]
    assert belief.workshop.control("engine") == 0.0
    impossible = Action("idle", (1.0,))  # the engine is off
    assert after((impossible, START), moments) is None
    assert acted == [START, LOW, impossible]
    assert after((impossible,), moments) is None


def test_sample_is_systematic() -> None:
    belief = object.__new__(Particles)
    belief.label, belief.drawn = np.zeros(4, np.int64), np.ones(1)
    belief.log_weight = np.log(np.array([1.0, 4.0, 2.0, 1.0]))
    index, counts = sample(belief, 4)
    assert (index.tolist(), counts.tolist()) == ([0, 1, 2, 3], [0.125, 0.5, 0.25, 0.125])
    belief.log_weight = np.log(np.array([1.0, 13.0, 1e-9, 1.0, 1.0, 4.0]))  # sampled at 2.5, 7.5, 12.5 and 17.5 of 20
    belief.label = np.zeros(6, np.int64)
    index, counts = sample(belief, 4)
    assert (index.tolist(), counts.tolist()) == ([1, 5], [3, 1])


def test_prospect_is_sorted_by_rate() -> None:
    belief = cold()
    ahead = prospect(belief, Readiness(), set())
    rates = [one.rate for one in ahead.found]
    assert rates == sorted(rates, reverse=True) and len(rates) == 5
    assert len(ahead.sample.label) <= 128 < len(belief.label)
    assert ahead.sample.weights().sum() == pytest.approx(1.0)
    assert ahead.sample.belief() == pytest.approx(belief.belief(), abs=0.01)
    assert ahead.sample.drawn.tolist() == [1.0] * len(belief.faults)
    for found, shown in zip(ahead.found, ahead.shown, strict=True):
        joint = np.array([np.bincount(ahead.sample.label, row * ahead.sample.weights()) for row in shown])
        assert found.confidence == pytest.approx((joint.max(axis=1) / joint.sum(axis=1)).mean())


def test_prospect_keeps_the_weights_of_a_small_population() -> None:
    belief = cold()
    few = belief.copy(np.arange(0, len(belief.label), 3))
    few.log_weight = few.log_weight + np.linspace(0.0, 3.0, len(few.label))
    sample = prospect(few, Readiness(), set(small()[0].checks) - {LEVEL}).sample
    assert sample.weights() == pytest.approx(few.weights())


def test_prospect_breaks_ties_by_name(monkeypatch: pytest.MonkeyPatch) -> None:
    chances = np.ones((TRIALS, 1))
    some = [
        option(name, minutes, bits)
        for name, minutes, bits in (("gauge", 2.0, 1.0), (RETURN, 1.0, 0.5), (FEED, 4.0, 2.0))
    ]
    monkeypatch.setattr(module, "evaluated_options", lambda *_: iter([(one, chances) for one in some]))
    assert [one.check.id for one in options(cold(), Readiness(), set())] == ["gauge", FEED, RETURN]
