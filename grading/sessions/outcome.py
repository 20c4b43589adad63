"""What came of an action, as the person is told it."""

from __future__ import annotations

from dataclasses import dataclass, field

from grading.sessions.perception import Noticed
from scenarios.actions import Action
from scenarios.physics_failure import PhysicsFailed
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Display


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as the person saw it.

    number: in the notebook; minute; check: its id, or the verb of the action that gave it; label: what was read;
    instrument; step: of its display; shown: in words. Label, instrument and words are English, as records hold them.
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
    """Something that hurts or could have: minute, what, in English; critical: it ends the pass."""

    minute: float
    what: str
    critical: bool


@dataclass
class Outcome:
    """What came of an action. refused: why nothing was done, None otherwise; failure: set where that is because the
    vehicle could not be calculated; said: lines for the person; noticed: what is new to the senses, a sign that is
    missing included.
    """

    action: Action
    minutes: float = 0.0
    refused: str | None = None
    failure: PhysicsFailed | None = None
    readings: list[Reading] = field(default_factory=list)
    noticed: list[Noticed] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    safety: list[SafetyEvent] = field(default_factory=list)
