"""The reference: options tried, the choice among them, and the course on the small catalogue."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any, cast

import numpy as np
import pytest

import grading.reference.policy as policy
from grading.observer.cache import Trail
from grading.observer.information import TRIALS
from grading.observer.particles import Hypotheses
from grading.reference.policy import (
    COLD_FIRST,
    LEAST_BITS,
    MOST_CHECKS,
    SURE,
    TELLING_BITS,
    WITHIN_REACH,
    WRONG_REPAIR_MINUTES,
    Advice,
    Course,
    Option,
    advise,
    advised,
    diagnose,
    options,
    prospect,
    shortlist,
    tries,
    weigh,
)
from grading.reference.preparation import Readiness
from grading.reference.rollout import Table, choose
from scenarios.actions import Action
from scenarios.model import Catalogue, Check, Job
from tests.grading.workbench import SEED, bench, with_fault

START, OFF, COOL = Action("engine", ("start",)), Action("ignition", ("off",)), Action("wait", (300.0,))
HOT, LOW, DRIVE = Action("set", ("heater", 100.0)), Action("set", ("blower", 1.0)), Action("drive", (15.0, 50.0))
WARM_UP = (HOT, LOW, START, DRIVE)
LEVEL, FEED, RETURN = "coolant-level-cold", "heater-feed-infrared", "heater-return-infrared"
greedy, sample, after = policy._greedy, policy._sample, policy._after


def small(fault: str = "coolant-low") -> tuple[Catalogue, Job]:
    """The small catalogue without its road check, and a job with this fault."""
    catalogue = bench()
    checks = {name: check for name, check in catalogue.checks.items() if name != "road-gauge"}
    return with_fault(replace(catalogue, checks=checks), fault)


def cold(fault: str = "coolant-low") -> Hypotheses:
    """The belief before anything is done."""
    return Hypotheses.imagine(*small(fault))


def option(check: str = FEED, minutes: float = 1.0, bits: float = 1.0, surest: float = 0.5, **more: Any) -> Option:
    """An option with given figures."""
    before = more.pop("before", ())
    return Option(replace(bench().checks[check], **more), before, minutes, bits, surest)


# -- options --


def test_checks_are_tried_after_their_preparations() -> None:
    belief = cold()
    catalogue = belief.workshop.catalogue
    at_run = replace(catalogue.checks["gauge"], id="dash-lamps", best_when=())
    belief.workshop.catalogue = replace(catalogue, checks=catalogue.checks | {at_run.id: at_run})
    belief.act(Action("wait", (10.0,)))
    tried = [(one.check.id, one.before, one.minutes) for one, _ in tries(belief, Readiness(), set())]
    assert tried == [
        (LEVEL, (), 1.5),
        ("dash-lamps", (Action("ignition", ("on",)),), 1.0),
        ("gauge", WARM_UP, 16.0),
        ("vent-temperature", WARM_UP, 16.0),
        (FEED, WARM_UP, 16.5),
        (RETURN, WARM_UP, 16.5),
    ]
    assert (belief.workshop.minute, len(belief.past)) == (10.0, 1)


def test_check_whose_preparation_is_refused_is_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """Idling is refused while the engine is off."""
    prepare = policy.preparation

    def refused(workshop: Any, check: Check, *more: Any) -> list[Action] | None:
        return [Action("idle", (1.0,))] if check.id == "gauge" else prepare(workshop, check, *more)

    monkeypatch.setattr(policy, "preparation", refused)
    tried = [one.check.id for one, _ in tries(cold(), Readiness(), set())]
    assert tried == [LEVEL, "vent-temperature", FEED, RETURN]


def test_checks_left_out() -> None:
    belief = cold()
    catalogue = belief.workshop.catalogue
    silent = replace(catalogue.checks["gauge"], readings=())
    belief.workshop.catalogue = replace(catalogue, checks=catalogue.checks | {"gauge": silent})
    readiness = Readiness()
    readiness.minutes_run = 15.0
    found = list(tries(belief, readiness, {FEED}))
    assert [one.check.id for one, _ in found] == [RETURN, "vent-temperature"]
    assert found[0][0].before == (HOT, LOW)
    cooled = [(one.check.id, one.before, one.minutes) for one, _ in tries(belief, readiness, set(), let_cool=True)]
    assert cooled == [(LEVEL, (COOL,), pytest.approx(30.0 + 1.5))]  # waiting counts a tenth
    assert list(tries(belief, readiness, {LEVEL}, let_cool=True)) == []
    assert [one.check.id for one in options(belief, readiness, set(), let_cool=True)] == [LEVEL]
    ids = {one.check.id for one in options(belief, readiness, {FEED})}
    assert ids == {one.check.id for one in prospect(belief, readiness, {FEED}).found} == {RETURN, "vent-temperature"}


def test_option_holds_information_and_expected_belief() -> None:
    belief = cold()
    found, chances = next(tries(belief, Readiness(), set()))
    assert found.check.id == LEVEL
    assert chances.shape == (TRIALS, len(belief.label))
    joint = np.array([np.bincount(belief.label, row * belief.weights()) for row in chances])
    posterior = joint / joint.sum(axis=1, keepdims=True)
    uncertain = [-sum(p * math.log2(p) for p in row if p > 0.0) for row in [belief.belief(), *posterior]]
    assert found.bits == pytest.approx(uncertain[0] - np.mean(uncertain[1:]), abs=1e-9)
    assert found.surest == pytest.approx(posterior.max(axis=1).mean())


def test_preparations_are_shared_and_none_when_impossible(monkeypatch: pytest.MonkeyPatch) -> None:
    acted: list[Action] = []
    act = Hypotheses.act

    def noted(self: Hypotheses, action: Action) -> object:
        acted.append(action)
        return act(self, action)

    monkeypatch.setattr(Hypotheses, "act", noted)
    belief = cold()
    moments: dict[tuple[Action, ...], Hypotheses | None] = {(): belief}
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
    belief = object.__new__(Hypotheses)
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
    assert len(ahead.near.label) <= 128 < len(belief.label)
    assert ahead.near.weights().sum() == pytest.approx(1.0)
    assert ahead.near.belief() == pytest.approx(belief.belief(), abs=0.01)
    assert ahead.near.drawn.tolist() == [1.0] * len(belief.faults)
    for found, shown in zip(ahead.found, ahead.shown, strict=True):
        joint = np.array([np.bincount(ahead.near.label, row * ahead.near.weights()) for row in shown])
        assert found.surest == pytest.approx((joint.max(axis=1) / joint.sum(axis=1)).mean())


def test_prospect_keeps_the_weights_of_a_small_population() -> None:
    belief = cold()
    few = belief.copy(np.arange(0, len(belief.label), 3))
    few.log_weight = few.log_weight + np.linspace(0.0, 3.0, len(few.label))
    near = prospect(few, Readiness(), set(small()[0].checks) - {LEVEL}).near
    assert near.weights() == pytest.approx(few.weights())


def test_prospect_breaks_ties_by_name(monkeypatch: pytest.MonkeyPatch) -> None:
    chances = np.ones((TRIALS, 1))
    some = [
        option(name, minutes, bits)
        for name, minutes, bits in (("gauge", 2.0, 1.0), (RETURN, 1.0, 0.5), (FEED, 4.0, 2.0))
    ]
    monkeypatch.setattr(policy, "tries", lambda *_: iter([(one, chances) for one in some]))
    assert [one.check.id for one in options(cold(), Readiness(), set())] == ["gauge", FEED, RETURN]


# -- choice --


def test_rate() -> None:
    assert [option(minutes=minutes, bits=0.5).rate for minutes in (2.0, 0.25, 0.1)] == [0.25, 2.0, 2.0]


def test_constants() -> None:
    """Ours or common practice, no source."""
    assert (WRONG_REPAIR_MINUTES, SURE, COLD_FIRST, WITHIN_REACH, MOST_CHECKS) == (240.0, 0.85, 0.5, 0.3, 25)
    assert (LEAST_BITS, TELLING_BITS, policy.MARGIN) == (0.02, 0.1, 0.15)
    assert (policy.BY_RATE, policy.BY_SAVING, policy.OUTCOMES, policy.FOLLOWED) == (28, 4, 5, 128)


def test_shortlist() -> None:
    """Savings: (belief then - belief now) * 240 - minutes."""
    quick = [option(minutes=1.0, bits=0.5, surest=0.3) for _ in range(30)]
    saving = [option(minutes=60.0, bits=0.5, surest=0.3 + gain) for gain in (0.30, 0.29, 0.31, 0.28, 0.0)]
    silent = option(minutes=1.0, bits=LEAST_BITS, surest=1.0)
    assert shortlist([*quick, *saving, silent], 0.3) == [*range(28), 30, 31, 32, 33]
    told = option(minutes=1.0, bits=LEAST_BITS + 1e-6, surest=1.0)
    assert shortlist([*quick, *saving, told], 0.3) == [*range(28), 30, 31, 32, 35]
    dear = option(minutes=60.0 + 0.02 * 240.0 + 0.1, bits=0.5, surest=0.3 + 0.30)  # just below a gain of 0.28
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
    assert weigh([one], parting(minutes), np.array([belief, 1.0 - belief])) == Advice(one, worth)


def test_weak_belief_takes_the_cheapest_telling_check() -> None:
    """Two perfect checks, both too expensive to be worth it; the second is the cheaper."""
    weight = np.array([0.75, 0.25])
    two = Table.of_outcomes(np.array([[0, 1], [0, 1]]), np.array([100.0, 90.0]), WRONG_REPAIR_MINUTES)
    best = option("gauge", 1.0, 1.0)
    for rate, cheaper in ((WITHIN_REACH, True), (WITHIN_REACH - 0.001, False)):
        other = option(FEED, 1.0, rate)
        assert weigh([best, other], two, weight) == Advice(other if cheaper else best, True)
    none = option(FEED, 1.0, TELLING_BITS), option("gauge", 1.0, TELLING_BITS)
    assert weigh(list(none), two, weight) == Advice(none[1], False)  # the cheaper one, not worth it


def test_weak_belief_takes_the_better_rate_of_two_that_cost_the_same() -> None:
    same = Table.of_outcomes(np.array([[0, 1], [0, 1]]), np.array([100.0, 100.0]), WRONG_REPAIR_MINUTES)
    worse, better = option("gauge", 1.0, 0.8), option(FEED, 1.0, 0.9)
    assert weigh([worse, better], same, np.array([0.75, 0.25])) == Advice(better, True)


def test_rollout_is_asked_with_the_figures_of_the_reference(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = Scripted(choose(parting(1.0), np.array([0.5, 0.5])))
    monkeypatch.setattr(policy, "choose", asked)
    table, weight = parting(1.0), np.array([0.5, 0.5])
    weigh([option()], table, weight)
    assert asked.asked == [(table, weight, ("tried", 8), ("depth", 5), ("cut", 0.02))]


def test_weigh_without_options() -> None:
    assert weigh([], parting(1.0), np.array([0.5, 0.5])) == Advice(None, False)


class Scripted:
    """Returns given answers one after another and logs the arguments."""

    def __init__(self, *answers: Any) -> None:
        self.answers, self.asked = list(answers), []

    def __call__(self, *asked: Any, **named: Any) -> Any:
        self.asked.append((*asked, *named.items()))
        return self.answers.pop(0)


def test_look_ahead_table(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    weigh_asked = Scripted("advice")
    monkeypatch.setattr(policy, "weigh", weigh_asked)
    belief = cold()
    belief.act(Action("go", ("engine bay",)))
    assert policy._ahead(belief, Readiness(), {"gauge"}) == "advice"
    ((found, table, weight),) = weigh_asked.asked
    minutes = {LEVEL: 1.0, "vent-temperature": 16.5, FEED: 17.0, RETURN: 17.0}
    assert {one.check.id: float(takes) for one, takes in zip(found, table.takes[0], strict=True)} == minutes
    assert table.chance.shape == (4, policy.OUTCOMES, len(weight))
    assert table.chance.sum(axis=1) == pytest.approx(1.0)
    assert (table.faults, table.wrong) == (len(belief.faults), WRONG_REPAIR_MINUTES)
    assert np.bincount(table.label, weight) == pytest.approx(belief.belief(), abs=0.01)
    assert len(table.takes) == len(table.leads)


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
        monkeypatch.setattr(policy, "_ahead", Scripted(ahead))
        cooling = Scripted(cooled)
        monkeypatch.setattr(policy, "options", cooling)
        readiness = Readiness()
        assert advise(belief, readiness, {"gauge"}) == advice
        asked = [] if cooled is None else [(belief, readiness, {"gauge"}, ("let_cool", True))]
        assert cooling.asked == asked


def test_advice_is_cached(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keyed by running time, overheating and the checks done."""
    trail = Trail(cold())
    monkeypatch.setattr(policy, "advise", Scripted("a", "b", "c", "d", "none is left"))
    readiness = Readiness()
    said = [advised(trail, trail.start, readiness, set()), advised(trail, trail.start, readiness, set())]
    said.append(cast(Any, advised(trail, trail.start, readiness, {"gauge"})))
    readiness.overheated = True
    said.append(advised(trail, trail.start, readiness, set()))
    readiness.minutes_run = 1.0
    said.append(advised(trail, trail.start, readiness, set()))
    assert said == ["a", "a", "b", "c", "d"]


# -- course --


def advice(check: str, *before: Action, worth: bool = True) -> Advice:
    """Advice to take a check."""
    return Advice(option(check, before=before), worth)


def course(
    monkeypatch: pytest.MonkeyPatch,
    answers: list[Advice],
    job_of: tuple[Catalogue, Job] | None = None,
    progress: Callable[[float], None] | None = None,
) -> tuple[Course, list[tuple[float, bool, list[str]]]]:
    """The course with scripted advice; for each request: minutes run, overheated, checks done."""
    catalogue, job = job_of or small()
    asked: list[tuple[float, bool, list[str]]] = []
    left = list(answers)

    def answer(trail: Trail, now: Hypotheses, readiness: Readiness, done: set[str]) -> Advice:
        asked.append((readiness.minutes_run, readiness.overheated, sorted(done)))
        return left.pop(0) if left else Advice(None, False)

    monkeypatch.setattr(policy, "advised", answer)
    return diagnose(catalogue, job, SEED, Trail(Hypotheses.imagine(catalogue, job)), progress), asked


def test_course_follows_the_advice(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[float] = []
    seeds: list[int] = []
    begin = policy.Session
    monkeypatch.setattr(policy, "Session", lambda *given: (seeds.append(given[2]), begin(*given))[1])
    found, asked = course(monkeypatch, [advice(LEVEL), advice(FEED, *WARM_UP)], progress=told.append)
    level, feed = Action("check", (LEVEL,)), Action("check", (FEED,))
    assert found.actions == [level, *WARM_UP, feed]
    assert found.checks == [LEVEL, FEED]
    assert found.minutes == pytest.approx(0.5 + 1.0 + 0.5 + 15.0 + 0.5 + 1.0)
    assert found.diagnosis in ("coolant-low", "hose-leaks")  # they differ only by a leak
    assert 0.4 < found.belief < 1.0
    assert asked == [(0.0, False, []), (0.0, False, [LEVEL]), (pytest.approx(17.0), False, [LEVEL, FEED])]
    assert told == [0.0, 1.0 / 5.0, 2.0 / 6.0]
    assert seeds == [SEED]


@pytest.mark.parametrize("last", [Advice(None, False), Advice(None, True), advice(FEED, worth=False)])
def test_course_ends_when_nothing_is_worth_it(last: Advice, monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = course(monkeypatch, [advice(LEVEL), last, advice(FEED)])
    assert (found.checks, len(asked)) == ([LEVEL], 2)


def test_refused_check_is_skipped(monkeypatch: pytest.MonkeyPatch) -> None:
    """The gauge needs the ignition on: it is refused, and not tried again."""
    found, asked = course(monkeypatch, [advice("gauge"), advice("vent-temperature", LOW), advice(LEVEL)])
    assert found.actions == [LOW, Action("check", (LEVEL,))]
    assert found.checks == [LEVEL]
    assert [done for _run, _hot, done in asked] == [
        [],
        ["gauge"],
        ["gauge", "vent-temperature"],
        [LEVEL, "gauge", "vent-temperature"],
    ]


def test_course_has_a_maximum_length(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(policy, "MOST_CHECKS", 2)
    found, asked = course(monkeypatch, [advice(LEVEL), advice(FEED), advice(RETURN)])
    assert (found.checks, len(asked)) == ([LEVEL, FEED], 2)


def in_the_red() -> tuple[Catalogue, Job]:
    """A car whose gauge is stuck in the red."""
    catalogue, job = small("none")
    stuck = replace(catalogue.vehicles["tern"], parameters={"gauge_rest": 0.99, "gauge_works": 0.0})
    return replace(catalogue, vehicles={"tern": stuck}), job


def test_engine_is_stopped_in_the_red(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    found, asked = course(monkeypatch, [advice(FEED, *WARM_UP), advice(RETURN)], in_the_red())
    assert found.actions == [HOT, LOW, START, Action("drive", (0.5, 50.0)), OFF, Action("check", (RETURN,))]
    assert found.checks == [RETURN]
    assert asked == [(0.0, False, []), (0.5, True, [FEED]), (0.5, True, [FEED, RETURN])]


def test_engine_stays_off_after_the_red() -> None:
    """Without a script: it is far from sure, and checks with a running engine would still tell."""
    catalogue, job = in_the_red()
    found = diagnose(catalogue, job, SEED, Trail(Hypotheses.imagine(catalogue, job)))
    assert found.actions == [Action("check", (LEVEL,)), HOT, LOW, START, Action("drive", (0.5, 50.0)), OFF]
    assert (found.checks, found.diagnosis) == ([LEVEL], "none")
    assert found.belief < SURE


def test_workbench_checks() -> None:
    """The preparations expected above follow from these needs."""
    checks: dict[str, Check] = small()[0].checks
    assert {name: (check.needs, check.best_when, check.place) for name, check in checks.items()} == {
        "gauge": (("ignition-on",), ("warm",), "driver's seat"),
        "vent-temperature": (("engine-running",), ("warm",), "driver's seat"),
        FEED: ((), ("warm",), "engine bay"),
        RETURN: ((), ("warm",), "engine bay"),
        LEVEL: (("engine-off",), ("cold",), "engine bay"),
    }
