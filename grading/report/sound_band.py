"""What a sound vehicle of the kind shows at the moment of a reading: some without a fault go through the record."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from grading.sessions.record import Entry
from scenarios.actions import PHYSICAL, Action, NotPossible
from scenarios.arrival import open_workshop
from scenarios.language import _, say, shown
from scenarios.model import Catalogue, Job
from scenarios.workshop import Look
from sim.observation.categories import Categories
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Display
from sim.vehicle.tolerances import draw

VEHICLES = 64
"""Sound vehicles with drawn tolerances that go through a record."""
TOLERANCE_FACTOR = 10.0
"""Error of their temperatures, in times the usual one: an air probe spreads by more than a kelvin."""
OUTSIDE = 0.05
"""Share of sound vehicles that may read below a band, and as many above it; of words without an order, how rare a word
must be to be left out."""
FIGURES, WORDS, KINDS = "figures", "words", "kinds"
"""What an instrument shows. Records name them: they keep their names."""
_DEVIATES = [NormalDist().inv_cdf((k + 0.5) / 9.0) for k in range(9)]
"""What an instrument adds to a reading [its spread], nine equally likely cases."""


@dataclass(frozen=True)
class Band:
    """The readings of nine in ten sound vehicles.

    label; instrument: a key of INSTRUMENTS; steps: those of the display that belong to it, rising: the lowest and the
    highest, or each one where the instrument knows KINDS.
    """

    label: str
    instrument: str
    steps: tuple[int, ...]

    @property
    def scale(self) -> str:
        """FIGURES, WORDS in an order, or KINDS without one."""
        instrument = INSTRUMENTS[self.instrument]
        return KINDS if isinstance(instrument, Categories) else FIGURES if isinstance(instrument, Display) else WORDS

    def holds(self, step: int) -> bool:
        """Whether a sound vehicle shows this step."""
        return step in self.steps if self.scale == KINDS else self.steps[0] <= step <= self.steps[-1]

    @property
    def words(self) -> str:
        """The band in words, in the language chosen."""
        told = list(dict.fromkeys(shown(INSTRUMENTS[self.instrument].show(step)) for step in self.steps))
        if self.scale == KINDS or len(told) == 1:
            return _(" or ").join(told)
        return say("{low} to {high}", low=told[0], high=told[-1])

    @property
    def told(self) -> str:
        """What to say of it beside a reading."""
        return say("sound: {band} here and now", band=self.words)


def band(look: Look) -> Band:
    """The band of what is read of sound vehicles, those that could be calculated."""
    instrument = INSTRUMENTS[look.spec.instrument]
    true = np.asarray(look.true, dtype=np.float64)
    true = true[np.isfinite(true)]
    steps = np.concatenate([instrument.read_all(true, np.full(len(true), deviate)) for deviate in _DEVIATES])
    if isinstance(instrument, Categories):
        found, counts = np.unique(steps, return_counts=True)
        kept = found[counts >= max(OUTSIDE * len(steps), 1.0)]
        return Band(look.spec.label, look.spec.instrument, tuple(int(step) for step in kept))
    low, high = np.quantile(steps, (OUTSIDE, 1.0 - OUTSIDE), method="inverted_cdf")
    return Band(look.spec.label, look.spec.instrument, (int(low), int(high)))


class SoundVehicles:
    """Sound vehicles of a job's kind, to the same weather and the same hands as the job's own.

    bands: number of an action in the record to the bands of its readings, in their order. Work is left out: there is
    nothing to mend.
    """

    def __init__(self, catalogue: Catalogue, job: Job, seed: int) -> None:
        """Bring them into the workshop as the job begins."""
        good = draw(catalogue.vehicles[job.vehicle].parameters, f"sound:{job.id}:{seed}", VEHICLES)
        repairs = {r.id: replace(r, renews=(), does=(), opens_cap=False) for r in catalogue.repairs.values()}
        self.workshop = open_workshop(replace(catalogue, repairs=repairs), job, good, good)
        self.workshop.fleet.tolerance_factor = TOLERANCE_FACTOR
        self.bands: dict[int, list[Band]] = {}
        self._followed = -1

    def follow(self, entries: Iterable[Entry]) -> dict[int, list[Band]]:
        """Do what a record holds beyond what was done before; the bands up to its end."""
        for entry in entries:
            number = int(entry.data["n"])
            if number > self._followed and entry.kind == "action" and entry.action.verb in PHYSICAL:
                self.bands[number] = self._perform(entry.action)
            self._followed = max(self._followed, number)
        return self.bands

    def _perform(self, action: Action) -> list[Band]:
        try:
            return [band(look) for look in self.workshop.perform(action).readings]
        except (NotPossible, LookupError):  # of another catalogue: it is passed over
            return []

    def foresee(self, actions: Sequence[Action]) -> list[Band]:
        """The bands of the last of some actions, were they done now."""
        before = self.workshop
        self.workshop = before.copy()
        try:
            return [self._perform(action) for action in actions][-1]
        finally:
            self.workshop = before


def sound_bands(catalogue: Catalogue, entries: Sequence[Entry]) -> dict[int, list[Band]]:
    """The bands of every reading of a record, by the number of its action."""
    first = entries[0].data
    return SoundVehicles(catalogue, catalogue.jobs[str(first["job"])], int(first["seed"])).follow(entries)


def band_of(bands: Sequence[Band], label: str, before: int = 0) -> Band | None:
    """The band of a reading by its label; before: how many of the same label were read before it in the same check."""
    same = [one for one in bands if one.label == label]
    return same[before] if before < len(same) else None
