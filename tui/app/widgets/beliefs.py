"""Bar chart of the belief in each fault before and after a reading."""

from __future__ import annotations

import numpy as np
from textual.content import Content

from scenarios.language import _
from scenarios.model import Fault
from tui.app.widgets.wrapping import wrapped
from tui.presentation.clean import clean

SHOWN = 6
LEAST = 0.005


def belief_bars(faults: list[Fault], before: np.ndarray, after: np.ndarray, room: int) -> list[Content]:
    """A bar for each relevant fault, beside its name, or below it if the name is long.

    before, after: probability of each fault (faults,); room: width of a line [cells].
    """
    room = max(min(room, 70), 30)
    width = min(max(room - 36, 6), 20)
    name_width = min(room - width - 15, 34)
    order = sorted(range(len(faults)), key=lambda k: (-float(after[k]), -float(before[k])))
    bars = []
    for k in order[:SHOWN]:
        old, new = float(before[k]), float(after[k])
        if max(old, new) < LEAST:
            continue
        full = round(new * width)
        sign = "↑" if new > old + 0.01 else "↓" if new < old - 0.01 else " "
        name = Content(clean(_(faults[k].name)))
        if name.cell_length > name_width:
            bars += wrapped(name, room, room)
            name = Content()
        bars.append(
            Content.assemble(
                name.truncate(name_width, pad=True),
                " ",
                ("█" * full, "$primary"),
                ("░" * (width - full), "$secondary"),
                f" {new:4.0%} {sign}",
                (f" ({old:.0%})", "$secondary"),
            )
        )
    return bars
