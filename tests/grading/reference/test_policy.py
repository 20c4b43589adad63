"""What the reference thinks of: minutes of what could be next and after it, outcomes put together, when to stop."""

from __future__ import annotations

import numpy as np
import pytest

from grading.reference.options import Option
from grading.reference.policy import LEAST_BITS, SOLVER, WRONG_REPAIR_MINUTES, choose_option, shortlist
from grading.reference.preparation import PlannedState, Readiness, preparation, transitions
from grading.reference.rollout import Table, choose, edges_cut, merge_outcomes, repair_in_turn_cost
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import PLACES, Check
from tests.bench import sequential as bench
from tests.grading.exact import least_cost, wrong_repair
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
JOB = next(iter(CATALOGUE.jobs.values()))


def any_check() -> Check:
    return next(iter(CATALOGUE.checks.values()))


@pytest.mark.parametrize("names", [("belt", "coolant-level-cold"), ("vent-temperature", "gauge", "belt"), ("gauge",)])
def test_thought_of_beforehand_a_way_takes_the_minutes_that_it_takes(names: tuple[str, ...]) -> None:
    session, readiness = Session(CATALOGUE, JOB, 1), Readiness()
    checks = [CATALOGUE.checks[name] for name in names]
    check_minutes, next_state = transitions(
        PlannedState.of(session.workshop, readiness), session.workshop.place, checks
    )
    state, expected = 0, 0.0
    for k, check in enumerate(checks):
        before = preparation(session.workshop, check, readiness)
        if before is None:
            assert check_minutes[state, k] == np.inf
            continue
        for action in (*before, Action("check", (check.id,))):
            outcome = session.do(action)
            assert outcome.refused is None
            readiness.note(session.workshop, outcome.minutes)
        expected += check_minutes[state, k]
        state = int(next_state[state, k])
        assert session.minute == pytest.approx(expected, abs=1e-6)


def test_once_the_engine_has_run_what_wants_it_cold_is_lost() -> None:
    cold, warm = CATALOGUE.checks["coolant-level-cold"], CATALOGUE.checks["vent-temperature"]
    check_minutes, next_state = transitions(PlannedState(0.0, 0.0, 0.0, 0.0, 0.0, False), PLACES[0], [cold, warm])
    assert np.isfinite(check_minutes[0]).all()
    assert np.isinf(check_minutes[next_state[0, 1], 0])
    assert check_minutes[next_state[0, 1], 1] < check_minutes[0, 1]  # it is warm already


def test_what_only_a_cold_engine_tells_comes_first() -> None:
    """Four faults, each check halves them; the second has the better rate, but loses the first."""
    outcomes = np.array([[0, 0, 1, 1], [0, 1, 0, 1]])
    whole = Table.of_outcomes(outcomes, np.array([6.0, 5.0]), WRONG_REPAIR_MINUTES)
    check_minutes, next_state = np.array([[6.0, 5.0], [np.inf, 5.0]]), np.array([[0, 1], [1, 1]])
    table = Table(whole.label, 4, whole.chance, check_minutes, next_state, WRONG_REPAIR_MINUTES)
    options = [Option(any_check(), (), minutes, 1.0, 0.5) for minutes in (6.0, 5.0)]
    assert choose_option(options, whole, np.full(4, 0.25)).best is options[1]
    advice = choose_option(options, table, np.full(4, 0.25))
    assert advice.worth
    assert advice.best is options[0]
    assert choose(table, np.full(4, 0.25)).cost == pytest.approx(11.0)


def test_too_weak_a_belief_goes_on_while_something_tells() -> None:
    """A check of 100 minutes for 60 minutes' worth of wrong repairs is not worth it, but nobody fits a part on 75 %."""
    table = Table.of_outcomes(np.array([[0, 1]]), np.array([100.0]), WRONG_REPAIR_MINUTES)
    telling, silent = Option(any_check(), (), 100.0, 0.8, 1.0), Option(any_check(), (), 100.0, 0.05, 0.75)
    assert choose_option([telling], table, np.array([0.75, 0.25])).worth
    assert not choose_option([silent], table, np.array([0.75, 0.25])).worth
    assert not choose_option([telling], table, np.array([0.9, 0.1])).worth
    assert not choose_option([], table, np.array([0.75, 0.25])).worth


def test_the_shortlist_keeps_what_tells_and_what_saves_most() -> None:
    quick = [Option(any_check(), (), 1.0, 0.5, 0.3) for _ in range(40)]
    dear, silent = Option(any_check(), (), 60.0, 2.0, 0.99), Option(any_check(), (), 1.0, LEAST_BITS / 2.0, 0.3)
    found = [*quick, dear, silent]
    listed = shortlist(found, 0.3)
    assert 40 in listed
    assert 41 not in listed
    assert len(listed) < len(found)


def test_outcomes_that_mean_the_same_are_put_together() -> None:
    """Three of a kind for the first fault, three for the second, drawn as they are likely; two kinds remain."""
    label, weight = np.array([0, 0, 1, 1]), np.full(4, 0.25)
    first, second = [0.3, 0.3, 0.05, 0.05], [0.05, 0.05, 0.3, 0.3]
    chance = merge_outcomes(np.array([first, second, first, second, first, second]), weight, label, 2, 2)
    assert chance.sum(axis=0) == pytest.approx(1.0)
    assert sorted(chance[:, 0]) == pytest.approx([1.0 / 7.0, 6.0 / 7.0])
    assert chance[:, 0] == pytest.approx(chance[::-1, 2])


def test_stopping_is_chosen_where_no_check_is_cheaper() -> None:
    """A perfect check of 50 minutes for half a chance of a wrong repair of 100, and no check at all."""
    half = np.array([0.5, 0.5])
    dear = choose(Table.of_outcomes(np.array([[0, 1]]), np.array([50.0]), 100.0), half)
    assert (dear.check, dear.cost, dear.stop, dear.costs.tolist()) == (None, 50.0, 50.0, [50.0])
    nothing = Table(np.arange(2), 2, np.zeros((0, 1, 2)), np.zeros((1, 0)), np.zeros((1, 0), np.int64), 100.0)
    none = choose(nothing, half)
    assert (none.check, none.cost, none.stop, none.costs.tolist()) == (None, 50.0, 50.0, [])


def test_each_check_is_thought_of_once() -> None:
    """Two faults; one check errs in 20 % of cases, another in 10 %, each takes a minute; a wrong repair costs 100.
    Starting with the worse check, the better one follows and decides: 1 + 1 + 10. Starting with the better one, the
    worse could not change the decision: 1 + 10.
    """
    chance = np.array([[[1.0 - e, e], [e, 1.0 - e]] for e in (0.2, 0.1)])
    table = Table(np.array([0, 1]), 2, chance, np.ones((1, 2)), np.zeros((1, 2), np.int64), 100.0)
    choice = choose(table, np.array([0.5, 0.5]))
    assert choice.costs.tolist() == pytest.approx([12.0, 11.0])
    assert (choice.check, choice.cost, choice.stop) == (1, pytest.approx(11.0), pytest.approx(50.0))


def test_repair_in_turn_cost() -> None:
    """Look at A (2), renew it in 50 % (10); else look at B (4), renew it in 30 % (20); else C (1), in 20 % (30)."""
    cost = repair_in_turn_cost(np.array([0.5, 0.3, 0.2]), np.array([2.0, 4.0, 1.0]), np.array([10.0, 20.0, 30.0]))
    assert cost == pytest.approx(2.0 + 5.0 + 0.5 * 4.0 + 6.0 + 0.2 * 1.0 + 6.0)


def test_edges_cut_of_nothing() -> None:
    assert edges_cut(np.zeros((2, 3))) == 0.0


def test_the_rule_costs_what_a_grade_says_of_it() -> None:
    """The figure kept is of 200 instances; a fifteenth of them must agree to a hundredth."""
    problems = [bench.instance(seed) for seed in range(14)]
    best = [least_cost(*problem, wrong_repair(problem[0], WRONG_REPAIR_MINUTES))[0][-1] for problem in problems]
    ours = [bench.reference_cost(problem) for problem in problems]
    assert min(np.array(ours) / np.array(best)) >= 1.0 - 1e-9
    assert sum(ours) / sum(best) == pytest.approx(SOLVER["cost_over_exact"], abs=0.01)


def test_the_best_rate_stands_unless_another_is_clearly_cheaper() -> None:
    """Two checks that halve four faults, in 5 and 6 minutes, wherever the engine stands: the quick one. A third that
    tells all of them apart in 7 minutes is cheaper than both.
    """
    halves = np.array([[0, 0, 1, 1], [0, 1, 0, 1]])
    options = [Option(any_check(), (), minutes, 1.0, 0.5) for minutes in (6.0, 5.0)]
    two = Table.of_outcomes(halves, np.array([6.0, 5.0]), WRONG_REPAIR_MINUTES)
    assert choose_option(options, two, np.full(4, 0.25)).best is options[1]
    all_apart = Option(any_check(), (), 11.0, 2.0, 1.0)
    for minutes, best in ((10.8, options[1]), (8.0, all_apart)):
        three = Table.of_outcomes(
            np.vstack([halves, np.arange(4)]), np.array([6.0, 5.0, minutes]), WRONG_REPAIR_MINUTES
        )
        assert choose_option([*options, all_apart], three, np.full(4, 0.25)).best is best


def test_what_wants_a_cold_engine_comes_before_it_is_started() -> None:
    cold = next(check for check in CATALOGUE.checks.values() if "cold" in check.best_when)
    started = Option(any_check(), (Action("engine", ("start",)),), 5.0, 1.0, 0.5)
    table = Table.of_outcomes(np.array([[0, 0, 1, 1], [0, 1, 0, 1]]), np.array([5.0, 5.2]), WRONG_REPAIR_MINUTES)
    for bits, best in ((0.7, 1), (0.3, 0)):
        options = [started, Option(cold, (), 5.2, bits, 0.5)]
        assert choose_option(options, table, np.full(4, 0.25)).best is options[best]
