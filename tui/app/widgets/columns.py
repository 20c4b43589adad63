"""Marks side by side as columns, oldest to the left."""

from __future__ import annotations

_EIGHTHS = " ▁▂▃▄▅▆▇█"


def column_lines(values: tuple[float, ...], most: float, width: int, height: int) -> list[str]:
    """Lines of columns, highest first; the newest where there is no room for all.

    values: each 0..most; width, height [cells]. Every column is one cell wide, with a gap where there is room for gaps.

    >>> column_lines((100.0, 50.0, 25.0), 100.0, 9, 2)
    ['█    ', '█ █ ▄']
    """
    gap = " " if 2 * len(values) - 1 <= width else ""
    eighths = [round(value / most * 8 * height) for value in values[-width:]]
    rows = range(height - 1, -1, -1)
    return [gap.join(_EIGHTHS[min(max(level - 8 * row, 0), 8)] for level in eighths) for row in rows]


def column_signs(signs: tuple[str, ...], width: int) -> str:
    """A line of signs below those columns."""
    gap = " " if 2 * len(signs) - 1 <= width else ""
    return gap.join(signs[-width:])
