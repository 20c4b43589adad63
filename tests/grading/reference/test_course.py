"""The course of the reference on the small catalogue."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

import grading.reference.policy as policy
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.reference.policy import (
    SURE,
    Advice,
    ReferenceRun,
    diagnose,
)
from grading.reference.preparation import Readiness
from grading.sessions.perception import SENSES
from scenarios.actions import Action
from scenarios.model import Catalogue, Check, Job
from tests.grading.reference.small_course import (
    FEED,
    HOT,
    LEVEL,
    LOW,
    OFF,
    RETURN,
    START,
    WARM_UP,
    option,
    small,
)
from tests.grading.workbench import SEED


def advice(check: str, *before: Action, worth: bool = True) -> Advice:
    """Advice to take a check."""
    return Advice(option(check, before=before), worth)


def course(
    monkeypatch: pytest.MonkeyPatch,
    answers: list[Advice],
    job_of: tuple[Catalogue, Job] | None = None,
    progress: Callable[[float], None] | None = None,
) -> tuple[ReferenceRun, list[tuple[float, bool, list[str]]]]:
    """The course with scripted advice; for each request: minutes run, overheated, checks done."""
    catalogue, job = job_of or small()
    asked: list[tuple[float, bool, list[str]]] = []
    left = list(answers)

    def answer(belief_cache: BeliefCache, now: Particles, readiness: Readiness, done: set[str]) -> Advice:
        asked.append((readiness.minutes_run, readiness.overheated, sorted(done)))
        return left.pop(0) if left else Advice(None, False)

    monkeypatch.setattr(policy, "advised", answer)
    return diagnose(catalogue, job, SEED, BeliefCache(Particles.sample_prior(catalogue, job)), progress), asked


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


def test_engine_stays_off_after_the_red(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a script: it is far from sure, and checks with a running engine would still tell.

    The engine lamp, which a thermostat stuck open has lit before the vehicle comes, would make it sure.
    """
    lamp = SENSES["engine lamp seen"]  # in its place still: the order of senses is that of records
    monkeypatch.setitem(SENSES, "engine lamp seen", replace(lamp, when=lambda workshop: False))
    catalogue, job = in_the_red()
    found = diagnose(catalogue, job, SEED, BeliefCache(Particles.sample_prior(catalogue, job)))
    assert found.actions == [Action("check", (LEVEL,)), HOT, LOW, START, Action("drive", (0.5, 50.0)), OFF]
    assert found.checks == [LEVEL]
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
