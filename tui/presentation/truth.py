"""What truly went on in the vehicle of a record: its actions done again, everything seen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np

from grading.sessions.record import Entry
from grading.sessions.session import Session
from scenarios.language import N_, say
from scenarios.model import Catalogue
from sim.fleet import Fleet
from sim.observation.loop import gauge_needle
from sim.vehicle import states as st
from sim.world import MINUTE


@dataclass(frozen=True)
class Truth:
    """The vehicle at one moment: minute; state (STATES,) as in ``sim.vehicle.states``; quantities, one record."""

    minute: float
    state: np.ndarray
    quantities: np.ndarray

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
    (times, STATES) and quantities (times,): everything at those times.
    """

    times: np.ndarray
    tracks: tuple[Track, ...]
    at: dict[int, Truth]
    states: np.ndarray
    quantities: np.ndarray

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
        return Truth(float(self.times[k]), self.states[k], self.quantities[k])


@dataclass(frozen=True)
class _Seen:
    parameters: np.ndarray
    controls: np.ndarray
    quantities: np.ndarray


def true_course(catalogue: Catalogue, entries: list[Entry]) -> Course:
    """Do the actions of a record again on its own vehicle. Raises PhysicsFailed."""
    session = Session(catalogue, catalogue.jobs[str(entries[0].data["job"])], int(entries[0].data["seed"]))
    fleet, world = session.workshop.fleet, session.workshop.world
    at: dict[int, Truth] = {}
    needles: list[np.ndarray] = []
    for entry in entries:
        if entry.kind != "action":
            continue
        first = len(world.samples)
        outcome = session.do(entry.action)
        if outcome.failure is not None:
            raise outcome.failure
        for times, quantities in world.samples[first:]:
            one = np.zeros(len(times), dtype=np.int64)
            seen = _Seen(fleet.parameters[one], fleet.controls[one], quantities)
            needles.append(gauge_needle(cast(Fleet, seen)))
        at[int(entry.data["number"])] = Truth(session.minute, fleet.state[0].copy(), fleet.quantities[0].copy())
    if not world.samples:
        return Course(np.zeros(0), (), at, fleet.state[:0].copy(), fleet.quantities[:0].copy())
    states = np.concatenate(world.state_samples)
    quantities = np.concatenate([quantities for _, quantities in world.samples])
    tracks = (
        Track(N_("gauge needle"), "", np.concatenate(needles)),
        Track(N_("coolant"), "°C", states[:, st.JACKET]),
        Track(N_("upper radiator hose, skin"), "°C", states[:, st.UPPER_SKIN]),
        Track(N_("heater feed hose, skin"), "°C", states[:, st.FEED_SKIN]),
        Track(N_("heater return hose, skin"), "°C", states[:, st.RETURN_SKIN]),
        Track(N_("air at the vents"), "°C", quantities["vent_C"]),
    )
    times = np.concatenate([times for times, _ in world.samples]) / MINUTE
    return Course(times, tracks, at, states, quantities)


def figure(value: float, unit: str) -> str:
    """A value of a track in words; without a unit it is a share."""
    return say("{value:.0f} {unit}", value=value, unit=unit) if unit else say("{value:.0%}", value=value)
