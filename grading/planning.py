"""What must be done before a check tells what it is for: the same preparations for the reference and for hints."""

from __future__ import annotations

from scenarios.actions import Action
from scenarios.model import Check
from scenarios.workshop import Workshop

WARM_UP_MINUTES = 15.0
"""Drive at 50 km/h after which a healthy engine is at operating temperature."""
COLD_MINUTES = 2.0
"""Running time up to which an engine that stood overnight still counts as cold."""


class Readiness:
    """How long the engine has run in this job so far, from the actions done."""

    def __init__(self) -> None:
        self.minutes_run = 0.0
        self.overheated = False
        """The needle has been seen in the red: the engine must not run on."""

    def note(self, workshop: Workshop, minutes: float) -> None:
        """After an action: count its minutes if the engine ran."""
        if workshop.control("engine") > 0.5:
            self.minutes_run += minutes

    @property
    def cold(self) -> bool:
        """Whether the engine may still be called cold."""
        return self.minutes_run <= COLD_MINUTES

    @property
    def warm(self) -> bool:
        """Whether the engine has run long enough to be warm if it can be."""
        return self.minutes_run >= WARM_UP_MINUTES - 1.0


def preparation(workshop: Workshop, check: Check, readiness: Readiness) -> list[Action] | None:
    """Actions that bring about what the check needs and is best done at; None if that cannot be had safely any more."""
    wanted, needs = set(check.best_when), set(check.needs)
    if (check.opens_cap or "cold" in wanted) and not readiness.cold:
        return None
    out: list[Action] = []
    running = workshop.control("engine") > 0.5
    wants_engine = "engine-running" in needs or bool(wanted & {"warm", "fast-idle"}) or check.drive_kmh > 0.0
    if readiness.overheated and wants_engine and not (wanted & {"warm"} and "engine-running" not in needs):
        return None

    def move(control: str, value: float, scale: float) -> None:
        if abs(workshop.control(control) * scale - value) > 1e-9:
            out.append(Action("set", (control, value)))

    if "heater-hot" in wanted or "warm" in wanted:
        move("heater", 100.0, 100.0)
    warms = "warm" in wanted and not readiness.warm and not readiness.overheated
    if warms or "blower-low" in wanted or ("warm" in wanted and "blower-high" not in wanted):
        move("blower", 1.0, 1.0)
    if warms:
        if not running:
            out.append(Action("engine", ("start",)))
            running = True
        out.append(Action("drive", (WARM_UP_MINUTES, 50.0)))
    if "blower-high" in wanted and (warms or workshop.control("blower") < 3.5):
        out.append(Action("set", ("blower", 4.0)))
    if ("engine-running" in needs or "fast-idle" in wanted or check.drive_kmh > 0.0) and not running:
        out.append(Action("engine", ("start",)))
        running = True
    if "fast-idle" in wanted:
        out.append(Action("rev", (1800.0, 1.0)))
    if "engine-off" in needs and running:
        out.append(Action("ignition", ("off",)))
    elif "ignition-on" in needs and not running and workshop.control("ignition") < 0.5:
        out.append(Action("ignition", ("on",)))
    return out
