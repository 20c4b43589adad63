"""The reference's choice among options, and whether it is worth its minutes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

import numpy as np
import pytest

import grading.reference.policy as policy
from grading.observer.cache import BeliefCache
from grading.reference.options import CONFIRMS, SAMPLE_SIZE
from grading.reference.policy import (
    COLD_FIRST,
    LEAST_BITS,
    MOST_CHECKS,
    SURE,
    TELLING_BITS,
    WITHIN_REACH,
    WRONG_REPAIR_MINUTES,
    Advice,
    advise,
    advised,
    choose_option,
    shortlist,
)
from grading.reference.preparation import Readiness
from grading.reference.rollout import Table, choose
from scenarios.actions import Action
from tests.grading.reference.small_course import (
    FEED,
    LEVEL,
    LOW,
    RETURN,
    START,
    Scripted,
    cold,
    option,
    small,
)

greedy = policy._greedy


def test_rate() -> None:
    assert [option(minutes=minutes, bits=0.5).rate for minutes in (2.0, 0.25, 0.1)] == [0.25, 2.0, 2.0]


def test_constants() -> None:
    """Ours or common practice, no source."""
    assert (WRONG_REPAIR_MINUTES, SURE, COLD_FIRST, WITHIN_REACH, MOST_CHECKS) == (240.0, 0.85, 0.5, 0.3, 25)
    assert (LEAST_BITS, TELLING_BITS, policy.MARGIN) == (0.02, 0.1, 0.15)
    assert (policy.BY_RATE, policy.BY_SAVING, policy.OUTCOMES, SAMPLE_SIZE) == (28, 4, 5, 128)


def test_shortlist() -> None:
    """Savings: (belief then - belief now) * 240 - minutes."""
    quick = [option(minutes=1.0, bits=0.5, confidence=0.3) for _ in range(30)]
    saving = [option(minutes=60.0, bits=0.5, confidence=0.3 + gain) for gain in (0.30, 0.29, 0.31, 0.28, 0.0)]
    silent = option(minutes=1.0, bits=LEAST_BITS, confidence=1.0)
    assert shortlist([*quick, *saving, silent], 0.3) == [*range(28), 30, 31, 32, 33]
    told = option(minutes=1.0, bits=LEAST_BITS + 1e-6, confidence=1.0)
    assert shortlist([*quick, *saving, told], 0.3) == [*range(28), 30, 31, 32, 35]
    dear = option(minutes=60.0 + 0.02 * 240.0 + 0.1, bits=0.5, confidence=0.3 + 0.30)  # just below a gain of 0.28
    assert shortlist([*quick, *saving[:4], dear], 0.3) == [*range(28), 30, 31, 32, 33]


@pytest.mark.parametrize(
    ("facts", "rate", "first"),
    [
        ({"best_when": ("cold",)}, 0.5, 1),
        ({"best_when": ("cold",)}, 0.49, 0),
        ({"best_when": (), "opens_cap": True}, 0.5, 1),
        ({"best_when": ("warm",)}, 0.9, 0),
        ({"best_when": ("cold",), "before": (LOW,)}, 0.9, 0),
    ],
)
def test_greedy_prefers_cold_checks_before_the_engine_starts(facts: dict[str, Any], rate: float, first: int) -> None:
    started = option(bits=1.0, before=(START,), best_when=())
    assert greedy([started, option(bits=rate, **facts)]) == first
    as_it_is = option(bits=1.0, before=(LOW,), best_when=())
    assert greedy([as_it_is, option(bits=rate, **facts)]) == 0
    assert greedy([option(bits=rate, **facts), started]) == 1 - first
    better = option(bits=2.0 * rate, **facts)
    worse = option(bits=0.1, best_when=("cold",))
    assert greedy([worse, better, replace(started, bits=2.0)]) == (1 if first else 2)


def parting(minutes: float, wrong: float = WRONG_REPAIR_MINUTES) -> Table:
    """One perfect check between two faults."""
    return Table.of_outcomes(np.array([[0, 1]]), np.array([minutes]), wrong)


@pytest.mark.parametrize(
    ("belief", "minutes", "bits", "worth"),
    [
        (0.9, 23.9, 0.4, True),  # saves 0.1 * 240 minutes of wrong repairs
        (0.9, 24.1, 0.4, False),
        (0.84, 100.0, 0.4, True),  # costs more than it saves, but 84 % is too weak to fit a part on
        (0.86, 100.0, 0.4, False),
        (0.84, 100.0, TELLING_BITS, False),
        (0.84, 100.0, TELLING_BITS + 0.001, True),
    ],
)
def test_worth(belief: float, minutes: float, bits: float, worth: bool) -> None:
    one = option(minutes=minutes, bits=bits)
    assert choose_option([one], parting(minutes), np.array([belief, 1.0 - belief])) == Advice(one, worth)


def test_weak_belief_takes_the_cheapest_telling_check() -> None:
    """Two perfect checks, both too expensive to be worth it; the second is the cheaper."""
    weight = np.array([0.75, 0.25])
    two = Table.of_outcomes(np.array([[0, 1], [0, 1]]), np.array([100.0, 90.0]), WRONG_REPAIR_MINUTES)
    best = option("gauge", 1.0, 1.0)
    for rate, cheaper in ((WITHIN_REACH, True), (WITHIN_REACH - 0.001, False)):
        other = option(FEED, 1.0, rate)
        assert choose_option([best, other], two, weight) == Advice(other if cheaper else best, True)
    none = option(FEED, 1.0, TELLING_BITS), option("gauge", 1.0, TELLING_BITS)
    assert choose_option(list(none), two, weight) == Advice(none[1], False)  # the cheaper one, not worth it


def test_weak_belief_takes_the_better_rate_of_two_that_cost_the_same() -> None:
    same = Table.of_outcomes(np.array([[0, 1], [0, 1]]), np.array([100.0, 100.0]), WRONG_REPAIR_MINUTES)
    worse, better = option("gauge", 1.0, 0.8), option(FEED, 1.0, 0.9)
    assert choose_option([worse, better], same, np.array([0.75, 0.25])) == Advice(better, True)


def test_rollout_is_asked_with_the_figures_of_the_reference(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = Scripted(choose(parting(1.0), np.array([0.5, 0.5])))
    monkeypatch.setattr(policy, "choose", asked)
    table, weight = parting(1.0), np.array([0.5, 0.5])
    choose_option([option()], table, weight)
    assert asked.asked == [(table, weight, ("tried", 8), ("depth", 5), ("cut", 0.02))]


def test_weigh_without_options() -> None:
    assert choose_option([], parting(1.0), np.array([0.5, 0.5])) == Advice(None, False)


def test_look_ahead_table(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    weigh_asked = Scripted("advice")
    monkeypatch.setattr(policy, "choose_option", weigh_asked)
    belief = cold()
    belief.act(Action("go", ("engine bay",)))
    verified = {"gauge", "vent-temperature"}
    assert policy._rollout_advice(belief, Readiness(), verified) == "advice"
    ((found, table, weight),) = weigh_asked.asked
    minutes = {LEVEL: 1.0, FEED: 17.0, RETURN: 17.0}
    assert {
        one.check.id: float(check_minutes) for one, check_minutes in zip(found, table.check_minutes[0], strict=True)
    } == minutes
    assert table.chance.shape == (3, policy.OUTCOMES, len(weight))
    assert table.chance.sum(axis=1) == pytest.approx(1.0)
    assert (table.faults, table.wrong) == (len(belief.faults), WRONG_REPAIR_MINUTES)
    assert np.bincount(table.label, weight) == pytest.approx(belief.belief(), abs=0.01)
    assert len(table.check_minutes) == len(table.next_state)


def test_no_advice_when_every_check_is_done() -> None:
    assert advise(cold(), Readiness(), set(small()[0].checks)) == Advice(None, False)


def test_engine_is_left_to_cool_as_a_last_resort(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    belief, telling, silent = cold(), option(bits=TELLING_BITS + 0.01), option(bits=TELLING_BITS)
    not_worth = Advice(option("gauge"), False)
    for sure, ahead, cooled, advice in (
        (0.84, Advice(telling, True), None, Advice(telling, True)),
        (0.84, not_worth, [silent, telling], Advice(telling, True)),
        (0.84, not_worth, [silent], not_worth),
        (0.84, not_worth, [], not_worth),
        (0.85, not_worth, None, not_worth),
    ):
        monkeypatch.setattr(belief, "belief", lambda sure=sure: np.array([1.0 - sure, sure]))
        monkeypatch.setattr(policy, "_rollout_advice", Scripted(ahead))
        cooling = Scripted(cooled)
        monkeypatch.setattr(policy, "options", cooling)
        monkeypatch.setattr(policy, "_confirming", lambda *asked: None)
        readiness = Readiness()
        assert advise(belief, readiness, {"gauge"}) == advice
        asked = [] if cooled is None else [(belief, readiness, {"gauge"}, ("let_cool", True))]
        assert cooling.asked == asked


def test_a_confirming_check_comes_before_the_declaration(monkeypatch: pytest.MonkeyPatch) -> None:
    belief, confirms, last = cold(), option(FEED), Advice(option("gauge"), False)
    monkeypatch.setattr(belief, "belief", lambda: np.array([0.1, 0.9]))
    monkeypatch.setattr(policy, "_rollout_advice", lambda *asked: last)
    for found, advice in ((confirms, Advice(replace(confirms, purpose=CONFIRMS), True)), (None, last)):
        monkeypatch.setattr(policy, "_confirming", lambda *asked, found=found: found)
        assert advise(belief, Readiness(), set()) == advice


def test_advice_is_cached(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keyed by running time, overheating and the checks done."""
    belief_cache = BeliefCache(cold())
    monkeypatch.setattr(policy, "advise", Scripted("a", "b", "c", "d", "none is left"))
    readiness = Readiness()
    said = [
        advised(belief_cache, belief_cache.start, readiness, set()),
        advised(belief_cache, belief_cache.start, readiness, set()),
    ]
    said.append(cast(Any, advised(belief_cache, belief_cache.start, readiness, {"gauge"})))
    readiness.overheated = True
    said.append(advised(belief_cache, belief_cache.start, readiness, set()))
    readiness.minutes_run = 1.0
    said.append(advised(belief_cache, belief_cache.start, readiness, set()))
    assert said == ["a", "a", "b", "c", "d"]
