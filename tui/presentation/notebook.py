"""The learner's notebook: every reading with the state it was taken in and its mark, worked out from the record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from grading.marks.criteria import SHORTEST_TEXT, WRITTEN, written
from grading.sessions.outcome import Reading
from grading.sessions.record import RecordEntry, open_drafts
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import N_, _, plural, say, shown
from tui.presentation.units import Units, in_units


@dataclass(frozen=True, slots=True)
class Note:
    """A reading in the notebook.

    reading; value: the figure on the display, None for words; unit; state: of the vehicle, in words; repairs: number
    done before it; mark: odd, sound or empty.
    """

    reading: Reading
    value: float | None
    unit: str
    state: str
    repairs: int
    mark: str


class _Vehicle:
    """State of the vehicle, tracked through the actions of a record."""

    def __init__(self) -> None:
        self.engine, self.heater, self.blower, self.repairs = N_("engine off"), 0, 0, 0

    def follow(self, action: Action) -> None:
        match action.verb, action.arguments:
            case "ignition", ("off",):
                self.engine = "engine off"
            case "ignition", ("on",) if self.engine == "engine off":
                self.engine = N_("ignition on")
            case "engine", ("start",):
                self.engine = N_("idling")
            case "engine", ("stop",):
                self.engine = "ignition on"
            case "set", ("heater", position):
                self.heater = round(float(position))
            case "set", ("blower", position):
                self.blower = round(float(position))
            case "repair", _:
                self.repairs += 1

    @property
    def words(self) -> str:
        told = {"heater": self.heater, "blower": self.blower}
        return say("{engine}, heater {heater}, blower {blower}", engine=_(self.engine), **told)

    @property
    def on_the_road(self) -> str:
        return say("on the road, heater {heater}, blower {blower}", heater=self.heater, blower=self.blower)


def _marks(entries: list[RecordEntry]) -> dict[int, str]:
    marks: dict[int, str] = {}
    for entry in entries:
        if entry.kind == "action" and entry.data["verb"] == "note":
            arguments = entry.action.arguments
            if len(arguments) == 3 and arguments[0] == "mark":
                marks[int(float(arguments[1]))] = "" if arguments[2] == "none" else str(arguments[2])
    return marks


def notebook(session: Session) -> list[Note]:
    """Every reading so far, in the order taken."""
    entries = session.recorder.entries
    marks, vehicle = _marks(entries), _Vehicle()
    readings = iter(session.readings)
    notes = []
    for entry in entries:
        if entry.kind != "action":
            continue
        for _reading in entry.data.get("readings", ()):
            reading = next(readings, None)
            if reading is not None:
                value, unit = reading.figure
                mark = marks.get(reading.number, "")
                state = vehicle.on_the_road if entry.action.verb == "drive" else vehicle.words
                notes.append(Note(reading, value, unit, state, vehicle.repairs, mark))
        vehicle.follow(entry.action)
    return notes


def ordered(notes: list[Note], order: str) -> list[Note]:
    """Notes by ``time``, by ``point`` of reading, or by what the ``reading`` came to."""
    keys: dict[str, Callable[[Note], Any]] = {
        "time": lambda note: note.reading.number,
        "point": lambda note: (note.reading.label, note.reading.number),
        "reading": lambda note: (note.unit, note.value if note.value is not None else 0.0, note.reading.shown),
    }
    return sorted(notes, key=keys[order])


def difference(first: Note, second: Note, units: Units) -> str:
    """How two readings compare, in words."""
    a, b = first.reading, second.reading
    pair = ", ".join(
        say("{label} {shown} (min {minute:.0f})", label=_(r.label), shown=shown(r.shown), minute=int(r.minute))
        for r in (a, b)
    )
    if first.value is None or second.value is None or first.unit != second.unit:
        return in_units(pair, units)
    gap = second.value - first.value
    if first.unit == "°C":
        figure = f"{gap * 1.8:+.0f} °F" if units == "us" else f"{gap:+.0f} K"
    else:
        figure = say("{gap:+.2f} {unit}", gap=gap, unit=_(first.unit))
    return f"{in_units(pair, units)}: {figure}"


def own_notes(session: Session) -> list[str]:
    """What the learner noted for themselves."""
    notes = [e.action.arguments for e in session.recorder.entries if e.kind == "action" and e.data["verb"] == "note"]
    return [str(note[1]) for note in notes if len(note) == 2 and note[0] == "text"]


def drafts(session: Session) -> dict[str, str]:
    """What was typed for the write-up and not written down, by kind."""
    entries = session.recorder.entries
    stands = written([entry for entry in entries if entry.kind == "action"])
    return {kind: text for kind, text in open_drafts(entries).items() if kind in WRITTEN and text != stands.get(kind)}


def short_line(text: str) -> list[str]:
    """What to say of a line of the write-up that is too short to count; nothing of any other."""
    words = len(text.split())
    if words >= SHORTEST_TEXT:
        return []
    said = say("a line of the write-up counts from {least} words on", least=SHORTEST_TEXT)
    return [plural(words, "{n} word", "{n} words") + ": " + said]


def kept_as_drafts(drafts: dict[str, str]) -> str:
    """What of the write-up is kept as a draft, in words."""
    names = ", ".join(map(_, drafts))
    return say("Kept as a draft, not written down yet: {names}.", names=names)
