"""Properties of the laws of heat exchangers as mathematics."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.laws import exchangers

transfer_units = st.floats(0.0, 50.0)
ratios = st.floats(0.0, 1.0)
rates = st.floats(0.1, 5000.0)


@given(transfer_units, ratios)
def test_effectiveness_lies_between_nothing_and_counterflow(ntu: float, ratio: float) -> None:
    """No exchanger is better than counterflow; the closed form may pass it by 0.001."""
    effectiveness = exchangers.effectiveness_crossflow(ntu, ratio)
    decay = math.exp(-ntu * (1.0 - ratio))
    counterflow = ntu / (1.0 + ntu) if 1.0 - ratio < 1e-9 else (1.0 - decay) / (1.0 - ratio * decay)
    assert 0.0 <= effectiveness <= counterflow + 1e-3


@given(st.floats(0.0, 20.0), ratios)
def test_effectiveness_grows_with_size_and_falls_with_ratio(ntu: float, ratio: float) -> None:
    effectiveness = exchangers.effectiveness_crossflow(ntu, ratio)
    assert exchangers.effectiveness_crossflow(ntu + 0.1, ratio) >= effectiveness
    assert exchangers.effectiveness_crossflow(ntu, min(ratio + 0.05, 1.0)) <= effectiveness + 1e-12


@given(transfer_units)
def test_effectiveness_is_continuous_at_no_capacity_ratio(ntu: float) -> None:
    limit = 1.0 - math.exp(-ntu)
    assert exchangers.effectiveness_crossflow(ntu, 0.0) == pytest.approx(limit)
    assert exchangers.effectiveness_crossflow(ntu, 2e-6) == pytest.approx(limit, abs=1e-5)


@given(st.floats(1.0, 2000.0), rates, rates)
def test_outlet_conductance_gives_the_effectiveness_heat(ua: float, c_hot: float, c_cold: float) -> None:
    conductance = exchangers.outlet_conductance(ua, c_hot, c_cold)
    # c_hot (inlet - outlet) = conductance (outlet - air): the outlet of a coolant at 85 degC in air of -10 degC.
    outlet = (c_hot * 85.0 + conductance * -10.0) / (c_hot + conductance)
    smaller = min(c_hot, c_cold)
    effectiveness = exchangers.effectiveness_crossflow(ua / smaller, smaller / max(c_hot, c_cold))
    heat = effectiveness * smaller * 95.0
    if conductance < exchangers.LARGEST_OUTLET_FACTOR * ua:
        assert conductance * (outlet + 10.0) == pytest.approx(heat, rel=1e-6)
    else:
        # Limited: beyond three transfer units at least 95 % of the heat is kept.
        assert 0.95 * heat < conductance * (outlet + 10.0) <= heat * (1.0 + 1e-9)


@given(st.floats(1.0, 2000.0), st.floats(0.0, 3.0), st.floats(0.0, 5000.0))
def test_outlet_conductance_is_exact_up_to_three_transfer_units(ua: float, ntu: float, c_cold: float) -> None:
    if ntu > 0.0:
        assert exchangers.outlet_conductance(ua, ua / ntu, c_cold) < exchangers.LARGEST_OUTLET_FACTOR * ua


def test_outlet_conductance_at_its_ends() -> None:
    assert exchangers.outlet_conductance(0.0, 100.0, 100.0) == 0.0
    assert exchangers.outlet_conductance(180.0, 100.0, 0.0) == 0.0
    assert exchangers.outlet_conductance(180.0, 0.0, 100.0) == pytest.approx(6.4 * 180.0)
    assert exchangers.outlet_conductance(180.0, 1e-300, 100.0) == pytest.approx(6.4 * 180.0)
    assert exchangers.outlet_conductance(180.0, 100.0, 1e-9) == pytest.approx(1e-9)


@given(st.floats(1.0, 2000.0), st.floats(1e-3, 500.0), rates)
def test_an_outlet_conductance_seen_at_once_to_be_limited_is_limited(ua: float, c_hot: float, c_cold: float) -> None:
    smaller, larger = min(c_hot, c_cold), max(c_hot, c_cold)
    rate = smaller * exchangers.effectiveness_crossflow(ua / smaller, smaller / larger)
    left = 1.0 - rate / c_hot
    limit = exchangers.LARGEST_OUTLET_FACTOR * ua
    full = limit if rate >= limit * left else rate / left
    assert exchangers.outlet_conductance(ua, c_hot, c_cold) == full


@given(st.floats(1.0, 2000.0), st.floats(1e-3, 5000.0), rates, st.floats(1.0, 50.0))
def test_the_bound_of_standing_coolant_holds_where_it_is_left_out(
    ua: float, c_hot: float, c_cold: float, over: float
) -> None:
    counts = 1.0 + (over - 1.0) * c_hot / (c_hot + exchangers.STAGNANT_SHARE * c_cold)
    full = min(exchangers.outlet_conductance(ua, c_hot, c_cold), counts * exchangers.stagnant_conductance(ua, c_cold))
    assert exchangers.bounded_outlet_conductance(ua, c_hot, c_cold, over) == pytest.approx(full, rel=1e-12)


@given(st.floats(0.01, 1e4), st.floats(0.01, 1e4))
def test_films_in_series(ua_a: float, ua_b: float) -> None:
    both = exchangers.overall_conductance(ua_a, ua_b)
    assert 1.0 / both == pytest.approx(1.0 / ua_a + 1.0 / ua_b)
    assert exchangers.overall_conductance(ua_a, 0.0) == exchangers.overall_conductance(0.0, ua_b) == 0.0


@given(st.floats(0.01, 300.0), st.floats(0.01, 300.0))
def test_log_mean_lies_between_geometric_and_arithmetic_mean(a: float, b: float) -> None:
    mean = exchangers.log_mean_difference(a, b)
    assert math.sqrt(a * b) * (1.0 - 1e-9) <= mean <= 0.5 * (a + b) * (1.0 + 1e-9)
    assert mean == pytest.approx(exchangers.log_mean_difference(b, a))


@pytest.mark.parametrize("pair", [(0.0, 10.0), (10.0, 0.0), (-5.0, 10.0)])
def test_log_mean_of_crossing_temperatures_is_nothing(pair: tuple[float, float]) -> None:
    assert exchangers.log_mean_difference(*pair) == 0.0
