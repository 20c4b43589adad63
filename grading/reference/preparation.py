"""What must be done before a check tells what it is for: the same preparations for the reference and for hints."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Protocol

import numpy as np

from scenarios.actions import Action
from scenarios.model import ROAD, SEAT, STANDING_PLACES, Check
from scenarios.workshop import WALK_MINUTES, Workshop

WARM_UP_MINUTES = 15.0
"""Drive at 50 km/h after which a healthy engine is at operating temperature."""
SETTLING_MINUTES = 0.5
"""Idling after a start until vacuum and voltage stand as they do while it runs."""
COOLING_MINUTES = 420.0
"""Standing after which the cap of any engine may come off and its levels read as cold ones."""
WAITING = 0.1
"""Share of the minutes that a vehicle only stands which count as work: others are worked on meanwhile (common practice,
no source)."""
COLD_MINUTES = 2.0
"""Running time up to which an engine that stood overnight still counts as cold."""


class Readiness:
    """How long the engine has run in this job so far, from the actions done."""

    def __init__(self) -> None:
        self.minutes_run = 0.0
        self.overheated = False
        """The needle has been seen in the red: the engine must not run on."""

    def note(self, workshop: Workshop, minutes: float, action: Action | None = None) -> None:
        """After an action: count its minutes if the engine ran; one that has stood long enough is cold again.

        action: which, for a check may start the engine and stop it again.
        """
        ran = False
        if action is not None and action.verb == "check":
            ran = workshop.catalogue.checks[action.text(0)].runs_engine
        if ran or workshop.control("engine") > 0.5:
            self.minutes_run += minutes
        elif minutes >= COOLING_MINUTES:
            self.minutes_run, self.overheated = 0.0, False

    @property
    def cold(self) -> bool:
        """Whether the engine may still be called cold."""
        return self.minutes_run <= COLD_MINUTES

    @property
    def warm(self) -> bool:
        """Whether the engine has run long enough to be warm if it can be."""
        return self.minutes_run >= WARM_UP_MINUTES - 1.0


class Wish(Protocol):
    """What a check wants, as ``Check`` says it."""

    @property
    def opens_cap(self) -> bool: ...
    @property
    def needs(self) -> tuple[str, ...]: ...
    @property
    def best_when(self) -> tuple[str, ...]: ...
    @property
    def drive_kmh(self) -> float: ...
    @property
    def runs_engine(self) -> bool: ...


def at_work(action: Action, minutes: float) -> float:
    """What the minutes of an action count for."""
    return WAITING * minutes if action.verb == "wait" else minutes


def stood(actions: Iterable[Action]) -> float:
    """Minutes of actions that do not count, for the vehicle only stood."""
    return sum(action.number(0) - at_work(action, action.number(0)) for action in actions if action.verb == "wait")


class Controls(Protocol):
    """What has controls: a workshop, or a thought of one."""

    def control(self, name: str) -> float:
        """Where a control stands."""
        ...


def too_warm(check: Wish, readiness: Readiness) -> bool:
    """Whether the engine has run too long for the check and must cool first."""
    return (check.opens_cap or "cold" in check.best_when) and not readiness.cold


def preparation(workshop: Controls, check: Wish, readiness: Readiness, let_cool: bool = False) -> list[Action] | None:
    """Actions that bring about what the check needs and is best done at; None if that cannot be had safely any more.

    let_cool: whether that may be to let the engine stand until it is cold.
    """
    wanted, needs = set(check.best_when), set(check.needs)
    out: list[Action] = []
    running = workshop.control("engine") > 0.5
    ignition = workshop.control("ignition") > 0.5
    overheated = readiness.overheated
    if too_warm(check, readiness):
        if not let_cool:
            return None
        if ignition or running:
            out.append(Action("ignition", ("off",)))
        out.append(Action("wait", (COOLING_MINUTES,)))
        running = ignition = overheated = False
    wants_engine = "engine-running" in needs or bool(wanted & {"warm", "fast-idle", "idled"}) or check.drive_kmh > 0.0
    wants_engine = wants_engine or check.runs_engine
    if overheated and wants_engine and not (wanted & {"warm"} and "engine-running" not in needs):
        return None

    def move(control: str, value: float, scale: float) -> None:
        if abs(workshop.control(control) * scale - value) > 1e-9:
            out.append(Action("set", (control, value)))

    if "heater-hot" in wanted or "warm" in wanted:
        move("heater", 100.0, 100.0)
    warms = "warm" in wanted and not readiness.warm and not overheated
    if warms or "blower-low" in wanted or ("warm" in wanted and "blower-high" not in wanted):
        move("blower", 1.0, 1.0)
    if warms:
        if not running:
            out.append(Action("engine", ("start",)))
            running = True
        out.append(Action("drive", (WARM_UP_MINUTES, 50.0)))
    if "idled" in wanted:
        if not running:
            out.append(Action("engine", ("start",)))
            running = True
        out.append(Action("idle", (SETTLING_MINUTES,)))
    if "blower-high" in wanted and (warms or workshop.control("blower") < 3.5):
        out.append(Action("set", ("blower", 4.0)))
    if ("engine-running" in needs or "fast-idle" in wanted or check.drive_kmh > 0.0) and not running:
        out.append(Action("engine", ("start",)))
        running = True
        if "fast-idle" not in wanted and check.drive_kmh == 0.0:
            out.append(Action("idle", (SETTLING_MINUTES,)))
    if "fast-idle" in wanted:
        out.append(Action("rev", (1800.0, 1.0)))
    if ("engine-off" in needs and running) or ("ignition-off" in needs and (running or ignition)):
        out.append(Action("ignition", ("off",)))
    elif "ignition-on" in needs and not running and not ignition:
        out.append(Action("ignition", ("on",)))
    return out


@dataclass(frozen=True)
class State:
    """How things stand, as far as preparations depend on it: controls and minutes the engine ran."""

    engine: float
    ignition: float
    heater: float
    blower: float
    minutes_run: float
    overheated: bool

    @classmethod
    def of(cls, workshop: Workshop, readiness: Readiness) -> State:
        """As things stand now."""
        controls = {name: workshop.control(name) for name in ("engine", "ignition", "heater", "blower")}
        return cls(**controls, minutes_run=_ran(readiness.minutes_run), overheated=readiness.overheated)

    def control(self, name: str) -> float:
        """Where a control stands."""
        return float(getattr(self, name))

    def then(self, action: Action) -> tuple[State, float]:
        """After an action that prepares something, and its minutes."""
        verb = action.verb
        if verb == "set":
            value = action.number(1) / (100.0 if action.text(0) == "heater" else 1.0)
            return replace(self, **{action.text(0): value}), 0.0
        if verb == "ignition":
            on = action.text(0) == "on"
            return replace(self, ignition=float(on), engine=self.engine if on else 0.0), 0.0
        if verb == "engine":
            return replace(self, engine=1.0, ignition=1.0), 0.0
        minutes = action.number(1 if verb == "rev" else 0)
        return replace(self, minutes_run=_ran(self.minutes_run + minutes)), minutes


def _ran(minutes: float) -> float:
    """Minutes run as far as they matter, so that few states are different."""
    if minutes >= WARM_UP_MINUTES - 1.0:
        return WARM_UP_MINUTES
    return COLD_MINUTES + 1.0 if minutes > COLD_MINUTES else float(np.ceil(minutes))


@dataclass(frozen=True)
class Kind:
    """What decides how a check is prepared for: those of one kind are prepared for alike; ran: minutes that the engine
    runs on for it, if it runs, as far as they matter.
    """

    opens_cap: bool
    needs: tuple[str, ...]
    best_when: tuple[str, ...]
    drive_kmh: float
    runs_engine: bool
    ran: float

    @classmethod
    def of(cls, check: Check) -> Kind:
        """Of a check."""
        wants = (
            check.opens_cap,
            tuple(check.needs),
            tuple(check.best_when),
            min(check.drive_kmh, 1.0),
            check.runs_engine,
        )
        return cls(*wants, min(_ran(check.minutes), COLD_MINUTES + 1.0))


@lru_cache(maxsize=20_000)
def _prepared(state: State, kind: Kind) -> tuple[State, float, bool] | None:
    """After a check of some kind and all it wants: the state, the minutes of the latter, and whether it was driven for
    it; None where it cannot be had safely any more.
    """
    readiness = Readiness()
    readiness.minutes_run, readiness.overheated = state.minutes_run, state.overheated
    before = preparation(state, kind, readiness)
    if before is None:
        return None
    minutes = 0.0
    for action in before:
        state, takes = state.then(action)
        minutes += takes
    ran = state.minutes_run + (kind.ran if state.engine > 0.5 or kind.runs_engine else 0.0)
    return replace(state, minutes_run=_ran(ran)), minutes, any(action.verb == "drive" for action in before)


def ways(state: State, place: str, checks: Sequence[Check]) -> tuple[np.ndarray, np.ndarray]:
    """Minutes of each check in each state of things, with preparations and walks, and the state after it, both
    (states, checks): every state that checks lead to, at every place, the first as it is now.

    state, place: as it is now. Infinite minutes where a check cannot be had safely any more.
    """
    kinds = [Kind.of(check) for check in checks]
    alike = {kind: k for k, kind in enumerate(dict.fromkeys(kinds))}
    of = np.array([alike[kind] for kind in kinds], dtype=np.int64)
    states, turn, rows = {state: 0}, [state], []
    for at in turn:  # it grows meanwhile
        row = []
        for kind in alike:
            found = _prepared(at, kind)
            if found is not None and found[0] not in states:
                states[found[0]] = len(states)
                turn.append(found[0])
            row.append((np.inf, states[at], False) if found is None else (found[1], states[found[0]], found[2]))
        rows.append(row)
    table = np.array(rows, dtype=np.float64)[:, of]
    prepared, after, driven = table[:, :, 0], table[:, :, 1].astype(np.int64), table[:, :, 2] > 0.5
    places = sorted(STANDING_PLACES, key=lambda other: other != place)
    ends = np.array([places.index(SEAT if c.place == ROAD else c.place) for c in checks])
    here = np.arange(len(places))
    start = np.where(driven[:, None], places.index(SEAT), here[:, None])  # (states, places, checks)
    walks = WALK_MINUTES * ((start != ends) + 1.0 * (driven[:, None] & (start != here[:, None])))
    minutes = prepared[:, None] + walks + np.array([check.minutes for check in checks])
    leads = np.repeat((len(places) * after + ends)[:, None], len(places), axis=1)
    return minutes.reshape(-1, len(checks)), leads.reshape(-1, len(checks))
