"""What truly went on in the vehicle of a record: its actions done again, everything seen."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.language import N_, say
from scenarios.model import ELECTRIC, Catalogue
from sim.vehicle import states as st
from sim.world import MINUTE
from tui.presentation.curves.film import needle_over


@dataclass(frozen=True)
class Truth:
    """The vehicle at one moment: minute; state (STATES,) as in ``sim.vehicle.states``; quantities, one record;
    electric: whether a battery alone drives it.
    """

    minute: float
    state: np.ndarray
    quantities: np.ndarray
    electric: bool = False

    def value(self, name: str) -> float:
        """A quantity by name."""
        return float(self.quantities[name])


@dataclass(frozen=True)
class Track:
    """One quantity over the job: name for people; unit; values at the course's times."""

    name: str
    unit: str
    values: np.ndarray


@dataclass(frozen=True)
class Course:
    """The whole job: times [min]; tracks; at: number of an action in the record to the moment after it; states
    (times, STATES) and quantities (times,): everything at those times; electric: whether a battery alone drives it.
    """

    times: np.ndarray
    tracks: tuple[Track, ...]
    at: dict[int, Truth]
    states: np.ndarray
    quantities: np.ndarray
    electric: bool = False

    @property
    def end(self) -> float:
        """Its last moment [min]."""
        return float(self.times[-1]) if len(self.times) else 0.0

    def index(self, minute: float) -> int:
        """The sample at a minute, or the last one before it."""
        return max(int(np.searchsorted(self.times, minute, side="right")) - 1, 0)

    def moment(self, minute: float) -> Truth:
        """All of the vehicle at a minute."""
        k = self.index(minute)
        return Truth(float(self.times[k]), self.states[k], self.quantities[k], self.electric)


class TrueVehicle:
    """The own vehicle of a record that goes through its actions as they are written. Raises PhysicsFailed."""

    def __init__(self, catalogue: Catalogue, first: RecordEntry) -> None:
        """first: first entry of the record."""
        job = catalogue.jobs[str(first.data["job"])]
        self.session = Session(catalogue, job, int(first.data["seed"]))
        self._electric = ELECTRIC in self.session.vehicle.equipment
        self._at: dict[int, Truth] = {}
        self._needles: list[np.ndarray] = []
        self._followed = -1

    def follow(self, entries: Iterable[RecordEntry]) -> Course:
        """Do what a record holds beyond what was done before; everything up to its end."""
        fleet, world = self.session.workshop.fleet, self.session.workshop.world
        for entry in entries:
            number = int(entry.data["n"])
            if entry.kind != "action" or number <= self._followed:
                continue
            self._followed, first = number, len(world.samples)
            outcome = self.session.do(entry.action)
            if outcome.failure is not None:
                raise outcome.failure
            self._needles.append(needle_over(fleet, world.all_samples(first)[2]))
            self._at[number] = Truth(
                self.session.minute, fleet.state[0].copy(), fleet.algebraic[0].copy(), self._electric
            )
        return self._course()

    def _course(self) -> Course:
        fleet, world = self.session.workshop.fleet, self.session.workshop.world
        at, electric = dict(self._at), self._electric
        if not world.samples:
            return Course(np.zeros(0), (), at, fleet.state[:0].copy(), fleet.algebraic[:0].copy(), electric)
        times, states, quantities = world.all_samples()
        of_the_drive = (
            (
                Track(N_("coolant heater"), "kW", quantities["coolant_heater_W"] / 1000.0),
                Track(N_("heat pump"), "kW", quantities["heat_pump_W"] / 1000.0),
                Track(N_("coolant"), "°C", states[:, st.JACKET]),
            )
            if electric
            else (
                Track(N_("gauge needle"), "", np.concatenate(self._needles)),
                Track(N_("coolant"), "°C", states[:, st.JACKET]),
                Track(N_("upper radiator hose, skin"), "°C", states[:, st.UPPER_SKIN]),
            )
        )
        tracks = (
            *of_the_drive,
            Track(N_("heater feed hose, skin"), "°C", states[:, st.FEED_SKIN]),
            Track(N_("heater return hose, skin"), "°C", states[:, st.RETURN_SKIN]),
            Track(N_("air at the vents"), "°C", quantities["vent_C"]),
        )
        return Course(times / MINUTE, tracks, at, states, quantities, electric)


def true_course(catalogue: Catalogue, entries: list[RecordEntry]) -> Course:
    """Do the actions of a record again on its own vehicle. Raises PhysicsFailed."""
    return TrueVehicle(catalogue, entries[0]).follow(entries)


def figure(value: float, unit: str) -> str:
    """A value of a track in words; without a unit it is a share."""
    return say("{value:.0f} {unit}", value=value, unit=unit) if unit else say("{value:.0%}", value=value)
