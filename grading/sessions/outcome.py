"""Outcome of an action, as shown to the person."""

from __future__ import annotations

from dataclasses import dataclass, field

from grading.sessions.perception import Noticed
from scenarios.actions import Action
from scenarios.physics_failure import PhysicsFailed
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Display


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as shown to the person.

    number: in the notebook; minute; check: its id, or the verb of the action; label: what was read; instrument; step:
    display step; shown: text of the display. Label, instrument and text are English, as in records.
    """

    number: int
    minute: float
    check: str
    label: str
    instrument: str
    step: int
    shown: str

    @property
    def figure(self) -> tuple[float | None, str]:
        """The figure on the display and its unit; None and no unit where the reading is in words."""
        display = INSTRUMENTS.get(self.instrument)
        return (display.value(self.step), display.unit) if isinstance(display, Display) else (None, "")


@dataclass(frozen=True, slots=True)
class SafetyEvent:
    """A safety error. minute; what: in English; critical: whether it fails the job."""

    minute: float
    what: str
    critical: bool


@dataclass
class Outcome:
    """Outcome of an action.

    refused: why nothing was done, else None; failure: set if it was refused because the vehicle's equations could not
    be solved; said: lines for the person; noticed: new perceptions, the absence of a sign included.
    """

    action: Action
    minutes: float = 0.0
    refused: str | None = None
    failure: PhysicsFailed | None = None
    readings: list[Reading] = field(default_factory=list)
    noticed: list[Noticed] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    safety: list[SafetyEvent] = field(default_factory=list)
