"""What an instrument tells apart, and where the line between healthy and unrepaired is drawn."""

from __future__ import annotations

import numpy as np
import pytest

from grading.marks.told_apart import MOST_WRONG, Verge, tells, verge
from sim.observation.instruments import INSTRUMENTS

OUTSIDE = 2.0
PROBE = INSTRUMENTS["air probe"]


def probe(healthy: float, ill: float, outside: float = OUTSIDE) -> Verge:
    return verge(PROBE, healthy, ill, outside)


@pytest.mark.parametrize(
    ("healthy", "ill", "least"),
    [
        (62.0, 10.0, 56.0),  # nine tenths of 60 K over the air outside
        (62.0, 50.0, 56.0),  # the middle itself
        (62.0, 54.0, 58.0),  # the middle is stricter
        (62.0, 62.0, 56.0),  # nothing wrong
        (12.0, -10.0, 11.0),
    ],
)
def test_warm_air_must_reach_nine_tenths_or_the_middle(healthy: float, ill: float, least: float) -> None:
    line = probe(healthy, ill)
    assert line.low == pytest.approx(least)
    assert line.passes(round(least)) and not line.passes(round(least) - 1)
    assert line.limit == f"{least:.0f} °C"


@pytest.mark.parametrize(
    ("healthy", "ill", "most"),
    [
        (47.0, 70.0, 52.0),  # 45 K over the air outside is nine tenths of 50 K
        (47.0, 53.0, 50.0),  # the middle is stricter
        (3.0, 40.0, 7.5),  # three spreads, where a ninth more is less than the probe can show
    ],
)
def test_air_that_should_be_cold_has_the_same_line_from_the_other_side(healthy: float, ill: float, most: float) -> None:
    line = probe(healthy, ill)
    assert line.high == pytest.approx(most)
    assert line.passes(int(most)) and not line.passes(int(most) + 1)


def test_what_antifreeze_protects_to_is_no_air() -> None:
    line = verge(INSTRUMENTS["refractometer"], -36.0, -2.0, OUTSIDE)
    assert line.high == pytest.approx(-19.0)


@pytest.mark.parametrize(("healthy", "ill", "apart"), [(62.0, 56.0, True), (62.0, 58.0, False), (20.0, 20.0, False)])
def test_a_probe_tells_apart_what_differs_by_more_than_it_spreads(healthy: float, ill: float, apart: bool) -> None:
    """Six kelvin are four spreads: each is read as the other once in forty times."""
    assert tells(probe(healthy, ill), healthy, ill) == apart


def test_an_engine_hardly_warm_proves_nothing() -> None:
    """Nine tenths of a few kelvin lie within the probe's own spread."""
    assert not tells(probe(6.0, -30.0), 6.0, -30.0)


@pytest.mark.parametrize(
    ("healthy", "ill", "good"),
    [
        (3.05, 0.0, {1, 2, 3, 4, 5}),  # moderate against none: a breath is just nearer to it
        (3.05, 0.55, {2, 3, 4, 5}),  # against a breath of air
        (5.6, 2.0, {4, 5}),  # very strong against weak
        (0.2, 4.0, {0, 1}),
    ],
)
def test_words_count_beyond_the_middle_of_what_is_felt(healthy: float, ill: float, good: set[int]) -> None:
    line = verge(INSTRUMENTS["air by hand"], healthy, ill, OUTSIDE)
    assert line.steps == good
    assert tells(line, healthy, ill)
    assert line.limit == ""


def test_the_same_word_for_both_proves_nothing() -> None:
    gauge = INSTRUMENTS["dash gauge"]
    assert not tells(verge(gauge, 0.50, 0.47, OUTSIDE), 0.50, 0.47)
    assert tells(verge(gauge, 0.50, 0.95, OUTSIDE), 0.50, 0.95)


def test_where_nothing_is_wrong_the_next_word_passes_too() -> None:
    assert verge(INSTRUMENTS["air by hand"], 3.0, 3.0, OUTSIDE).steps == {2, 3, 4}


def test_kinds_have_no_middle() -> None:
    line = verge(INSTRUMENTS["ear at the blower"], 3.0, 0.0, OUTSIDE)
    assert line.steps == {3}
    assert tells(line, 3.0, 0.0)
    assert line.holds(3.0) and not line.holds(2.0)


@pytest.mark.parametrize(("healthy", "ill"), [(20.0, 5.0), (5.0, 20.0)])
def test_other_figures_lie_beyond_the_middle(healthy: float, ill: float) -> None:
    clamp = INSTRUMENTS["current clamp"]
    line = verge(clamp, healthy, ill, OUTSIDE)
    assert line.passes(int(healthy * 10)) and not line.passes(int(ill * 10))
    assert line.passes(130) == (healthy > ill) and line.passes(120) == (healthy < ill)
    assert tells(line, healthy, ill)


def test_resistance_is_told_by_ratio_and_over_range_is_a_reading() -> None:
    meter = INSTRUMENTS["ohmmeter"]
    line = verge(meter, 12.0, 1e6, OUTSIDE)
    fine, broken = meter.steps(meter.response(np.array([12.0, 1e6])))
    assert line.passes(int(fine)) and not line.passes(int(broken))


@pytest.mark.parametrize(("true", "holds"), [(56.1, True), (55.9, False)])
def test_a_vehicle_itself_lies_on_one_side(true: float, holds: bool) -> None:
    assert probe(62.0, 10.0).holds(true) == holds


def test_chances_are_those_of_the_instrument() -> None:
    line = probe(62.0, 10.0)
    assert line.chance(56.0) == pytest.approx(0.5)
    assert line.chance(56.0 - 1.8808 * PROBE.spread) == pytest.approx(MOST_WRONG, rel=1e-3)
