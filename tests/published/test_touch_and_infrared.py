"""A hand and an infrared thermometer against a second route to the same law."""

import pytest
from scipy.constants import Stefan_Boltzmann
from scipy.optimize import brentq

from sim.observation import responses, touch

SOLVED = 1e-6
"""Tolerance against SciPy's root [K]."""
PAIN = (43.0, 45.0)
"""Skin temperature at which heat begins to hurt [degC] (M)."""


@pytest.mark.parametrize("emissivity", [0.05, 0.30, 0.64, 0.94])
@pytest.mark.parametrize("background", [-20.0, 20.0, 60.0])
def test_reading_balances_radiation(emissivity: float, background: float) -> None:
    """The shown temperature is the root of the radiation balance, found by SciPy (C)."""

    def sent(share: float, temperature: float) -> float:
        bodies = share * (temperature + 273.15) ** 4 + (1.0 - share) * (background + 273.15) ** 4
        return Stefan_Boltzmann * bodies

    expected = brentq(lambda shown: sent(0.95, shown) - sent(emissivity, 90.0), -200.0, 300.0, xtol=1e-9)
    assert responses.apparent_temperature(90.0, emissivity, 0.95, background) == pytest.approx(expected, abs=SOLVED)


@pytest.mark.parametrize(
    ("surface", "low", "high"),
    [("rubber", 0.90, 0.96), ("plastic", 0.90, 0.96), ("paint", 0.92, 0.96), ("aluminium", 0.02, 0.09)],
)
def test_emissivities_are_those_of_instrument_makers(surface: str, low: float, high: float) -> None:
    """Instrument makers' tables (F)."""
    assert low <= responses.EMISSIVITY[surface] <= high


def test_a_hand_gives_up_where_pain_begins() -> None:
    words = [touch.HAND_WORDS[touch.hand_level(contact)] for contact in PAIN]
    assert words == ["hot", "too hot to hold"]


def test_rubber_of_60_degrees_is_held_and_metal_is_not() -> None:
    """Pain from 43 to 45 degC at the skin (M), skin 33 degC."""
    rubber, metal = (touch.contact_temperature(60.0, 33.0, touch.EFFUSIVITY[name]) for name in ("rubber", "aluminium"))
    assert rubber < PAIN[1] < metal


def test_burn_threshold_of_plastic_is_above_that_of_metal_until_ten_minutes() -> None:
    """ISO 13732-1 (M): from 10 min on, the threshold is the same for all materials, 48 degC, and 43 at 8 h."""
    for seconds in (1.0, 10.0, 60.0, 300.0):
        assert touch.burn_threshold(seconds, False) > touch.burn_threshold(seconds, True)
    assert touch.burn_threshold(600.0, False) == touch.burn_threshold(600.0, True) == pytest.approx(48.0)
    assert touch.burn_threshold(28800.0, False) == pytest.approx(43.0)
