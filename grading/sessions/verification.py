"""Replay of a record, and comparison of the record with it.

Marks come from the replay. A record made by another engine or catalogue cannot be compared; its readings are taken as
recorded, and everything else from the replay.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from grading.sessions.outcome import Outcome
from grading.sessions.record import RecordEntry, Recorder
from grading.sessions.session import SWITCH_OFF, Session
from grading.sessions.versions import catalogue_hash, engine_hash
from scenarios.actions import Action
from scenarios.language import Message, Text
from scenarios.model import Catalogue, Check, Job

COMPARED = ("verb", "arguments", "minute", "minutes", "readings", "noticed", "safety")
"""Keys of an action that are compared with the replay."""


OnEntry = Callable[[int, RecordEntry, Outcome, RecordEntry], None]
OnOverdue = Callable[[int, RecordEntry], None]
RUNS = ("rev", "idle", "drive")
"""Verbs that need a running engine."""
ENABLING_ACTIONS = {
    "engine-off": SWITCH_OFF,
    "ignition-off": SWITCH_OFF,
    "engine-running": Action("engine", ("start",)),
    "ignition-on": Action("ignition", ("on",)),
}
"""Action that meets each of ``scenarios.model.NEEDS``."""


class CannotReplay(Exception):
    """An action of a record cannot be done: line (from 1) and why."""

    def __init__(self, line: int, why: str) -> None:
        super().__init__(why)
        self.line, self.why = line, why


@dataclass(frozen=True)
class Difference:
    """A difference between a record and its replay. line: from 1; what: recorded and replayed values."""

    line: int
    what: Text


@dataclass(frozen=True)
class Replayed:
    """A replayed record. session: at its end; entries: with the values of the replay; same_version: whether this engine
    and catalogue made it; difference: the first one, None if there is none or another version made it.
    """

    session: Session
    entries: list[RecordEntry]
    same_version: bool
    difference: Difference | None

    @property
    def sound(self) -> bool:
        """Whether the record agrees with its replay."""
        return self.difference is None


def replayed(catalogue: Catalogue, entries: list[RecordEntry]) -> Replayed:
    """Replay a record. Raises CannotReplay, and KeyError if the catalogue has no such job."""
    job = catalogue.jobs[str(entries[0].data["job"])]
    same = same_version(catalogue, entries)
    again: list[RecordEntry] = [entries[0]]
    difference: Difference | None = None

    def seen(line: int, entry: RecordEntry, outcome: Outcome, given: RecordEntry) -> None:
        nonlocal difference
        if difference is None and same:
            difference = _difference(line, entry.data, given.data)
        again.append(given if same else _with_recorded_readings(entry, given))

    def due(line: int, entry: RecordEntry) -> None:
        nonlocal difference
        if difference is None and same and entry.action != SWITCH_OFF:
            difference = Difference(line, Message("the engine was not switched off in the red"))

    session = replay_session(catalogue, job, entries, seen, due)
    rest = [entry for entry in entries[1:] if entry.kind != "action"]
    return Replayed(session, sorted([*again, *rest], key=lambda entry: entry.data["n"]), same, difference)


def replay_session(
    catalogue: Catalogue,
    job: Job,
    entries: list[RecordEntry],
    seen: OnEntry | None = None,
    in_the_red: OnOverdue | None = None,
) -> Session:
    """Replay the actions of a record one by one in a session in memory.

    seen: called with the line (from 1), the recorded entry, its outcome in the replay, and the replayed entry;
    in_the_red: called with line and entry of an action before which the engine had to be switched off.

    If another version made the record and an action is refused for a control, such as a check that now needs the engine
    stopped, that control is set first; ``seen`` is called for this with the same entry number. Raises CannotReplay.
    """
    session = Session.of_record(catalogue, job, entries, Recorder(None))
    session.switches_off, same = False, same_version(catalogue, entries)
    for line, entry in enumerate(entries, 1):
        if entry.kind != "action":
            continue
        if session.must_switch_off and in_the_red is not None:
            in_the_red(line, entry)
        recorded = entry.action
        try:
            first = [] if same else _enabling_actions(session, recorded)
        except LookupError as error:
            raise CannotReplay(line, str(error)) from error
        for action in (*first, recorded):
            try:
                outcome = session.do(action)
            except (LookupError, ValueError, TypeError, OverflowError) as error:
                raise CannotReplay(line, str(error)) from error
            if outcome.refused is not None:
                raise CannotReplay(line, outcome.refused)
            if seen is not None:
                made = next(one for one in reversed(session.recorder.entries) if one.kind == "action")
                given = RecordEntry("action", made.data | {"n": entry.data["n"]})
                seen(line, entry if action is recorded else given, outcome, given)
    return session


def same_version(catalogue: Catalogue, entries: list[RecordEntry]) -> bool:
    """Whether this engine and catalogue made a record, so that it can be compared with its replay."""
    first = entries[0].data
    return (first["engine"], first["catalogue"]) == (engine_hash(), catalogue_hash(catalogue))


def _enabling_actions(session: Session, action: Action) -> list[Action]:
    """Actions on controls that make an action of another version possible."""
    catalogue, needs = session.catalogue, ("engine-running",) if action.verb in RUNS else ()
    if action.verb in ("check", "repair"):
        known = catalogue.checks if action.verb == "check" else catalogue.repairs
        thing = known.get(action.text(0))
        needs = () if thing is None else thing.needs
        if isinstance(thing, Check) and thing.drive_kmh > 0.0:
            needs = (*needs, "engine-running")
    return [ENABLING_ACTIONS[need] for need in session.workshop.missing_needs(needs)]


def _with_recorded_readings(entry: RecordEntry, given: RecordEntry) -> RecordEntry:
    """An entry of another version with readings as recorded, and time, safety and duration from the replay.

    If the check has other readings now, the recorded ones are removed.
    """
    replaced = {name: given.data[name] for name in ("arguments", "minute", "minutes", "safety")}
    if _labels(entry) != _labels(given):
        replaced["readings"] = []
    return RecordEntry("action", entry.data | replaced)


def _labels(entry: RecordEntry) -> list[str]:
    return [str(reading["label"]) for reading in entry.data["readings"]]


def _difference(line: int, recorded: dict[str, Any], given: dict[str, Any]) -> Difference | None:
    for name in COMPARED:
        if recorded[name] != given[name]:
            values = {"name": name, "recorded": _short(recorded[name]), "given": _short(given[name])}
            return Difference(line, Message("{name} is {recorded}, a replay gives {given}", **values))
    return None


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 80 else f"{text[:77]}..."
