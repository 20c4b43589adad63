"""A quantity over time in braille dots, with its least and greatest in figures beside it."""

from __future__ import annotations

import numpy as np

_DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Bits of a braille cell, row by row from the top, left and right."""


def trace_lines(times: np.ndarray, values: np.ndarray, end: float, width: int, height: int = 2) -> list[str]:
    """Lines of braille, highest first.

    times, values: the curve (m,); end: time at the right edge, 0 being the left; width, height [cells].
    """
    across, up = 2 * width, 4 * height
    at = (np.arange(across) + 0.5) / across * max(end, 1e-9)
    sampled = np.interp(at, times, values)
    low, high = float(values.min()), float(values.max())
    share = (sampled - low) / (high - low) if high > low else np.zeros(across)
    rows = up - 1 - np.rint(share * (up - 1)).astype(int)
    cells = np.zeros((height, width), dtype=int)
    before = int(rows[0])
    for column, row in enumerate(rows.tolist()):
        for dot in range(min(before, row), max(before, row) + 1):
            cells[dot // 4, column // 2] |= _DOTS[dot % 4][column % 2]
        before = row
    return ["".join(chr(0x2800 + bits) for bits in line) for line in cells.tolist()]
