"""Resampling: which faults get more particles and how many, which are dropped, and that beliefs stay unbiased."""

from __future__ import annotations

import math
from typing import Any, cast

import numpy as np
import pytest

import grading.observer.resampling as resampling
from grading.observer.particles import Particles, draw_quantile_sets
from grading.observer.resampling import (
    BATCH,
    MAX_ADDED,
    MAX_PER_FAULT,
    MAX_STANDARD_ERROR,
    MIN_EFFECTIVE_SIZE,
    MISFIT_RATIO,
    RELEVANT_BELIEF,
    degenerate_causes,
    needs_particles,
    pareto_sample,
    resample,
    selection_numbers,
    thinned,
    with_more_particles,
)
from sim.vehicle.tolerances import uniform
from tests.grading.observer.toys import Toy, drawn, toy

chances, promise = resampling.inclusion_probabilities, resampling._attainable_belief


def alike(counts: tuple[int, ...], shares: tuple[float, ...], **more: Any) -> Toy:
    """Equally weighted particles: counts and beliefs by fault."""
    places = {k: drawn(k, count) for k, count in enumerate(counts)}
    belief = toy((0.0,) * len(counts), (1.0,) * len(counts), places, noise=(1e9, 1e9), **more)
    belief.log_weight = np.log(np.array(shares))[belief.label]
    belief.log_like = belief.last_log_like = np.zeros(sum(counts))
    belief.log_predictive = np.zeros(len(counts))
    return belief


# -- which faults get more --


def test_unsure_belief_wants_more_particles() -> None:
    """Two faults of belief 1/2 and equal weights: the standard error is sqrt(2 roughness) / 4."""
    belief = alike((400, 400), (0.5, 0.5))
    for evidence_variance, unsure in ((0.0073, True), (0.0071, False)):
        belief.evidence_variance = np.full(2, evidence_variance)
        assert belief.error() == pytest.approx(math.sqrt(2.0 * evidence_variance) * 0.25)
        assert needs_particles(belief).tolist() == [unsure, unsure]
    assert MAX_STANDARD_ERROR == 0.03


@pytest.mark.parametrize(
    ("count", "share", "gain", "contends"),
    [
        (MIN_EFFECTIVE_SIZE - 1, 0.1, 1.0, True),  # too few particles
        (MIN_EFFECTIVE_SIZE, 0.1, 1.0, False),  # enough of them
        (40, 0.1, MISFIT_RATIO + 0.1, True),  # particles in between would explain the reading far better
        (40, 0.1, MISFIT_RATIO - 0.1, False),
        (MIN_EFFECTIVE_SIZE - 1, RELEVANT_BELIEF + 0.001, 1.0, True),
        (MIN_EFFECTIVE_SIZE - 1, RELEVANT_BELIEF - 0.001, 1.0, False),  # negligible belief
        (40, RELEVANT_BELIEF * 0.4, MISFIT_RATIO + 0.1, True),  # negligible now, but not with better particles
        (40, RELEVANT_BELIEF * 0.3, MISFIT_RATIO + 0.1, False),
    ],
)
def test_contending_fault_with_few_or_misplaced_particles_wants_more(
    count: float, share: float, gain: float, contends: bool
) -> None:
    belief = alike((300, int(count)), (1.0 - share, share))
    belief.log_predictive = np.log([1.0, gain])
    assert belief.error().max() < MAX_STANDARD_ERROR
    assert needs_particles(belief).tolist() == [False, contends]


def test_no_more_particles_beyond_the_maximum_or_after_moves() -> None:
    belief = alike((400, 3, 3, 3), (0.4, 0.2, 0.2, 0.2))
    assert needs_particles(belief).tolist() == [False, True, True, True]
    so_far = np.array([400.0, MAX_PER_FAULT, MAX_PER_FAULT - 1, 3.0])
    belief.log_weight += np.log(so_far / belief.drawn)[belief.label]
    belief.drawn = so_far
    belief.rejuvenated = np.array([False, False, False, True])
    assert needs_particles(belief).tolist() == [True, False, True, False]  # all are unsure now
    belief.scale = 2
    assert needs_particles(belief).tolist() == [True, True, True, False]


def test_promise() -> None:
    """Before the reading 0.5 each. Likelihoods: 0.1 and 0.3 by the particles, 0.4 and 0.2 by a normal fit (Bayes)."""
    belief = alike((40, 40), (0.5 * 0.1, 0.5 * 0.3))
    belief.last_log_like, belief.log_predictive = np.log(np.array([0.1, 0.3]))[belief.label], np.log([0.4, 0.2])
    share, gain = promise(belief)
    assert share.tolist() == pytest.approx([0.4 / (0.4 + 0.3), 0.3 / (0.3 + 0.1)])
    assert gain.tolist() == pytest.approx([4.0, 1.0])  # never below what its particles give


# -- adding --


@pytest.mark.parametrize("scale", [1, 2])
@pytest.mark.parametrize(
    ("times", "faults", "added"),
    [
        (0.5, 1, BATCH),  # precise enough: one batch, as it was short for another reason
        (math.sqrt(2.9), 1, BATCH),  # 48 drawn, 2.9 times as many needed: 91 more
        (math.sqrt(3.1), 1, 2 * BATCH),
        (10.0, 1, MAX_PER_FAULT - 48),
        (10.0, 4, MAX_ADDED // 4),
        (math.sqrt(3.1), 24, BATCH),  # at least a batch, however many faults are short
    ],
)
def test_number_added_follows_the_error(
    times: float, faults: int, added: int, scale: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The error falls with the square root of the number, so times**2 as many are needed. Counts grow with scale."""
    belief = alike((48 * scale,) * 25, (0.04,) * 25, scale=scale)
    monkeypatch.setattr(Toy, "error_by_cause", lambda self: np.full(25, times * MAX_STANDARD_ERROR))
    short = np.arange(25) < faults
    more = with_more_particles(belief, short)
    assert more.drawn.tolist() == np.where(short, (48 + added) * scale, 48 * scale).tolist()
    assert belief.drawn.tolist() == [48.0 * scale] * 25
    assert np.bincount(more.label).tolist() == more.drawn.tolist()


def test_added_particles_continue_the_sequence_shared_by_all_faults() -> None:
    belief = alike((96, 48, 48), (0.4, 0.3, 0.3), seed="more")
    more = with_more_particles(belief, np.array([True, False, True]))
    new = draw_quantile_sets("more", 480)
    assert np.array_equal(more.quantiles[more.label == 0][96:, 0], new[96 : int(more.drawn[0]), 0])
    assert np.array_equal(more.quantiles[more.label == 2][48:, 0], new[48 : int(more.drawn[2]), 0])
    assert more.drawn[0] - 96 == more.drawn[2] - 48
    assert np.array_equal(more.quantiles[more.label == 1], belief.quantiles[belief.label == 1])


def test_adding_particles_keeps_the_evidence() -> None:
    """The evidence is the mean weight over those drawn, so more particles of one fault do not raise its belief."""
    few = toy((0.0, 0.5), (0.5, 0.5), {0: drawn(1, 48), 1: drawn(2, 48)}, (0.3, 0.3), (1.0, 1.0))
    more = few
    for _ in range(6):
        more = with_more_particles(more, np.array([True, False]))
    exact = few.evidence(0) / (few.evidence(0) + few.evidence(1))
    assert abs(more.belief()[0] - exact) < 2.0 * more.error()[0]
    assert more.error()[0] < few.error()[0]


# -- tempering and settling --


def test_starved_faults() -> None:
    shares = (0.4, 0.05, 0.3, 0.1, 0.01, 0.07, 0.07)
    belief = alike((400, 3, 3, 3, 3, 5, 3), shares)
    assert degenerate_causes(belief) == []  # more can still be drawn
    drawn_so_far = np.array([400.0, 720.0, 720.0, 3.0, 720.0, 720.0, 719.0])
    belief.log_weight = np.log(np.array(shares) * drawn_so_far / np.bincount(belief.label))[belief.label]
    belief.drawn = drawn_so_far
    assert degenerate_causes(belief) == [2, 1]  # 4 is negligible, 5 has enough, 6 can get more
    belief.rejuvenated[3] = True
    assert degenerate_causes(belief) == [2, 3, 1]
    belief.rejuvenated[6] = True
    assert degenerate_causes(belief) == [2, 3, 6]  # at most three
    belief.scale = 2
    assert degenerate_causes(belief) == [3, 6]


def test_settle_enlarges_twice_at_most_then_tempers_then_thins(monkeypatch: pytest.MonkeyPatch) -> None:
    log: list[str] = []
    short = [np.array([True]), np.array([True]), np.array([True])]

    def noted(name: str, answer: Any = None) -> Any:
        def act(belief: Any, *more: Any) -> Any:
            log.append(" ".join([name, belief, *(str(one) for one in more if isinstance(one, int))]))
            return answer(belief) if answer else f"{belief}+{name}"

        return act

    monkeypatch.setattr(resampling, "needs_particles", noted("needs", lambda belief: short.pop(0)))
    monkeypatch.setattr(resampling, "degenerate_causes", noted("degenerate", lambda belief: [4, 2]))
    for name, short_name in (("with_more_particles", "more"), ("temper", "temper"), ("thinned", "thinned")):
        monkeypatch.setattr(resampling, name, noted(short_name))
    settled = resample(cast(Particles, "a"))
    after = "a+more+more"
    assert log == [
        "needs a",
        "more a",
        "needs a+more",
        "more a+more",
        f"degenerate {after}",
        f"temper {after} 4",
        f"temper {after}+temper 2",
        f"thinned {after}+temper+temper",
    ]
    assert settled == f"{after}+temper+temper+thinned"
    log.clear()
    short[:] = [np.array([True]), np.array([False])]
    resample(cast(Particles, "a"))
    assert log[:4] == ["needs a", "more a", "needs a+more", "degenerate a+more"]


# -- thinning --


@pytest.mark.parametrize(
    ("weights", "count", "kept"),
    [
        ([8.0, 1.0, 1.0], 2.0, [1.0, 0.5, 0.5]),
        ([1.0, 1.0, 1.0, 1.0], 2.0, [0.5, 0.5, 0.5, 0.5]),
        ([1.0, 8.0, 6.0, 1.0], 3.0, [0.5, 1.0, 1.0, 0.5]),
        ([3.0, 2.0, 1.0], 2.0, [1.0, 2.0 / 3.0, 1.0 / 3.0]),  # the first is only just certain
        ([5.0, 1.0, 0.0], 3.0, [1.0, 1.0, 0.0]),  # more places than particles with weight
        ([1.0, 1.0], 5.0, [1.0, 1.0]),
        ([0.0, 4.0, 1.0], 1.5, [0.0, 1.0, 0.5]),
    ],
)
def test_inclusion_probabilities(weights: list[float], count: float, kept: list[float]) -> None:
    found = chances(np.array(weights), count)
    assert found.tolist() == pytest.approx(kept)
    assert found.sum() == pytest.approx(min(count, sum(w > 0.0 for w in weights)))


def test_certain_particles_are_always_drawn_and_impossible_ones_never() -> None:
    lots = np.array([0.999, 0.5, 0.001, 0.3, 0.2])
    assert pareto_sample(np.array([1.0, 0.5, 0.0, 0.5, 0.0]), lots).tolist() == [0, 3]
    assert pareto_sample(np.array([1.0, 0.9, 0.0, 0.1, 0.0]), lots).tolist() == [0, 1]


def test_lots_are_splitmix64() -> None:
    """The finaliser of splitmix64 (Steele, Lea and Flood 2014), in Python integers."""
    quantile, key, most = 0.3, 0.625, 2**64
    word = (int(np.array(quantile).view(np.uint64)) + int(key * 2**63)) % most
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        word = (word ^ (word >> shift)) * factor % most
    word ^= word >> 31
    assert selection_numbers(np.array([[quantile, 0.9]]), key).tolist() == [(word >> 11) / 2**53]


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Small populations, so that the tests are quick."""
    for name, value in {
        "SMALL_ENOUGH": 60,
        "KEPT": 60,
        "KEPT_PER_FAULT": 4,
        "KEPT_PER_UNLIKELY_FAULT": 2,
        "MAX_KEPT_PER_FAULT": 30,
    }.items():
        monkeypatch.setattr(resampling, name, value)


def unequal(seed: str = "unequal", count: int = 60) -> Toy:
    """Particles of five faults, one of them doubtful and one negligible."""
    means, shares = (0.0, 0.3, 0.6, 0.2, 0.1), (0.5, 0.3, 0.199, 5e-4, 5e-6)
    places = {k: drawn(10 + k, count) for k in range(5)}
    return toy(means, shares, places, (0.5, 0.8), (1.0, 0.5), seed=seed)


@pytest.mark.usefixtures("small")
def test_thinning_keeps_beliefs_and_drops_negligible_faults() -> None:
    whole = unequal()
    whole.pruned_mass = 0.125
    before = whole.belief()
    kept = thinned(whole)
    numbers = np.bincount(kept.label, minlength=5)
    assert kept.belief()[:4] == pytest.approx(before[:4] / before[:4].sum(), rel=1e-12)
    assert (numbers[4], kept.pruned_mass) == (0, pytest.approx(0.125 + before[4]))
    assert before[4] < resampling.NEGLIGIBLE_BELIEF < before[3] < resampling.UNLIKELY
    assert numbers[3] == 2  # the minimum of a doubtful fault
    assert numbers.sum() == pytest.approx(60, abs=3)
    assert numbers[0] <= 30
    assert (np.diff(kept.label) >= 0).all()
    assert len(whole.label) == 300 and whole.pruned_mass == 0.125


@pytest.mark.usefixtures("small")
def test_small_populations_are_not_thinned() -> None:
    whole = unequal(count=12)
    assert thinned(whole) is whole
    assert len(thinned(unequal(count=13)).label) < 65
    whole = unequal(count=24)
    whole.scale = 2
    assert thinned(whole) is whole


@pytest.mark.usefixtures("small")
def test_numbers_kept_per_fault() -> None:
    kept = thinned(alike((60, 60, 60, 60), (0.8, 0.1, 0.06, 0.04)))
    assert np.bincount(kept.label).tolist() == [30, 6, 4, 4]
    twice = thinned(alike((120, 120, 120, 120), (0.8, 0.1, 0.06, 0.04), scale=2))
    assert np.bincount(twice.label).tolist() == [60, 12, 8, 8]


@pytest.mark.usefixtures("small")
def test_thinning_is_unbiased() -> None:
    """Weighted sum of x by fault: its mean over many random selections is that of the whole population."""
    whole = unequal()
    weights, x = whole.weights(), whole.x()
    found = []
    for moment in range(150):
        whole.history = [cast(Any, None)] * moment
        kept = cast(Toy, thinned(whole))
        found.append([np.sum((kept.weights() * kept.x())[kept.label == k]) for k in range(3)])
    expected = [np.sum((weights * x)[whole.label == k]) for k in range(3)] / weights[whole.label < 4].sum()
    error = np.std(found, axis=0) / math.sqrt(len(found))
    assert (np.abs(np.mean(found, axis=0) - expected) < 3.0 * error).all()
    assert (error < 0.01).all()


@pytest.mark.usefixtures("small")
def test_thinning_keeps_common_random_numbers() -> None:
    same = drawn(5, 60)
    whole = toy((0.0, 0.0), (0.5, 0.5), {0: same, 1: same}, (0.5, 0.8), (1.0, 0.5))
    kept = thinned(whole)
    first, second = (kept.quantiles[kept.label == k, 0].tolist() for k in range(2))
    assert first == second and len(first) == 30
    assert first != thinned(unequal("another")).quantiles[:30, 0].tolist()
    key = uniform(whole.seed, "kept", 0)
    lots = selection_numbers(same, key)
    odds = chances(whole.weights()[:60], 30.0)
    assert first == same[pareto_sample(odds, lots), 0].tolist()
