"""The Metropolis step and the evidence of tempering, against a model with closed-form answers."""

from __future__ import annotations

import math
from typing import Any, cast

import numpy as np
import pytest
from scipy.stats import kstest, norm

import grading.observer.tempering as tempering
from grading.observer.particles import Particles
from grading.observer.tempering import CORRELATIONS, ESS_SHARE, MOVED, temper
from sim.vehicle.tolerances import normal_deviates, normal_quantiles
from tests.grading.observer.toys import Toy, drawn, toy

MEANS, CHANCES, READ, NOISE = (0.0, 1.0, -1.0), (0.5, 0.3, 0.2), (1.2, 2.0), (1.5, 0.4)
MANY = 2000
TIMES = 120
rise, rejuvenated = tempering._power_step, tempering._metropolis_step


def belief(seed: int, count: int = 48, scale: int = 1) -> Toy:
    """After a vague reading of 1.2 and a precise one of 2.0, two standard deviations out for fault 0."""
    places = {k: drawn(100 * seed + k, count) for k in range(len(MEANS))}
    return toy(MEANS, CHANCES, places, READ, NOISE, seed=f"toy {seed}", scale=scale)


def generator(seed: int = 1) -> np.random.Generator:
    return np.random.Generator(np.random.Philox(key=seed))


def effective(weights: np.ndarray) -> float:
    return float(weights.sum() ** 2 / (weights**2).sum())


def at_law(power: float) -> Toy:
    """Particles of fault 0 distributed as the posterior tempered to this power."""
    mean, spread = belief(1).posterior(0, power)
    even = (np.arange(MANY) + 0.5) / MANY
    first = normal_quantiles(norm.ppf(generator(7).permutation(even), mean - MEANS[0], spread))
    return toy(MEANS, CHANCES, {0: np.column_stack([first, drawn(8, MANY, 1)])}, READ, NOISE)


@pytest.mark.parametrize("power", [0.0, 0.2, 1.0])
def test_metropolis_step_preserves_the_tempered_posterior(power: float) -> None:
    """If every proposal were accepted, the particles would drift back to the prior."""
    before = at_law(power)
    after = cast(Toy, rejuvenated(before, 0, power, generator()))
    mean, spread = before.posterior(0, power)
    assert kstest(after.x(), norm(mean, spread).cdf).pvalue > 0.01
    assert 0.1 < np.mean(after.x() != before.x()) < 0.9
    assert kstest(after.quantiles[:, 1], "uniform").pvalue > 0.01  # no reading depends on this one


def test_metropolis_steps_converge_from_the_prior() -> None:
    now: Particles = toy(MEANS, CHANCES, {0: drawn(3, MANY // 2, 1)}, READ, NOISE)
    mean, spread = belief(1).posterior(0)
    rng = generator()
    for _ in range(60):
        now = rejuvenated(now, 0, 1.0, rng)
    assert kstest(cast(Toy, now).x(), norm(mean, spread).cdf).pvalue > 0.01


@pytest.mark.parametrize(
    ("whole", "share", "power", "taken"),
    [
        (0.0, 0.0, 1.0, 1.0),
        (2.0, 0.0, 1.0, 1.0),
        (-1.0, 0.0, 1.0, math.exp(-1.0)),
        (-1.0, -1.0, 1.0, math.exp(-1.0)),  # at power 1 the last reading counts in full
        (-1.0, -1.0, 0.0, 1.0),  # at power 0 not at all
        (-1.0, -1.0, 0.25, math.exp(-0.25)),
        (-1.0, 1.0, 0.5, math.exp(-1.5)),
        (-40.0, 0.0, 1.0, 0.0),
    ],
)
def test_acceptance_probability(
    whole: float, share: float, power: float, taken: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """min(1, likelihood ratio), with the last reading's factor raised to the power (Metropolis, textbook).

    whole, share: log ratio of the likelihoods of all readings and of the last one.
    """
    now, fresh = at_law(1.0), Toy.new_particles
    now.log_like, now.last_log_like = np.zeros(MANY), np.zeros(MANY)

    def shifted(self: Toy, places: dict[int, np.ndarray]) -> Toy:
        more = fresh(self, places)
        more.log_like, more.last_log_like = np.full(MANY, whole), np.full(MANY, share)
        return more

    monkeypatch.setattr(Toy, "new_particles", shifted)
    after = rejuvenated(now, 0, power, generator())
    changed = np.any(after.quantiles != now.quantiles, axis=1)
    assert np.mean(changed) == pytest.approx(taken, abs=3.0 * math.sqrt(taken * (1.0 - taken) / MANY) + 1e-9)
    assert np.array_equal(after.log_like, np.where(changed, whole, 0.0))
    assert np.array_equal(after.last_log_like, np.where(changed, share, 0.0))


def test_proposal_step_sizes() -> None:
    """With a flat likelihood all are accepted. From z proposals follow N(r z, 1 - r^2), a third each for three r."""
    one = np.full((MANY, 1), norm.cdf(2.0))
    now = toy((0.0,), (1.0,), {0: one}, noise=(1e9, 1e9))
    z = normal_deviates(rejuvenated(now, 0, 1.0, generator()).quantiles[:, 0])
    laws = [norm(2.0 * r, math.sqrt(1.0 - r * r)) for r in CORRELATIONS]
    assert kstest(z, lambda at: np.mean([law.cdf(at) for law in laws], axis=0)).pvalue > 0.01


def test_evidence_is_unbiased_and_particles_follow_the_posterior() -> None:
    """Mean over many runs: prior times evidence, within three standard errors of about 3 %."""
    found, lying = [], []
    for seed in range(TIMES):
        before = belief(seed)
        after = cast(Toy, temper(before, 0))
        mine = after.label == 0
        assert after.drawn.tolist() == [mine.sum(), 48.0, 48.0]
        assert len(set(after.log_weight[mine])) == 1  # equal weights
        found.append(float(np.exp(after.log_weight[mine][0])))
        lying.append(after.x()[mine])
    exact = CHANCES[0] * belief(0).evidence(0)
    error = float(np.std(found)) / math.sqrt(len(found))
    assert error < 0.05 * exact
    assert np.mean(found) == pytest.approx(exact, abs=3.0 * error)
    mean, spread = belief(0).posterior(0)
    assert np.mean(lying) == pytest.approx(mean, abs=0.1 * spread)
    assert np.std(lying) == pytest.approx(spread, rel=0.1)


def test_roughness_adds_the_relative_variance_of_each_stage(monkeypatch: pytest.MonkeyPatch) -> None:
    """1/ESS - 1/n per stage; each stage but the last reduces the effective sample size to a share ESS_SHARE."""
    powers: list[float] = []

    def stay(now: Particles, fault: int, power: float, rng: np.random.Generator) -> Particles:
        powers.append(power)
        return now

    monkeypatch.setattr(tempering, "_metropolis_step", stay)
    before = belief(1)
    before.evidence_variance[0] = 0.5
    mine = before.label == 0
    drawn_as = effective(np.exp(before.log_weight[mine] - before.last_log_like[mine]))
    first, other = 1.0 / (ESS_SHARE * drawn_as) - 1.0 / MOVED, 1.0 / (ESS_SHARE * MOVED) - 1.0 / MOVED
    variance = float(temper(before, 0).evidence_variance[0]) - 0.5
    assert len(powers) > 2
    assert first + (len(powers) - 2) * other < variance < first + (len(powers) - 1) * other


def test_roughness_matches_the_variance_of_the_evidence_for_a_mild_reading() -> None:
    found, variances = [], []
    for seed in range(TIMES):
        before = toy(MEANS, CHANCES, {k: drawn(100 * seed + k, 48, 1) for k in range(3)}, (0.5, 1.5), (1.5, 0.5))
        before.seed = f"mild {seed}"
        after = temper(before, 0)
        found.append(float(np.exp(after.log_weight[after.label == 0][0])))
        variances.append(after.evidence_variance.tolist())
    assert np.mean(variances, axis=0)[0] == pytest.approx(np.var(found) / np.mean(found) ** 2, rel=0.4)
    assert np.array(variances)[:, 1:].max() == 0.0


def test_other_faults_are_unchanged() -> None:
    before = belief(1)
    before.evidence_variance[:] = 0.25
    after = temper(before, 1)
    for name in ("quantiles", "log_weight", "log_like", "last_log_like"):
        for fault in (0, 2):
            kept, old = getattr(after, name)[after.label == fault], getattr(before, name)[before.label == fault]
            assert np.array_equal(kept, old)
    assert (np.diff(after.label) >= 0).all()
    assert after.rejuvenated.tolist() == [False, True, False]
    assert before.rejuvenated.tolist() == [False] * 3 and before.drawn.tolist() == [48.0] * 3
    assert after.evidence_variance[[0, 2]].tolist() == [0.25, 0.25] and after.evidence_variance[1] > 0.25


@pytest.mark.parametrize("scale", [1, 3])
def test_number_of_particles_after_tempering(scale: int) -> None:
    after = temper(belief(1, scale=scale), 0)
    assert np.sum(after.label == 0) == after.drawn[0] == scale * MOVED


def test_moves_are_reproducible_and_keyed_by_history() -> None:
    one, same, later = belief(1), belief(1), belief(1)
    later.history = [cast(Any, None)]
    first, second, third = (temper(before, 0).quantiles for before in (one, same, later))
    assert np.array_equal(first, second)
    assert not np.array_equal(first, third)


def test_single_stage_is_plain_importance_sampling(monkeypatch: pytest.MonkeyPatch) -> None:
    """The only stage takes in the whole likelihood: the evidence is the mean weight."""
    monkeypatch.setattr(tempering, "STAGES", 1)
    before = belief(1)
    mine = before.label == 0
    weight = np.exp(before.log_weight[mine])
    after = temper(before, 0)
    assert np.exp(after.log_weight[after.label == 0][0]) == pytest.approx(weight.mean(), rel=1e-12)
    squares = float((weight**2).sum() / weight.sum() ** 2)
    assert after.evidence_variance[0] == pytest.approx(squares - 1.0 / MOVED, rel=1e-9)


def test_tempering_powers(monkeypatch: pytest.MonkeyPatch) -> None:
    powers: list[float] = []

    def noted(now: Particles, fault: int, power: float, rng: np.random.Generator) -> Particles:
        powers.append(power)
        return rejuvenated(now, fault, power, rng)

    monkeypatch.setattr(tempering, "_metropolis_step", noted)
    temper(toy((0.0,), (1.0,), {0: drawn(1, 48)}, (0.0, 0.0), (1e3, 1e3)), 0)
    assert powers == [1.0]
    powers.clear()
    temper(belief(1), 0)
    assert powers == sorted(powers) and len(powers) > 1 and powers[-1] == 1.0
    powers.clear()
    monkeypatch.setattr(tempering, "STAGES", 2)
    monkeypatch.setattr(tempering, "MOVES", 2)
    temper(belief(1), 0)
    assert len(powers) == 4 and powers[0] == powers[1] < powers[2] == powers[3] == 1.0


def test_rise_leaves_the_given_share_of_the_effective_sample_size() -> None:
    last = generator().normal(size=200) * 8.0 - 1000.0
    w = generator(2).random(200)
    found = rise(w, last, 1.0)
    assert 0.0 < found < 1.0
    assert effective(w * np.exp(found * (last + 1000.0))) == pytest.approx(ESS_SHARE * effective(w), rel=1e-6)
    assert rise(w, last, 0.5 * found) == 0.5 * found  # limited to what was asked for
    assert rise(w, last, found) == pytest.approx(found, rel=1e-6)
    assert rise(w, np.zeros(200), 1.0) == 1.0


def test_rise_has_a_lower_bound() -> None:
    """Even if a single particle explains the reading."""
    last = np.full(50, -1e6)
    last[3] = 0.0
    assert rise(np.ones(50), last, 1.0) == 1e-3
