"""Curves of temperature over time on one scale, in braille dots, with an axis and a cursor."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from textual.content import Content

from tui.presentation.curves.braille import braille

AXIS = 6
"""Cells of the axis to the left of the curves."""
STYLES = ("$error", "$warning", "$accent", "$success")
"""Of the curves; each is numbered too, so that nothing hangs on colour."""
BLANK = chr(0x2800)


def chart(
    times: np.ndarray, values: np.ndarray, bounds: tuple[float, float], end: float, size: tuple[int, int], cursor: int
) -> list[Content]:
    """Lines, highest first, the axis included.

    times (m,), values (curves, m): in one unit; bounds: of the axis, in the same; end: time at the right edge, 0 being
    the left; size: width and height of the curves [cells]; cursor: column that is lit. A curve ends where its times do.
    """
    width, height = size
    columns = 2 * width
    at = (np.arange(columns) + 0.5) / columns * max(end, 1e-9)
    last = int(np.searchsorted(at, times[-1], side="right")) if len(times) else 0
    cells = [[(BLANK, "")] * width for _row in range(height)]
    for number, curve in reversed(list(enumerate(values))):
        drawn = braille(np.interp(at, times, curve), *bounds, height)
        for row, line in enumerate(drawn):
            for column, sign in enumerate(line[: (last + 1) // 2]):
                if sign != BLANK:
                    before = ord(cells[row][column][0])
                    cells[row][column] = (chr(before | ord(sign)), STYLES[number % len(STYLES)])
    _number(cells, values, bounds, (last + 1) // 2)
    out = []
    for row, line in enumerate(cells):
        label = (
            f"{bounds[1] - (bounds[1] - bounds[0]) * row / max(height - 1, 1):.0f}" if _labelled(row, height) else ""
        )
        parts = [(sign, f"{style} reverse" if k == cursor else style) for k, (sign, style) in enumerate(line)]
        out.append(
            Content.assemble((f"{label:>{AXIS - 2}} ┤" if label else " " * (AXIS - 1) + "│", "$secondary"), *parts)
        )
    return out


def _labelled(row: int, height: int) -> bool:
    return row in (0, height - 1) or row == (height - 1) // 2


def _number(cells: list[list[tuple[str, str]]], values: np.ndarray, bounds: tuple[float, float], end: int) -> None:
    """Write the number of each curve where it ends."""
    height = len(cells)
    for number, curve in enumerate(values):
        if not len(curve) or not end:
            continue
        share = (float(curve[-1]) - bounds[0]) / ((bounds[1] - bounds[0]) or 1.0)
        row = min(max(height - 1 - int(share * height), 0), height - 1)
        column = max(end - 1 - number, 0)  # beside each other where curves end at the same height
        cells[row][column] = (str(number + 1), f"bold {STYLES[number % len(STYLES)]}")


def marks(signs: Sequence[tuple[float, str]], end: float, width: int, cursor: int) -> Content:
    """Signs on a line of time, one that is taken already a cell further on; signs: minute and sign, rising."""
    line = [" "] * width
    for minute, sign in signs:
        column = min(int(minute / max(end, 1e-9) * width), width - 1)
        free = [k for k in (*range(column, width), *range(column, -1, -1)) if line[k] == " "]
        line[free[0] if free else column] = sign
    return Content.assemble(*((sign, "bold reverse" if k == cursor else "bold") for k, sign in enumerate(line)))
