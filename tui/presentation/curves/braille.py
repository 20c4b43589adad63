"""A curve in braille dots: each character is two dots wide and four high."""

from __future__ import annotations

import numpy as np

_DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Bits of a braille character, row by row from the top, left and right."""


def braille(values: np.ndarray, low: float, high: float, height: int) -> list[str]:
    """Lines of braille, highest first, each half as many characters wide as there are values.

    values: one for each column of dots, an even number of them (2 * width,), all within low..high; low, high: at the
    lowest and the highest dot; height [characters]. Each column is joined to the one before.

    >>> braille(np.array([0.0, 1.0, 2.0, 3.0]), 0.0, 3.0, 1)
    ['⣠⠞']
    """
    rows = 4 * height
    from_top = rows - 1 - np.rint((values - low) / ((high - low) or 1.0) * (rows - 1)).astype(int)
    cells = np.zeros((height, len(values) // 2), dtype=int)
    before = int(from_top[0])
    for column, row in enumerate(from_top.tolist()):
        for dot in range(min(before, row), max(before, row) + 1):
            cells[dot // 4, column // 2] |= _DOTS[dot % 4][column % 2]
        before = row
    return ["".join(chr(0x2800 + bits) for bits in line) for line in cells.tolist()]
