"""Timelines of a job on the same vehicle: temperatures and events of the learner and of the reference."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from grading.reference.policy import ReferenceRun
from grading.report.action_words import describe
from grading.report.told_actions import Told
from grading.sessions.record import RecordEntry, Recorder
from grading.sessions.session import Session
from scenarios.language import N_, _, say
from scenarios.model import Catalogue
from sim.vehicle import states as st
from sim.world import MINUTE

CURVES = (N_("coolant"), N_("heater feed hose"), N_("heater return hose"), N_("air at the vents"))
"""Temperatures that are plotted, on a common scale."""
SIGNS = {"check": "c", "drive": "d", "rev": "i", "idle": "i", "repair": "r", "diagnose": "="}
"""Verb of a marked action to its symbol on the time axis."""


@dataclass(frozen=True)
class Event:
    """An action on the time axis. minute: start; sign: of SIGNS; what: in the language chosen."""

    minute: float
    sign: str
    what: str


@dataclass(frozen=True)
class Way:
    """One timeline. times (m,) [min]; temperatures (CURVES, m) [degC]; events, in order; end [min]."""

    times: np.ndarray
    temperatures: np.ndarray
    events: tuple[Event, ...]
    end: float

    def at(self, minute: float) -> Event | None:
        """The event at a minute, or the last one before it."""
        return next((event for event in reversed(self.events) if event.minute <= minute + 1e-6), None)


def own_way(session: Session, told: Iterable[Told]) -> Way:
    """Timeline of a session that replayed a record; told: its actions in words."""
    events = [(one.minute, str(one.entry.data["verb"]), one.what) for one in told]
    return _way(session, events)


def best_way(catalogue: Catalogue, entries: list[RecordEntry], course: ReferenceRun) -> Way:
    """Timeline of the reference on the vehicle of a record; course: what the reference did."""
    first = entries[0].data
    session = Session(catalogue, catalogue.jobs[str(first["job"])], int(first["seed"]), Recorder(None))
    events: list[tuple[float, str, str]] = []
    for action in course.actions:
        events.append((session.minute, action.verb, describe(catalogue, action)))
        session.do(action)
    sure = {
        "fault": _(catalogue.faults[course.diagnosis].name),
        "sure": float(round(100.0 * course.belief)),
    }
    events.append((session.minute, "diagnose", say("diagnosis: {fault}, {sure:g} % sure", **sure)))
    return _way(session, events)


def _way(session: Session, events: Sequence[tuple[float, str, str]]) -> Way:
    marked = tuple(Event(minute, SIGNS[verb], what) for minute, verb, what in events if verb in SIGNS)
    world = session.workshop.world
    if not world.samples:
        return Way(np.zeros(0), np.zeros((len(CURVES), 0)), marked, session.minute)
    times, states, quantities = world.all_samples()
    rows = [states[:, st.JACKET], states[:, st.FEED], states[:, st.RETURN], quantities["vent_C"]]
    return Way(times / MINUTE, np.stack(rows), marked, session.minute)


def scale(ways: Sequence[Way]) -> tuple[float, float]:
    """Lowest and highest temperature [degC] of all curves, rounded outwards to tens."""
    values = np.concatenate([way.temperatures.ravel() for way in ways])
    if not len(values):
        return 0.0, 100.0
    return 10.0 * float(np.floor(values.min() / 10.0)), 10.0 * float(np.ceil(values.max() / 10.0))


def moments(ways: Sequence[Way]) -> list[float]:
    """Minutes of all events, rising and without duplicates."""
    return sorted({round(event.minute, 3) for way in ways for event in way.events})
