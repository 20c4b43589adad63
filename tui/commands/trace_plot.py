"""A trace as curves of braille dots, for a terminal: each with its name, its least and its greatest in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from scenarios.language import say
from sim.trace import COLUMNS

if TYPE_CHECKING:
    from sim.trace import Trace

SHOWN = (
    "engine_coolant_C",
    "logged_coolant_C",
    "heater_feed_C",
    "heater_return_C",
    "vent_C",
    "cabin_C",
    "heater_flow_Lpm",
    "thermostat_lift",
    "heater_W",
    "speed_kmh",
)
"""Columns that are drawn where the trace has them."""
WIDTH, HEIGHT = 68, 4
"""Characters of one curve; each is 2 dots wide and 4 high."""
COMMON_SCALE = ("engine_coolant_C", "logged_coolant_C")
"""Drawn on one scale, so that they can be compared by eye."""

_DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


def braille(values: np.ndarray, low: float, high: float, width: int, height: int) -> list[str]:
    """Lines of braille for evenly spaced values, low at the bottom and high at the top; neighbours are joined.

    >>> braille(np.array([0.0, 1.0, 2.0, 3.0]), 0.0, 3.0, 2, 1)
    ['⡠⠊']
    """
    columns, rows = 2 * width, 4 * height
    at = np.interp(np.linspace(0.0, len(values) - 1.0, columns), np.arange(len(values)), values)
    span = high - low or 1.0
    level = np.clip(np.rint((at - low) / span * (rows - 1)), 0, rows - 1).astype(int)
    cells = np.zeros((height, width), dtype=int)
    for x in range(columns):
        before = level[max(x - 1, 0)]
        # a step is drawn as an upright, from next to where the curve was
        nearest = before + int(np.sign(level[x] - before)) if level[x] != before else before
        for y in range(min(nearest, level[x]), max(nearest, level[x]) + 1):
            from_top = rows - 1 - y
            cells[from_top // 4, x // 2] |= _DOTS[from_top % 4][x % 2]
    return ["".join(chr(0x2800 + cell) for cell in line) for line in cells]


def plot(course: Trace) -> str:
    """The curves of a trace, one under the other, over the same time."""
    time = course["time_s"]
    even = np.linspace(time[0], time[-1], 2 * WIDTH)
    lines = []
    for name in SHOWN:
        if name not in course.columns:
            continue
        values = course[name]
        together = [course[other] for other in COMMON_SCALE if name in COMMON_SCALE and other in course.columns]
        scale = np.concatenate(together or [values])
        unit = COLUMNS.get(name, "degC")
        least, greatest, last = values.min(), values.max(), values[-1]
        lines.append(
            say(
                "{name} [{unit}]: least {least:.4g} at {least_s:.0f} s, greatest {greatest:.4g} at {greatest_s:.0f} s, "
                "last {last:.4g}",
                name=name,
                unit=unit,
                least=least,
                least_s=time[values.argmin()],
                greatest=greatest,
                greatest_s=time[values.argmax()],
                last=last,
            )
        )
        low, high = float(scale.min()), float(scale.max())
        drawn = braille(np.interp(even, time, values), low, high, WIDTH, HEIGHT)
        marks = [f"{high:8.4g}", *[""] * (HEIGHT - 2), f"{low:8.4g}"]
        lines += [f"{mark:>8} {line}" for mark, line in zip(marks, drawn, strict=True)]
    start, end = f"{time[0]:.0f}", f"{time[-1]:.0f} s"
    lines.append(f"{'':8} {start}{end:>{WIDTH - len(start)}}")
    return "\n".join(lines) + "\n"
