"""A quantity over time in braille dots, between its least and its greatest."""

from __future__ import annotations

import numpy as np

from tui.presentation.curves.braille import braille


def trace_lines(times: np.ndarray, values: np.ndarray, end: float, width: int, height: int = 2) -> list[str]:
    """Lines of braille, highest first.

    times, values: the curve (m,); end: time at the right edge, 0 being the left; width, height [cells].
    """
    columns = 2 * width
    at = (np.arange(columns) + 0.5) / columns * max(end, 1e-9)
    return braille(np.interp(at, times, values), float(values.min()), float(values.max()), height)
