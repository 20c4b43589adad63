"""Games do not pass; what the study works out of many sessions."""

from __future__ import annotations

import numpy as np
import pytest

from grading.marks.grade import Grader
from grading.reference.policy import ReferenceRun
from tests.packaged import packaged_catalogue
from tests.studies.games import GAMES, LEVELS, PLAYS
from tests.studies.verdict_study import Played, jobs_for_reliability, jobs_of, line, of_levels, play, spearman, study


def played(name: str, job: str, seed: int, total: float, passed: bool = True) -> Played:
    """A session with made-up marks."""
    return Played(name, job, seed, total, passed, "passed", True, True, 0.9, {"diagnosis": total}, [])


def test_a_game_that_knows_the_name_alone_is_not_finished() -> None:
    catalogue = packaged_catalogue()
    grader = Grader(catalogue, catalogue.jobs["market-round"], 1)
    grader.course = ReferenceRun(checks=["blower-each-speed"], minutes=2.0, diagnosis="resistor-pack-open", belief=1.0)
    one = play("right name, nothing done", grader)
    assert one is not None
    assert not one.passed
    assert sum(reason.startswith("not finished") for reason in one.reasons) == 2  # neither repaired nor proven


def test_a_row_tells_whether_the_bar_is_met() -> None:
    fit = "fit, prove, name: one part"
    assert line(fit, [played(fit, "a", k, 40.0, False) for k in range(3)]).endswith("met |")
    assert line(fit, [played(fit, "a", k, 80.0) for k in range(3)]).endswith("MISSED |")
    slow = "right, complete, slow"
    assert line(slow, [played(slow, "a", k, 80.0) for k in range(3)]).endswith("met |")


def test_a_game_is_played_on_jobs_that_lend_themselves_to_it() -> None:
    catalogue = packaged_catalogue()
    for number in range(6):
        for job, names in jobs_of(catalogue, number, False, PLAYS).values():
            for name in names:
                assert PLAYS[name].fits(catalogue, job)
                assert PLAYS[name].jobs == () or job.id.startswith("study-")
    kinds = {
        job.complains_of
        for number in range(3)
        for job, _ in jobs_of(catalogue, number, False, ["run on in the red"]).values()
    }
    assert all("overheating" in kind for kind in kinds)


def test_rank_correlation() -> None:
    levels = np.arange(4)
    assert spearman(levels, np.array([1.0, 2.0, 3.0, 9.0])) == pytest.approx(1.0)
    assert spearman(levels, np.array([9.0, 3.0, 2.0, 1.0])) == pytest.approx(-1.0)
    assert spearman(levels, np.array([1.0, 3.0, 2.0, 9.0])) == pytest.approx(0.8)


def test_jobs_for_reliability() -> None:
    """Persons 0, 10, 20, a residual variance of 10, and two jobs."""
    residuals = np.array([[1.0, -1.0], [-1.0, 1.0], [0.0, 0.0]]) * np.sqrt(5.0)
    totals = np.array([[0.0], [10.0], [20.0]]) + residuals
    assert jobs_for_reliability(totals) == pytest.approx(4.0 * 10.0 / (100.0 - 10.0 / 2.0))


def test_what_seven_levels_show_together() -> None:
    sessions = [played(name, "a", seed, 40.0 + 5.0 * k + seed) for k, name in enumerate(LEVELS) for seed in range(3)]
    said = of_levels(sessions)
    assert any("1.00" in one and "rank" in one for one in said)
    assert of_levels(sessions[:5]) == []


@pytest.mark.slow
def test_games_fail_and_honest_work_passes() -> None:
    names = [*GAMES, "level 6, expert"]
    found = study([(7100, 0), (7101, 0)], False, names, 30.0, None)
    for one in found:
        if one.strategy in GAMES and GAMES[one.strategy].fails:
            assert not one.passed, one
        if one.strategy == "level 6, expert":
            assert one.passed, one
