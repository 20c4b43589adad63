"""A record done again: what it holds, as the physics gives it, and where it says something else.

Marks are worked out from what the replay gives. A record made by another engine or catalogue cannot be held against
it; of such a record the readings are taken as the person saw them, and all else from the replay.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from grading.sessions.outcome import Outcome
from grading.sessions.record import Entry, Recorder
from grading.sessions.session import SWITCH_OFF, Session
from grading.sessions.versions import catalogue_hash, engine_hash
from scenarios.actions import Action
from scenarios.language import Message, Text
from scenarios.model import Catalogue, Check, Job

HELD = ("verb", "arguments", "minute", "minutes", "readings", "noticed", "safety")
"""What of an action a replay gives, and so can be held against the record."""


Seen = Callable[[int, Entry, Outcome, Entry], None]
Due = Callable[[int, Entry], None]
RUNS = ("rev", "idle", "drive")
"""Verbs that want a running engine."""
MOVES = {
    "engine-off": SWITCH_OFF,
    "ignition-off": SWITCH_OFF,
    "engine-running": Action("engine", ("start",)),
    "ignition-on": Action("ignition", ("on",)),
}
"""What meets each of ``scenarios.model.NEEDS``."""


class CannotReplay(Exception):
    """An action of a record cannot be done: line (from 1) and why."""

    def __init__(self, line: int, why: str) -> None:
        super().__init__(why)
        self.line, self.why = line, why


@dataclass(frozen=True)
class Difference:
    """Where a record differs from its replay: line (from 1), what it holds there and what the replay gives."""

    line: int
    what: Text


@dataclass(frozen=True)
class Replayed:
    """session: at the record's end; entries: the record with everything that marks need as the replay gives it;
    same_version: whether this engine and catalogue made it; difference: the first, None where there is none or where
    another version made it.
    """

    session: Session
    entries: list[Entry]
    same_version: bool
    difference: Difference | None

    @property
    def sound(self) -> bool:
        """Whether nothing speaks against the record."""
        return self.difference is None


def replayed(catalogue: Catalogue, entries: list[Entry]) -> Replayed:
    """Do a record again. Raises CannotReplay, and KeyError where the catalogue has no such job."""
    job = catalogue.jobs[str(entries[0].data["job"])]
    same = same_version(catalogue, entries)
    again: list[Entry] = [entries[0]]
    difference: Difference | None = None

    def seen(line: int, entry: Entry, outcome: Outcome, given: Entry) -> None:
        nonlocal difference
        if difference is None and same:
            difference = _difference(line, entry.data, given.data)
        again.append(given if same else _as_seen(entry, given))

    def due(line: int, entry: Entry) -> None:
        nonlocal difference
        if difference is None and same and entry.action != SWITCH_OFF:
            difference = Difference(line, Message("the engine was not switched off in the red"))

    session = replay_session(catalogue, job, entries, seen, due)
    rest = [entry for entry in entries[1:] if entry.kind != "action"]
    return Replayed(session, sorted([*again, *rest], key=lambda entry: entry.data["n"]), same, difference)


def replay_session(
    catalogue: Catalogue, job: Job, entries: list[Entry], seen: Seen | None = None, in_the_red: Due | None = None
) -> Session:
    """The session of a record, its actions done again one by one, kept in memory.

    seen: called with the line (from 1), the entry, what came of it this time, and the entry that this would make;
    in_the_red: called with line and entry of an action before which the engine had to be switched off.

    What another version refuses for want of a control, such as a check that is now begun with the engine stopped, is
    made possible by moving that control first; ``seen`` is told of this as of entries that bear the same number.
    Raises CannotReplay.
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
            first = [] if same else _allowing(session, recorded)
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
                given = Entry("action", made.data | {"n": entry.data["n"]})
                seen(line, entry if action is recorded else given, outcome, given)
    return session


def same_version(catalogue: Catalogue, entries: list[Entry]) -> bool:
    """Whether this engine and catalogue made a record, so that it can be held against its replay."""
    first = entries[0].data
    return (first["engine"], first["catalogue"]) == (engine_hash(), catalogue_hash(catalogue))


def _allowing(session: Session, action: Action) -> list[Action]:
    """Controls to move first, so that an action is possible that another version allowed as things stand."""
    catalogue, needs = session.catalogue, ("engine-running",) if action.verb in RUNS else ()
    if action.verb in ("check", "repair"):
        known = catalogue.checks if action.verb == "check" else catalogue.repairs
        thing = known.get(action.text(0))
        needs = () if thing is None else thing.needs
        if isinstance(thing, Check) and thing.drive_kmh > 0.0:
            needs = (*needs, "engine-running")
    return [MOVES[need] for need in session.workshop.missing_needs(needs)]


def _as_seen(entry: Entry, given: Entry) -> Entry:
    """The entry of another version: readings as recorded, time, safety and how far it came as the replay gives them.

    Where the check is read otherwise now, its readings cannot be weighed and are left out.
    """
    replaced = {name: given.data[name] for name in ("arguments", "minute", "minutes", "safety")}
    if _labels(entry) != _labels(given):
        replaced["readings"] = []
    return Entry("action", entry.data | replaced)


def _labels(entry: Entry) -> list[str]:
    return [str(reading["label"]) for reading in entry.data["readings"]]


def _difference(line: int, recorded: dict[str, Any], given: dict[str, Any]) -> Difference | None:
    for name in HELD:
        if recorded[name] != given[name]:
            values = {"name": name, "recorded": _short(recorded[name]), "given": _short(given[name])}
            return Difference(line, Message("{name} is {recorded}, a replay gives {given}", **values))
    return None


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 80 else f"{text[:77]}..."
