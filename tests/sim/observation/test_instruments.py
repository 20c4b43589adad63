"""An instrument is one law in two directions: what it reads and how likely a reading is must agree."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from typing import Any, cast

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy.stats import multivariate_normal

from sim.observation.categories import Categories
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import LAPSE, Display, Instrument, OffsetEstimate, Words
from sim.observation.responses import apparent_temperature
from sim.vehicle.tolerances import uniform

SPANS = {
    "hand on rubber": (-10.0, 100.0),
    "infrared thermometer": (-20.0, 130.0),
    "scan tool": (-40.0, 140.0),
    "dash gauge": (0.0, 1.0),
    "air by hand": (0.0, 6.0),
    "multimeter": (0.0, 15.0),
    "multimeter on a supply": (0.0, 15.0),
}
COUNT = 1000
TOLERANCE = 4.0  # standard errors of a frequency


def truths(instrument: Instrument, name: str) -> list[float]:
    if isinstance(instrument, Categories):
        return [float(k) for k in range(len(instrument.words))]
    if isinstance(instrument, Words):
        low, high = SPANS.get(name, (instrument.bounds[0] - 1.0, instrument.bounds[-1] + 1.0))
    else:
        assert isinstance(instrument, Display)
        low, high = SPANS.get(name, (instrument.low, instrument.high))
    return [low + share * (high - low) for share in (0.03, 0.21, 0.5, 0.77, 0.96)]


@pytest.mark.parametrize("name", INSTRUMENTS)
def test_readings_come_as_often_as_their_likelihood_says(name: str) -> None:
    instrument = INSTRUMENTS[name]
    for true in truths(instrument, name):
        seen = Counter(instrument.read(true, (k + 0.5) / COUNT) for k in range(COUNT))
        total = 0.0
        for step, count in seen.items():
            chance = float(instrument.likelihood(step, np.array([true]))[0])
            total += chance
            error = TOLERANCE * math.sqrt(max(chance * (1.0 - chance), 1e-4) / COUNT) + 2.0 * LAPSE
            assert count / COUNT == pytest.approx(chance, abs=error)
        assert total == pytest.approx(1.0, abs=0.01 + 1.1 * LAPSE * len(seen))  # each step has its share of slips


@pytest.mark.parametrize("name", INSTRUMENTS)
def test_every_step_can_be_shown_and_no_reading_is_impossible(name: str) -> None:
    instrument = INSTRUMENTS[name]
    for true in truths(instrument, name):
        step = instrument.read(true, 0.5)
        assert instrument.show(step).strip()
        everywhere = instrument.likelihood(step, np.array(truths(instrument, name)))
        assert np.all(everywhere >= LAPSE * 0.99)
        assert np.all(everywhere <= 1.0 + 1e-12)


@given(some.floats(-40.0, 215.0), some.floats(0.0, 1.0))
def test_a_display_stays_in_its_range_and_near_the_truth(true: float, chance: float) -> None:
    tool = INSTRUMENTS["scan tool"]
    assert isinstance(tool, Display)
    step = tool.read(true, chance)
    assert tool.low <= tool.value(step) <= tool.high
    assert abs(tool.value(step) - true) <= 6.5 * tool.spread + 0.5 * tool.resolution


def test_the_infrared_thermometer_sees_rubber_a_little_cooler_than_it_is() -> None:
    tool = INSTRUMENTS["infrared thermometer"]
    seen = float(tool.response(np.array([90.0]))[0])
    assert seen == pytest.approx(apparent_temperature(90.0, 0.94, 0.95, 20.0))
    assert 88.0 < seen < 90.0


def test_a_kind_is_mistaken_as_often_as_it_says() -> None:
    ear = INSTRUMENTS["ear at the dash"]
    wrong = sum(ear.read(1.0, uniform("ear", k)) != 1 for k in range(COUNT))
    assert wrong / COUNT == pytest.approx(ear.spread, abs=TOLERANCE * math.sqrt(ear.spread / COUNT))


@pytest.mark.parametrize("name", ["infrared thermometer", "hand on rubber", "multimeter on a supply"])
def test_two_readings_of_one_instrument_are_as_likely_together_as_their_common_offset_makes_them(name: str) -> None:
    """Against SciPy's bivariate normal: chance that both readings fall in their steps, offset and noise apart."""
    tool = INSTRUMENTS[name]
    trues = truths(tool, name)[1:4]
    covariance = [[tool.spread**2, tool.offset**2], [tool.offset**2, tool.spread**2]]
    for first, second in itertools.pairwise(trues):
        seen = tool.response(np.array([first, second]))
        law = multivariate_normal(mean=seen, cov=cast(Any, covariance))
        for lucks in ((0.5, 0.5), (0.9, 0.5), (0.2, 0.3)):
            steps = [tool.read(true, luck, 0.8) for true, luck in zip((first, second), lucks, strict=True)]
            edges = np.array([tool.edges(step) for step in steps])
            edges = np.clip(edges, seen[:, None] - 9.0 * tool.spread, seen[:, None] + 9.0 * tool.spread)
            exact = law.cdf(edges[:, 1], lower_limit=edges[:, 0])
            unread = OffsetEstimate(np.zeros(1), np.full(1, tool.offset**2))
            chance, after = tool.update_offset(steps[0], np.array([first]), unread)
            again, _ = tool.update_offset(steps[1], np.array([second]), after)
            assert float(chance[0] * again[0]) == pytest.approx(exact, rel=0.02, abs=3.0 * LAPSE)


def test_what_an_instrument_is_off_by_is_learnt_from_its_readings() -> None:
    """Five readings of a known temperature: the posterior of the offset is that of the textbook (normal, conjugate)."""
    tool = INSTRUMENTS["clamp thermocouple"]  # so fine a display that rounding hardly counts
    true, steps = 60.0, [tool.read(60.0, luck, 0.95) for luck in (0.1, 0.4, 0.5, 0.7, 0.9)]
    known = OffsetEstimate(np.zeros(1), np.full(1, tool.offset**2))
    for step in steps:
        _, known = tool.update_offset(step, np.array([true]), known)
    precision = 1.0 / tool.offset**2 + len(steps) / tool.noise**2
    gaps = [step * 0.1 - true for step in steps]
    assert float(known.variance[0]) == pytest.approx(1.0 / precision, rel=0.03)
    assert float(known.mean[0]) == pytest.approx(sum(gaps) / tool.noise**2 / precision, abs=0.02)


@pytest.mark.parametrize("name", ["nose for heat", "nose", "eye for leaks"])
def test_what_tells_by_ratio_errs_by_a_share_of_what_there_is(name: str) -> None:
    """Fechner's law (textbook): twice the last bound is taken for less as often as half of it is for more, about."""
    sense = INSTRUMENTS[name]
    assert isinstance(sense, Words)
    bound, last = math.expm1(sense.bounds[-1]), len(sense.bounds)
    half, double = (float(sense.likelihood(last, np.array([bound * share]))[0]) for share in (0.5, 2.0))
    assert half == pytest.approx(1.0 - double, abs=0.06)
    assert 0.5 * sense.likelihood(last, np.array([bound]))[0] == pytest.approx(0.25, abs=1e-3)
    assert sense.read(0.0, 0.5) == 0 and sense.likelihood(0, np.array([0.0]))[0] > 0.99


def test_a_figure_that_some_vehicles_lack_does_not_stand_for_its_absence() -> None:
    """Of a fault whose vehicles show 50 degC or nothing, none is expected to show something between."""
    reader = INSTRUMENTS["freeze frame reader"]
    true, w, label = np.array([50.0, 50.0, 1000.0, 1000.0]), np.ones(4), np.zeros(4, int)
    shown = reader.step(1000.0)
    assert reader.show(shown) == "no freeze frame"
    assert reader.predictive_likelihood(shown, true, w, label, np.array([4.0]))[0] == pytest.approx(0.5, abs=1e-3)
    assert reader.predictive_likelihood(reader.step(130.0), true, w, label, np.array([4.0]))[0] < 1e-3
    assert reader.bandwidth(true, w, label, 1) is None
