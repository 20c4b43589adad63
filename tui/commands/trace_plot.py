"""A trace as curves of braille dots, for a terminal: each with its name, its least and its greatest in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from scenarios.language import say
from sim.trace import COLUMNS
from tui.presentation.curves.braille import braille

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
"""Characters of one curve."""
COMMON_SCALE = ("engine_coolant_C", "logged_coolant_C")
"""Drawn on one scale, so that they can be compared by eye."""


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
        drawn = braille(np.interp(even, time, values), low, high, HEIGHT)
        marks = [f"{high:8.4g}", *[""] * (HEIGHT - 2), f"{low:8.4g}"]
        lines += [f"{mark:>8} {line}" for mark, line in zip(marks, drawn, strict=True)]
    start, end = f"{time[0]:.0f}", f"{time[-1]:.0f} s"
    lines.append(f"{'':8} {start}{end:>{WIDTH - len(start)}}")
    return "\n".join(lines) + "\n"
