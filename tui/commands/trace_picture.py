"""A trace as a picture; needs the optional plotting extra."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from scenarios.language import N_, _

if TYPE_CHECKING:
    from sim.trace import Trace

PANELS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        N_("temperature [°C]"),
        (
            "engine_coolant_C",
            "logged_coolant_C",
            "block_C",
            "radiator_out_C",
            "heater_feed_C",
            "heater_return_C",
            "vent_C",
            "cabin_C",
            "ambient_C",
        ),
    ),
    (N_("flow [L/min]"), ("pump_flow_Lpm", "radiator_flow_Lpm", "heater_flow_Lpm")),
    (N_("heat [W]"), ("heat_to_coolant_W", "heater_W", "radiator_W", "loss_W")),
    (N_("speed [km/h]"), ("speed_kmh",)),
)
"""Label of each panel and its columns; each curve has its own line style, so that none is told by colour alone."""
STYLES = ("-", "--", "-.", ":")
MARKERS = ("", "o", "s")


def picture(course: Trace, title: str) -> bytes:
    """The picture as the bytes of a PNG file."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(10.0, 12.0), layout="constrained")
    axes = figure.subplots(len(PANELS), 1, sharex=True, height_ratios=[3.0, 1.5, 1.5, 1.0])
    every = max(len(course.rows) // 12, 1)
    for ax, (label, columns) in zip(axes, PANELS, strict=True):
        for k, name in enumerate(name for name in columns if name in course.columns):
            style, marker = STYLES[k % len(STYLES)], MARKERS[k // len(STYLES)]
            ax.plot(
                course["time_s"],
                course[name],
                style,
                marker=marker,
                markevery=every,
                markersize=4,
                label=name,
                linewidth=1.2,
            )
        ax.set_ylabel(_(label))
        ax.grid(alpha=0.3)
        ax.legend(loc="center left", bbox_to_anchor=(1.0, 0.5), fontsize="small")
    axes[0].set_title(title, fontsize="small")
    axes[-1].set_xlabel(_("time [s]"))
    data = io.BytesIO()
    FigureCanvasAgg(figure).print_png(data)
    return data.getvalue()
