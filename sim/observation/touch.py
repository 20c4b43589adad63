"""What a hand feels of a warm object, and when the object burns it."""

import math

from sim.compile import jit

SKIN_EFFUSIVITY = 1100.0
"""Thermal effusivity sqrt(k rho c) of skin [W s^0.5/(m2 K)], +-15 %. Source: recalled."""

EFFUSIVITY: dict[str, float] = {
    "rubber": 740.0,
    "plastic": 650.0,
    "cast iron": 12900.0,
    "steel": 13500.0,
    "aluminium": 17800.0,
    "brass": 19000.0,
    "copper": 36000.0,
}
"""Thermal effusivity [W s^0.5/(m2 K)] of touched materials, +-15 %; aluminium is a casting alloy. Source:
conductivities, densities and heat capacities recalled."""

HAND_WORDS = ("cold", "cool", "lukewarm", "warm", "hot", "too hot to hold")
"""Words for what a hand feels, in ascending order."""

HAND_THRESHOLDS = (22.5, 29.0, 36.0, 41.0, 45.0)
"""Contact temperature [degC] between one word and the next, +-2 K between people. Source: pain between 43 and 45 degC
recalled, the others common practice around a skin temperature of 33 degC."""


@jit
def contact_temperature(object_temperature: float, skin_temperature: float, effusivity: float) -> float:
    """Contact temperature [degC] of skin on an object, from the moment of touch.

    T = (e T_object + e_skin T_skin) / (e + e_skin), of two bodies at `object_temperature` [degC] and `skin_temperature`
    [degC], -40 to 150, the object of `effusivity` [W s^0.5/(m2 K)], 0 and above. Valid for some seconds on an object
    thicker than a few millimetres. Accuracy: 3 K at 80 degC, as effusivities vary. Source: contact of two semi-infinite
    bodies, textbook.

    >>> round(contact_temperature(80.0, 33.0, 740.0))
    52
    """
    return (effusivity * object_temperature + SKIN_EFFUSIVITY * skin_temperature) / (effusivity + SKIN_EFFUSIVITY)


@jit
def hand_level(contact: float) -> int:
    """Index [-] into HAND_WORDS, 0 to 5, for a `contact` temperature [degC].

    A word applies from its lower threshold. Accuracy: 2 K between people. Source: HAND_THRESHOLDS.

    >>> HAND_WORDS[hand_level(contact_temperature(60.0, 33.0, 740.0))]
    'hot'
    """
    level = 0
    for threshold in HAND_THRESHOLDS:
        if contact >= threshold:
            level += 1
    return level


@jit
def _between(place: float, start: float, end: float, at_start: float, at_end: float) -> float:
    return at_start + (at_end - at_start) * (place - start) / (end - start)


@jit
def burn_threshold(contact_time: float, is_metal: bool) -> float:
    """Surface temperature [degC] at which skin in contact for `contact_time` [s], 1 to 28800, begins to burn.

    Bare metal (`is_metal` [true or false]): 65 at 1 s, 51 at 1 min, 48 at 10 min, 43 at 8 h; plastic or rubber: 85, 60,
    48, 43. Linear in the logarithm of time, clamped at the ends; where the standard gives a range, its lower end. Burns
    only, not pain. Accuracy: 5 K. Source: ISO 13732-1, recalled; rubber taken as plastic.

    >>> burn_threshold(60.0, True)
    51.0
    """
    decades = math.log10(min(max(contact_time, 1.0), 28800.0))
    minute, ten_minutes, eight_hours = math.log10(60.0), math.log10(600.0), math.log10(28800.0)
    if decades >= ten_minutes:
        return _between(decades, ten_minutes, eight_hours, 48.0, 43.0)
    at_second, at_minute = (65.0, 51.0) if is_metal else (85.0, 60.0)
    if decades >= minute:
        return _between(decades, minute, ten_minutes, at_minute, 48.0)
    return _between(decades, 0.0, minute, at_second, at_minute)
