"""A compact car fitted to three real drives and held against three others: `python -m tests.published.compact`.

The log gives speed, engine speed and ambient temperature. Five parameters are fitted, everything else is the mid-size
car's but SPAN_K. Not known and so taken: heater off in summer; in winter full hot with the blower on 2; a level road;
heat of a diesel at most 2.6 kW at 1000 1/min without load (P). Fitted anew with the blower off, on 1 or on 3 in winter,
the times to 60 and 80 degC of the other three drives are predicted within 18, 9 and 8 %.
The car's circuit opens in stages and holds at 57-60 degC. The model has one loop that circulates from the start: it
comes to 40 degC a third too late in winter and shows no hold. No parameter of the fit could mend that.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np

from scenarios.files.drive_log import load_drive_log
from sim.drive import DriveLog
from tests.published.driving import logged, reached, standing

DRIVES = Path(__file__).parent / "drives"
FITTED_TO = ("winter-1", "winter-3", "summer-2")
PREDICTED = ("winter-2", "summer-1", "summer-3")

SPAN_K = 10.0
BOUNDS: dict[str, tuple[float, float]] = {
    "heat_at_1000": (1.0, 2.6),
    "heat_per_work": (0.1, 0.7),
    "metal_kJ_K": (5.0, 80.0),
    "block_kJ_K": (20.0, 150.0),
    "opens_C": (85.0, 92.0),
}
"""What is fitted, and within which bounds."""
FIT: dict[str, float] = {
    "heat_at_1000": 2.6,
    "heat_per_work": 0.58,
    "metal_kJ_K": 64.9,
    "block_kJ_K": 34.7,
    "opens_C": 90.2,
}
"""What the fit gave; a slow test repeats it."""

WARM_C = 82.0
SETTLED_S = 200.0  # after which the plateau is read
EVERY_S = 4.0


@cache
def log(name: str) -> DriveLog:
    """A drive."""
    return load_drive_log(DRIVES / f"compact-{name}.csv")


class Course(NamedTuple):
    """A drive's coolant temperature [degC] as logged and as the model gives it, at the same times [s]."""

    time_s: np.ndarray
    logged_C: np.ndarray
    model_C: np.ndarray


def course(name: str, values: dict[str, float]) -> Course:
    """A drive as logged and as the model drives it."""
    drive = log(name)
    winter = name.startswith("winter")
    fleet = standing(
        {"span_K": SPAN_K, **values}, drive.start_C, float(drive.ambient_C[0]), float(winter), 2.0 * winter
    )
    rows = logged(fleet, drive, EVERY_S)
    return Course(rows["time_s"], np.interp(rows["time_s"], drive.time_s, logged_C(drive)), rows["engine_coolant_C"])


def logged_C(drive: DriveLog) -> np.ndarray:
    """The coolant temperature [degC] of a log that has it."""
    assert drive.coolant_C is not None
    return drive.coolant_C


class Marks(NamedTuple):
    """Time [s] to 60 and 80 degC, and the mean [degC] of what follows."""

    to_60: float
    to_80: float
    plateau: float


def marks(time_s: np.ndarray, coolant_C: np.ndarray, settled: float) -> Marks:
    """The marks of one curve; settled [s] where the plateau begins."""
    to_60, to_80 = (reached(time_s, coolant_C, level) for level in (60.0, 80.0))
    return Marks(to_60, to_80, float(coolant_C[time_s > settled].mean()))


def both(name: str, values: dict[str, float]) -> tuple[Marks, Marks]:
    """Marks of a drive, as logged and as the model gives them, the plateau over the same time."""
    curve = course(name, values)
    settled = reached(curve.time_s, curve.logged_C, WARM_C) + SETTLED_S
    return marks(curve.time_s, curve.logged_C, settled), marks(curve.time_s, curve.model_C, settled)


def residuals(values: dict[str, float]) -> np.ndarray:
    """What the fit makes small: the curve while warming, the two times, the plateau, each of the three drives."""
    found: list[float] = []
    for name in FITTED_TO:
        curve = course(name, values)
        warming = curve.time_s <= reached(curve.time_s, curve.logged_C, WARM_C) + 30.0
        off = (curve.model_C - curve.logged_C)[warming]
        found += list(0.6 * off / np.sqrt(len(off)))
        real, model = both(name, values)
        end = 2.0 * curve.time_s[-1]  # what is never reached counts as this
        found += [3.0 * float(np.log(min(model[k], end) / real[k])) for k in (0, 1)]
        found.append((model.plateau - real.plateau) / 3.0)
    return np.array(found)


def _table() -> str:
    lines = []
    for title, names in (("fitted to", FITTED_TO), ("predicted", PREDICTED)):
        for name in names:
            real, model = both(name, FIT)
            shares = " ".join(
                f"{m:5.0f} for {r:5.0f} s ({m / r - 1:+.0%})" for r, m in zip(real[:2], model, strict=False)
            )
            lines.append(f"{title} {name}: to 60 and 80 degC {shares}, plateau {model[2]:.1f} for {real[2]:.1f} degC")
    return "\n".join(lines)


def _picture(file: Path) -> None:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(10.0, 6.0), layout="constrained")
    axes = figure.subplots(2, 3, sharex=True, sharey=True)
    for row, (title, names) in zip(axes, (("fitted to", FITTED_TO), ("predicted", PREDICTED)), strict=True):
        for ax, name in zip(row, names, strict=True):
            curve = course(name, FIT)
            ax.plot(curve.time_s, curve.logged_C, "-", linewidth=1.0, label="logged")
            ax.plot(curve.time_s, curve.model_C, "--", linewidth=1.2, label="model")
            ax.set_title(f"{title} {name}", fontsize="small")
            ax.grid(alpha=0.3)
    axes[0, 0].legend()
    figure.supxlabel("time [s]")
    figure.supylabel("coolant [°C]")
    FigureCanvasAgg(figure).print_png(str(file))


if __name__ == "__main__":
    print(_table())
    _picture(DRIVES / "compact.png")
