"""Responses of hand, eye, nose and infrared thermometer to the true quantity, and bounds on their scales."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from sim.compile import jit
from sim.observation import touch

EMISSIVITY: dict[str, float] = {
    "rubber": 0.94,
    "plastic": 0.94,
    "paint": 0.94,
    "cast iron": 0.64,
    "aluminium": 0.06,
}
"""Emissivity [-] in the thermal infrared, +-0.02, but cast iron +-0.1 and bare aluminium 0.02 to 0.09. Source:
instrument makers' tables, read in secondary copies; hard rubber, oxidised iron, polished aluminium."""

USUAL_SETTING = 0.95
"""Fixed emissivity setting [-] of a simple infrared thermometer, exact. Source: common practice."""


@jit
def _on_rubber_all(skin: np.ndarray, effusivity: float, out: np.ndarray) -> None:
    for i in range(len(skin)):
        out[i] = touch.contact_temperature(skin[i], 33.0, effusivity)


def on_rubber(skin: np.ndarray) -> np.ndarray:
    """What a hand at 33 degC feels [degC] on rubber of some skin temperatures (n,) [degC]."""
    out = np.empty(len(skin))
    _on_rubber_all(np.ascontiguousarray(skin, dtype=np.float64), touch.EFFUSIVITY["rubber"], out)
    return out


@jit
def apparent_temperature(true_temperature: float, emissivity: float, setting: float, background: float) -> float:
    """Temperature [degC] shown for a surface of `true_temperature` [degC] and `emissivity` [-], 0 to 1.

    setting Ta^4 + (1 - setting) Tb^4 = emissivity T^4 + (1 - emissivity) Tb^4, in kelvin: the instrument with `setting`
    [-], 0.1 to 1, assumes reflected radiation of `background` [degC]. Range: -40 to 400 degC. Accuracy: the law is for
    total radiation; an instrument for 8 to 14 um differs by some kelvin on bare metal. Source: radiation balance,
    textbook.

    >>> round(apparent_temperature(90.0, 0.30, 0.95, 20.0))
    47
    """
    surface = (true_temperature + 273.15) ** 4
    mirrored = (background + 273.15) ** 4
    received = emissivity * surface + (1.0 - emissivity) * mirrored
    return (max(received - (1.0 - setting) * mirrored, 0.0) / max(setting, 0.01)) ** 0.25 - 273.15


@jit
def _infrared_all(surface: np.ndarray, emissivity: float, out: np.ndarray) -> None:
    for i in range(len(surface)):
        out[i] = apparent_temperature(surface[i], emissivity, USUAL_SETTING, 20.0)


def square_root_response(true: np.ndarray) -> np.ndarray:
    """Response of a hand to moving air and damp, and of an eye to mist, water and a turning fan.

    Small amounts are told from none much better than large ones from larger (common practice, no source).
    """
    return np.sqrt(np.maximum(true, 0.0))


def square_roots(*bounds: float) -> tuple[float, ...]:
    """Bounds on that scale."""
    return tuple(math.sqrt(bound) for bound in bounds)


def log_response(true: np.ndarray) -> np.ndarray:
    """Response of the nose to smells and of the eye to steam, wetness and dirt: logarithmic above a threshold.

    Source: Fechner's law (textbook).
    """
    return np.log1p(np.maximum(true, 0.0))


def log_bounds(*bounds: float) -> tuple[float, ...]:
    """Bounds on that scale."""
    return tuple(math.log1p(bound) for bound in bounds)


def infrared(emissivity: float) -> Callable[[np.ndarray], np.ndarray]:
    """Response of an infrared thermometer at its usual setting to surfaces of an emissivity, temperatures in degC."""

    def response(true: np.ndarray) -> np.ndarray:
        out = np.empty(len(true))
        _infrared_all(np.ascontiguousarray(true, dtype=np.float64), emissivity, out)
        return out

    return response
