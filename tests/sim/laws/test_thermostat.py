"""The thermostat: its loop of hysteresis, its lag, its stops, and the slopes that the integrator is told."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sim.laws import thermostat

OPENS, SPAN, HYSTERESIS, LAG = 85.0, 12.0, 4.0, 1.5

lifts = st.floats(0.0, 1.0)
waxes = st.floats(70.0, 110.0)


def settle(lift: float, wax: float, least: float = 0.0, most: float = 1.0, seconds: float = 60.0) -> float:
    """Lift after the wax has stood at a temperature, by small steps."""
    for _ in range(int(seconds / 0.05)):
        lift += 0.05 * thermostat.lift_rate(lift, wax, OPENS, SPAN, HYSTERESIS, LAG, least, most)
    return lift


def test_hysteresis_loop() -> None:
    """Slowly up and down again: it opens along one line and closes along another that lies the hysteresis lower."""
    up, down, lift = {}, {}, 0.0
    for wax in range(75, 106):
        lift = up[wax] = settle(lift, float(wax))
    for wax in range(105, 74, -1):
        lift = down[wax] = settle(lift, float(wax))
    for wax in range(75, 106):
        assert up[wax] == pytest.approx(min(max((wax - OPENS) / SPAN, 0.0), 1.0), abs=1e-6)
        assert down[wax] == pytest.approx(min(max((wax - OPENS + HYSTERESIS) / SPAN, 0.0), 1.0), abs=1e-6)


@given(lifts, waxes)
def test_rest_between_the_lines(lift: float, wax: float) -> None:
    rate = thermostat.lift_rate(lift, wax, OPENS, SPAN, HYSTERESIS, LAG, 0.0, 1.0)
    opening, closing = thermostat.lift_at(wax, OPENS, SPAN), thermostat.lift_at(wax, OPENS - HYSTERESIS, SPAN)
    assert opening <= closing
    if opening <= lift <= closing:
        assert rate == 0.0
    else:
        assert (rate > 0.0) == (opening > lift) and rate != 0.0


def test_lag() -> None:
    """After a step of the wax the lift follows as 1 - exp(-t/lag)."""
    lift = settle(0.0, 97.0, seconds=LAG)
    assert lift == pytest.approx(1.0 - math.exp(-1.0), abs=0.02)


@given(lifts, waxes, st.floats(0.0, 0.5), st.floats(0.5, 1.0))
def test_a_stuck_one_stays_within_its_stops(lift: float, wax: float, least: float, most: float) -> None:
    settled = settle(min(max(lift, least), most), wax, least, most)
    assert least - 1e-9 <= settled <= most + 1e-9


@given(lifts, waxes, st.floats(0.0, 0.3), st.floats(0.7, 1.0))
def test_slopes_are_the_rates_derivatives(lift: float, wax: float, least: float, most: float) -> None:
    def rate(x: float, w: float) -> float:
        return thermostat.lift_rate(x, w, OPENS, SPAN, HYSTERESIS, LAG, least, most)

    for base in (OPENS, OPENS - HYSTERESIS):  # away from the kinks, where a derivative exists
        goal = (wax - base) / SPAN
        for kink in (lift, 0.0, 1.0, least, most):
            assume(abs(goal - kink) > 1e-4)
        for stop in (least, most):
            assume(abs(lift - stop) > 1e-4)
    by_wax, by_lift = thermostat.lift_slopes(lift, wax, OPENS, SPAN, HYSTERESIS, LAG, least, most)
    assert by_wax == pytest.approx((rate(lift, wax + 1e-5) - rate(lift, wax - 1e-5)) / 2e-5, abs=1e-5)
    assert by_lift == pytest.approx((rate(lift + 1e-6, wax) - rate(lift - 1e-6, wax)) / 2e-6, abs=1e-5)
