"""Sound bands: what sound vehicles of the same kind show at each reading, from replaying the record on them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from grading.observer.usual_readings import DEVIATES, OUTSIDE
from grading.sessions.record import RecordEntry
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
"""Number of sound vehicles, with drawn tolerances, on which a record is replayed."""
TOLERANCE_FACTOR = 10.0
"""Relaxation of the solver's tolerance: an air probe spreads by more than a kelvin anyway."""
FIGURES, WORDS, KINDS = "figures", "words", "kinds"
"""What an instrument shows. Recorded, so they keep their names."""


@dataclass(frozen=True)
class Band:
    """The readings of nine in ten sound vehicles.

    label; instrument: a key of INSTRUMENTS; steps: display steps, rising: lowest and highest, or every one of an
    instrument that shows KINDS.
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
        """The band as text to show beside a reading."""
        return say("sound: {band} here and now", band=self.words)


def band(look: Look) -> Band:
    """The band of a reading of sound vehicles, without those whose physics failed."""
    instrument = INSTRUMENTS[look.spec.instrument]
    true = np.asarray(look.true, dtype=np.float64)
    true = true[np.isfinite(true)]
    steps = np.concatenate([instrument.read_all(true, np.full(len(true), deviate)) for deviate in DEVIATES])
    if isinstance(instrument, Categories):
        found, counts = np.unique(steps, return_counts=True)
        kept = found[counts >= max(OUTSIDE * len(steps), 1.0)]
        return Band(look.spec.label, look.spec.instrument, tuple(int(step) for step in kept))
    low, high = np.quantile(steps, (OUTSIDE, 1.0 - OUTSIDE), method="inverted_cdf")
    return Band(look.spec.label, look.spec.instrument, (int(low), int(high)))


class SoundVehicles:
    """Sound vehicles of a job's kind that go through the same weather and actions as the job's own.

    bands: number of an action in the record to the bands of its readings, in their order. Repairs are left out, as
    these vehicles have no fault.
    """

    def __init__(self, catalogue: Catalogue, job: Job, seed: int) -> None:
        """Set up the vehicles as the job begins."""
        good = draw(catalogue.vehicles[job.vehicle].parameters, f"sound:{job.id}:{seed}", VEHICLES)
        repairs = {r.id: replace(r, renews=(), does=(), opens_cap=False) for r in catalogue.repairs.values()}
        self.workshop = open_workshop(replace(catalogue, repairs=repairs), job, good, good)
        self.workshop.fleet.tolerance_factor = TOLERANCE_FACTOR
        self.bands: dict[int, list[Band]] = {}
        self._followed = -1

    def follow(self, entries: Iterable[RecordEntry]) -> dict[int, list[Band]]:
        """Replay the new entries of a record; returns the bands of all readings so far."""
        for entry in entries:
            number = int(entry.data["n"])
            if number > self._followed and entry.kind == "action" and entry.action.verb in PHYSICAL:
                self.bands[number] = self._perform(entry.action)
            self._followed = max(self._followed, number)
        return self.bands

    def _perform(self, action: Action) -> list[Band]:
        try:
            return [band(look) for look in self.workshop.perform(action).readings]
        except (NotPossible, LookupError):  # from another catalogue: skip the action
            return []

    def foresee(self, actions: Sequence[Action]) -> list[Band]:
        """The bands of the last of these actions if they were done now."""
        before = self.workshop
        self.workshop = before.copy()
        try:
            return [self._perform(action) for action in actions][-1]
        finally:
            self.workshop = before


def sound_bands(catalogue: Catalogue, entries: Sequence[RecordEntry]) -> dict[int, list[Band]]:
    """The bands of all readings of a record, by the number of the action."""
    first = entries[0].data
    return SoundVehicles(catalogue, catalogue.jobs[str(first["job"])], int(first["seed"])).follow(entries)


def band_of(bands: Sequence[Band], label: str, before: int = 0) -> Band | None:
    """The band of a reading by its label; before: number of earlier readings with the same label in the same check."""
    same = [one for one in bands if one.label == label]
    return same[before] if before < len(same) else None
