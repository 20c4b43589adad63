"""Properties of the laws of touch and of infrared thermometers as mathematics."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.observation import responses, touch

temperatures = st.floats(-40.0, 150.0)


@given(temperatures, st.floats(15.0, 37.0), st.floats(0.0, 1e5))
def test_contact_lies_between_skin_and_object(surface: float, skin: float, effusivity: float) -> None:
    contact = touch.contact_temperature(surface, skin, effusivity)
    assert min(surface, skin) - 1e-9 <= contact <= max(surface, skin) + 1e-9


def test_what_holds_no_heat_is_not_felt() -> None:
    assert touch.contact_temperature(80.0, 33.0, 0.0) == 33.0


@given(st.floats(-50.0, 150.0))
def test_words_rise_with_temperature(contact: float) -> None:
    level = touch.hand_level(contact)
    assert 0 <= level <= touch.hand_level(contact + 0.5) <= len(touch.HAND_WORDS) - 1


def test_each_word_is_said_from_its_threshold_on() -> None:
    said = [touch.HAND_WORDS[touch.hand_level(threshold)] for threshold in touch.HAND_THRESHOLDS]
    assert tuple(said) == touch.HAND_WORDS[1:]
    assert touch.HAND_WORDS[touch.hand_level(touch.HAND_THRESHOLDS[0] - 0.01)] == touch.HAND_WORDS[0]


@given(st.floats(0.1, 1e5), st.booleans())
def test_longer_contact_burns_at_no_higher_temperature(seconds: float, is_metal: bool) -> None:
    threshold = touch.burn_threshold(seconds, is_metal)
    assert 43.0 - 1e-9 <= touch.burn_threshold(1.1 * seconds, is_metal) <= threshold + 1e-9 <= 85.1


@given(temperatures, st.floats(0.1, 1.0), st.floats(-40.0, 60.0))
def test_right_setting_reads_true(surface: float, emissivity: float, background: float) -> None:
    assert responses.apparent_temperature(surface, emissivity, emissivity, background) == pytest.approx(
        surface, abs=1e-6
    )


@given(temperatures, st.floats(0.0, 0.95), st.floats(-40.0, 60.0))
def test_bare_metal_is_read_towards_its_surroundings(surface: float, emissivity: float, background: float) -> None:
    shown = responses.apparent_temperature(surface, emissivity, responses.USUAL_SETTING, background)
    low, high = min(surface, background), max(surface, background)
    assert low - 1e-6 <= shown <= high + 1e-6


def test_no_setting_fails() -> None:
    assert responses.apparent_temperature(-40.0, 0.0, 0.0, 300.0) >= -273.15
