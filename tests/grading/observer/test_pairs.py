"""Two faults at once: when they are thought of, which of them, and what is then believed."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from grading.observer import pairs as two
from grading.observer.cache import BeliefCache
from grading.observer.pairs import MOST_PAIRS, PER_PAIR, is_surprising, proposed_pairs, with_pairs
from grading.observer.particles import Particles, _severity_and_variant, draw_quantile_sets
from grading.observer.prior import complaint_likelihood, may_come_together, prior, prior_of_pairs
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import ReadingSpec
from scenarios.workshop import Look
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
JOB = CATALOGUE.jobs["cold-chapel"]  # a blocked filter and an open resistor pack
FAULTS = CATALOGUE.faults_of(CATALOGUE.vehicles[JOB.vehicle])
INDEX = {fault.id: k for k, fault in enumerate(FAULTS)}
FILTER, PACK = INDEX["cabin-filter-blocked"], INDEX["resistor-pack-open"]
LOOK = (
    Action("ignition", ("on",)),
    Action("check", ("blower-each-speed",)),
    Action("check", ("filter-pulled",)),
    Action("ignition", ("off",)),
)
MEASURE = Action("check", ("pack-resistance",))


@cache
def after(*faults: str, measured: bool = True) -> Particles:
    """The belief after the blower, the filter and perhaps the pack were looked at in a vehicle with some faults."""
    job = replace(JOB, faults=tuple(one for one in JOB.faults if one.fault in faults))
    session, belief_cache = Session(CATALOGUE, job, 1), BeliefCache(Particles.sample_prior(CATALOGUE, job))
    now = belief_cache.start
    for action in (*LOOK, *((MEASURE,) if measured else ())):
        seen = session.do(action)
        noticed = [(one.label, one.step) for one in seen.noticed]
        now, _ = belief_cache.after(now, seen.action, [reading.step for reading in seen.readings], noticed)
    return now


def test_what_one_fault_explains_makes_nobody_think_of_two() -> None:
    assert after("cabin-filter-blocked").pairs == []
    assert after("resistor-pack-open").pairs == []
    assert after("cabin-filter-blocked", "resistor-pack-open", measured=False).pairs == []  # the filter explains it all


def test_two_faults_are_believed_in_where_no_one_fault_explains_what_was_read() -> None:
    now = after("cabin-filter-blocked", "resistor-pack-open")
    assert (min(FILTER, PACK), max(FILTER, PACK)) in now.pairs
    assert now.belief()[[FILTER, PACK]].min() > 0.95
    assert now.by_cause().sum() == pytest.approx(1.0)
    assert now.by_cause()[: len(FAULTS)].max() < 0.05


def test_a_faults_belief_is_the_sum_over_the_causes_that_contain_it() -> None:
    now = after("cabin-filter-blocked", "resistor-pack-open")
    of_causes, belief = now.by_cause(), now.belief()
    for k in range(len(FAULTS)):
        pairs = [len(FAULTS) + n for n, pair in enumerate(now.pairs) if k in pair]
        assert belief[k] == pytest.approx(of_causes[k] + of_causes[pairs].sum())
    assert (now.error() <= np.sqrt((now.error_by_cause() ** 2).sum()) + 1e-12).all()


def test_pairs_are_brought_to_the_same_moment_and_weigh_as_if_imagined_from_the_start() -> None:
    """Were a pair imagined from the start beside all single faults, it would be believed as much."""
    now = after("cabin-filter-blocked", "resistor-pack-open")
    pair = (min(FILTER, PACK), max(FILTER, PACK))
    places = dict.fromkeys(range(len(FAULTS) + 1), draw_quantile_sets("imagined", 48))
    whole = Particles.at(CATALOGUE, now.job, FAULTS, places, pairs=[pair])
    for action, steps, noticed in now.history:
        whole.act(action, steps, noticed)
    assert whole.belief()[PACK] == pytest.approx(now.belief()[PACK], abs=0.03)
    assert whole.workshop.minute == pytest.approx(now.workshop.minute)


def test_pairs_foresaw_the_last_reading_as_if_imagined_from_the_start() -> None:
    """All but one of those thought of are ruled out by it."""
    both = after("cabin-filter-blocked", "resistor-pack-open")
    action, steps, noticed = both.history[-1]
    then = after("cabin-filter-blocked", "resistor-pack-open", measured=False).copy()
    then.act(action, steps, noticed)
    more = with_pairs(then)
    places = dict.fromkeys(range(len(more.drawn)), draw_quantile_sets("imagined", PER_PAIR))
    whole = Particles.at(CATALOGUE, JOB, FAULTS, places, pairs=more.pairs)
    for done in then.history:
        whole.act(*done)
    log_predictive = more.log_predictive[len(FAULTS) :]
    assert log_predictive == pytest.approx(whole.log_predictive[len(FAULTS) :], abs=0.1)
    assert log_predictive.min() < -5.0 and log_predictive.max() > -0.1


def test_a_pair_is_of_different_parts_that_both_change_something() -> None:
    by_id = {fault.id: fault for fault in FAULTS}
    assert may_come_together(by_id["cabin-filter-blocked"], by_id["resistor-pack-open"])
    assert not may_come_together(by_id["none"], by_id["resistor-pack-open"])
    assert not may_come_together(by_id["thermostat-stuck-open"], by_id["thermostat-stuck-closed"])


def test_one_arrival_in_twenty_has_two_faults_shared_by_their_rates_and_the_likelier_complaint() -> None:
    pairs = [
        (i, j) for i in range(len(FAULTS)) for j in range(i + 1, len(FAULTS)) if may_come_together(FAULTS[i], FAULTS[j])
    ]
    share = prior_of_pairs(JOB, FAULTS, pairs)
    assert share.sum() == pytest.approx(1.0 / 19.0)  # beside nineteen with one
    assert prior(JOB, FAULTS).sum() == pytest.approx(1.0)
    one, other = pairs.index((min(FILTER, PACK), max(FILTER, PACK))), pairs.index((0, PACK))
    doubled = [replace(f, rate=2.0 * f.rate) if f.id == "cabin-filter-blocked" else f for f in FAULTS]
    again = prior_of_pairs(JOB, doubled, pairs)
    assert again[one] / again[other] == pytest.approx(2.0 * share[one] / share[other])
    assert prior_of_pairs(JOB, FAULTS, []).shape == (0,)


def test_a_pair_is_told_by_the_complaint_that_goes_better_with_it() -> None:
    """Of two faults as common as any, the one that brings the complaint decides."""
    even = [replace(fault, rate=1.0) for fault in FAULTS]
    chances = [complaint_likelihood(JOB, fault) for fault in even]
    by_chance = sorted((k for k, fault in enumerate(even) if fault.changes), key=lambda k: chances[k])
    low, high = by_chance[0], by_chance[-1]
    middle = next(k for k in by_chance[1:] if even[k].part != even[low].part)
    assert chances[low] < chances[middle] < 0.1 * chances[high]
    share = prior_of_pairs(JOB, even, [(low, middle), (low, high), (middle, high)])
    assert share[1] / share[0] == pytest.approx(chances[high] / chances[middle])
    assert share[2] == pytest.approx(share[1])


def looked_at(true: list[float], instrument: str, step: int) -> bool:
    """Whether a reading is badly foreseen by vehicles as likely as each other, with these true quantities."""
    number = len(true)
    toy: Any = SimpleNamespace(
        log_weight=np.zeros(number),
        weights_before=lambda: np.full(number, 1.0 / number),
        offset_estimate=lambda name: None,
        label=np.zeros(number, int),
        drawn=np.array([number]),
    )
    spec = ReadingSpec("a reading", "battery voltage", instrument)
    return is_surprising(toy, [Look(spec, np.array(true), 0.0)], [step], [])


@pytest.mark.parametrize(
    ("volts", "surprises"),
    [(12.0, False), (12.1, False), (12.16, False), (12.5, True), (11.5, True)],
)
def test_a_reading_surprises_where_it_is_far_less_likely_than_any_that_was_expected(
    volts: float, surprises: bool
) -> None:
    """A multimeter whose readings spread by 0.06 V and show hundredths."""
    assert looked_at([12.0] * 24, "multimeter", round(100.0 * volts)) == surprises


def test_what_one_vehicle_in_twenty_four_would_show_was_to_be_expected() -> None:
    """A lamp that is lit in one of them: rarer than unlit by more than the bound, and yet foreseen."""
    assert not looked_at([0.0] * 23 + [1.0], "eye on a lamp", 1)
    assert looked_at([0.0] * 24, "eye on a lamp", 1)


def test_a_pair_explains_each_reading_as_well_as_the_better_of_its_faults(monkeypatch: pytest.MonkeyPatch) -> None:
    """A blocked filter explains one reading, an open pack the other, no fault both."""
    explained = np.full((len(FAULTS), 2), -12.0)
    explained[FILTER, 0] = explained[PACK, 1] = 0.0
    monkeypatch.setattr(two, "_evidence_by_reading", lambda particles: explained)
    toy: Any = SimpleNamespace(job=JOB, faults=FAULTS, pairs=[])
    assert proposed_pairs(toy) == [(min(FILTER, PACK), max(FILTER, PACK))]


def test_the_second_faults_severity_is_as_even_as_the_firsts_and_goes_its_own_way() -> None:
    (severity, variant), (second, other) = _severity_and_variant(draw_quantile_sets("even", 4096))
    for values in (second, other):
        assert np.histogram(values, 8, (0.0, 1.0))[0] == pytest.approx(512, rel=0.2)
    for a, b in ((severity, second), (variant, other), (variant, second), (severity, other), (second, other)):
        assert abs(np.corrcoef(a, b)[0, 1]) < 4.0 / math.sqrt(4096)


def test_nothing_is_proposed_twice_and_not_without_end() -> None:
    now = after("cabin-filter-blocked", "resistor-pack-open")
    assert not set(proposed_pairs(now)) & set(now.pairs)
    full = now.copy()
    full.pairs = [(0, 1)] * MOST_PAIRS
    assert with_pairs(full) is full


def test_a_belief_is_left_as_it_is_by_thinking_of_more() -> None:
    now = after("cabin-filter-blocked", measured=False)
    before = len(now.drawn)
    more = with_pairs(now)
    assert len(now.drawn) == before and now.pairs == []
    if more.pairs:
        assert (more.drawn[before:] == PER_PAIR).all() and len(more.drawn) == before + len(more.pairs)
