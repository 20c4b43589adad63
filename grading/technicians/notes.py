"""What a person at the vehicle has read and noticed so far, as they understood it."""

from __future__ import annotations

from dataclasses import dataclass, field

from grading.sessions.outcome import Outcome, Reading
from grading.sessions.session import Session
from sim.observation.instruments import INSTRUMENTS
from sim.vehicle.tolerances import uniform

MISREAD_SHARE, MISREAD_LEAST = 0.15, 4.0
"""How far a misread figure is off: a share of it, or this many units of the display where that is more (ours)."""


@dataclass
class Notes:
    """complaints: kinds that the customer complains of; equipment: of the vehicle; misreads: chance of misreading;
    words, figures: by check and place of the reading; noticed: sense and word, each that was ever told;
    taken: how often each was read again.
    """

    session: Session
    misreads: float
    words: dict[tuple[str, int], str] = field(default_factory=dict)
    figures: dict[tuple[str, int], float] = field(default_factory=dict)
    noticed: set[tuple[str, str]] = field(default_factory=set)
    taken: dict[tuple[str, int], int] = field(default_factory=dict)

    @property
    def complaints(self) -> tuple[str, ...]:
        """Kinds of what the customer complains of."""
        return self.session.job.complains_of

    @property
    def equipment(self) -> frozenset[str]:
        """What the vehicle has, by its handbook."""
        return self.session.vehicle.equipment

    @property
    def comes_and_goes(self) -> bool:
        """Whether the customer says that it comes and goes."""
        return self.session.job.comes_and_goes

    def word(self, check: str, reading: int = 0) -> str | None:
        """What a check showed last, in words; None where it was not done."""
        return self.words.get((check, reading))

    def figure(self, check: str, reading: int = 0) -> float | None:
        """The same as a figure."""
        return self.figures.get((check, reading))

    def done(self, check: str) -> bool:
        """Whether a check was done to its end."""
        return (check, 0) in self.words

    def forget(self, check: str) -> None:
        """Strike out what a check showed: the vehicle is another since."""
        for kept in (self.words, self.figures):
            for key in [key for key in kept if key[0] == check]:
                del kept[key]

    def take(self, check: str, outcome: Outcome) -> None:
        """Write down what an action showed; check: its id, or its verb."""
        for place, reading in enumerate(outcome.readings):
            self._read(check, place, reading)
        for seen in outcome.noticed:
            self.noticed.add((seen.label, seen.shown))

    def _read(self, check: str, place: int, reading: Reading) -> None:
        """Read a display, or misread it by a step or a share."""
        job, seed = self.session.job, self.session.seed
        again = self.taken[check, place] = self.taken.get((check, place), -1) + 1
        wrong = uniform("misread", job.id, seed, check, place, again) < self.misreads
        up = uniform("misread which way", job.id, seed, check, place, again) < 0.5
        value, _ = reading.figure
        if value is not None:
            off = max(MISREAD_SHARE * abs(value), MISREAD_LEAST) if wrong else 0.0
            self.figures[check, place] = value + (off if up else -off)
            self.words[check, place] = reading.shown
            return
        words = self._words(reading)
        step = reading.step + (1 if up else -1)
        self.words[check, place] = words[step] if wrong and 0 <= step < len(words) else reading.shown

    def _words(self, reading: Reading) -> tuple[str, ...]:
        """All that the instrument of a reading could have shown, in order."""
        check = self.session.catalogue.checks.get(reading.check)
        specs = check.readings if check else ()
        name = next((spec.instrument for spec in specs if spec.label == reading.label), "")
        return getattr(INSTRUMENTS.get(name), "words", ())
