"""Responses of hand, eye, nose and infrared thermometer to the true quantity, and bounds on their scales."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from sim.compile import jit
from sim.observation import touch
from sim.observation.infrared import USUAL_SETTING, apparent_temperature


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
