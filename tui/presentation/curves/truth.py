"""What truly went on in the vehicle of a record: its actions done again, everything seen."""

from __future__ import annotations

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


def true_course(catalogue: Catalogue, entries: list[RecordEntry]) -> Course:
    """Do the actions of a record again on its own vehicle. Raises PhysicsFailed."""
    session = Session(catalogue, catalogue.jobs[str(entries[0].data["job"])], int(entries[0].data["seed"]))
    fleet, world = session.workshop.fleet, session.workshop.world
    electric = ELECTRIC in session.vehicle.equipment
    at: dict[int, Truth] = {}
    needles: list[np.ndarray] = []
    for entry in entries:
        if entry.kind != "action":
            continue
        first = len(world.samples)
        outcome = session.do(entry.action)
        if outcome.failure is not None:
            raise outcome.failure
        needles.append(needle_over(fleet, world.all_samples(first)[2]))
        at[int(entry.data["n"])] = Truth(session.minute, fleet.state[0].copy(), fleet.algebraic[0].copy(), electric)
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
            Track(N_("gauge needle"), "", np.concatenate(needles)),
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


def figure(value: float, unit: str) -> str:
    """A value of a track in words; without a unit it is a share."""
    return say("{value:.0f} {unit}", value=value, unit=unit) if unit else say("{value:.0%}", value=value)
