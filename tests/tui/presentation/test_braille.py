"""The one rasteriser of curves: the dots it sets lie where the values say, and hang together."""

from __future__ import annotations

import numpy as np
import pytest

from tui.presentation.curves.braille import braille

_ROW_BITS = (0x01 | 0x08, 0x02 | 0x10, 0x04 | 0x20, 0x40 | 0x80)
_LEFT = 0x01 | 0x02 | 0x04 | 0x40
"""Bits of a character by Unicode's own numbering of braille dots (U+2800): 1, 2, 3, 7 to the left; 4, 5, 6, 8 right."""


def dots(lines: list[str]) -> np.ndarray:
    """Whether each dot is set, from the bottom: (4 * lines, 2 * characters)."""
    found = np.zeros((4 * len(lines), 2 * len(lines[0])), dtype=bool)
    for row in range(len(found)):
        for column in range(found.shape[1]):
            bits = (ord(lines[row // 4][column // 2]) - 0x2800) & _ROW_BITS[row % 4]
            found[row, column] = bool(bits & _LEFT if column % 2 == 0 else bits & ~_LEFT)
    return found[::-1]


@pytest.mark.parametrize("height", [1, 2, 4])
def test_a_curve_is_drawn_where_its_values_are_and_hangs_together(height: int) -> None:
    values = 5.0 + 4.0 * np.sin(np.linspace(0.0, 9.0, 60))
    drawn = dots(braille(values, float(values.min()), float(values.max()), height))
    levels = np.rint((values - values.min()) / np.ptp(values) * (4 * height - 1)).astype(int)
    assert all(drawn[level, column] for column, level in enumerate(levels))
    assert drawn[0].any()
    assert drawn[-1].any()
    for column in range(1, len(values)):
        assert (drawn[:, column - 1] & drawn[:, column]).any()


def test_what_stays_the_same_is_a_line_at_the_bottom() -> None:
    assert dots(braille(np.full(6, 20.0), 20.0, 20.0, 2))[0].all()
    assert not dots(braille(np.full(6, 20.0), 20.0, 20.0, 2))[1:].any()
