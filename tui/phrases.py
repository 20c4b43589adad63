"""The phrases of the text interface: one command a line, turned into an action or into something to be shown."""

from __future__ import annotations

import re
from dataclasses import dataclass

from scenarios.actions import Action, NotPossible
from scenarios.data_error import quoted
from scenarios.model import PLACES
from tui.clean import clean

ANSWERED = ("look", "readings", "compare", "card", "hint", "cautions", "skip", "undo", "units", "help", "quit")
"""Verbs that the interface answers itself: they show something, or stand for other actions."""

ORDERS = ("time", "point", "reading")
"""Orders of the notebook: by when it was taken, by what was read, by what came of it."""

MARKED = ("odd", "sound", "none")
"""How a reading in the notebook can be marked; ``none`` takes the mark off."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A verb with its arguments: usage, and what it does, for people."""

    usage: str
    does: str


PHRASES = {
    "look": Phrase("look", "where you are, what you notice, the controls, and what can be done"),
    "card": Phrase("card", "the complaint, the vehicle and its handbook"),
    "readings": Phrase("readings [time|point|reading]", "every reading so far, in this order"),
    "compare": Phrase("compare NUMBER NUMBER", "two readings of the notebook side by side"),
    "check": Phrase("check ID", "take a reading"),
    "go": Phrase("go seat|bay|dash", "walk to the driver's seat, the engine bay or under the dash"),
    "set": Phrase(
        "set heater 0..100 | set blower 0..4 | set vents floor|face|screen | set recirculation on|off", "move a control"
    ),
    "ignition": Phrase("ignition on|off", "turn the ignition"),
    "engine": Phrase("engine start|stop", "start or stop the engine"),
    "rev": Phrase("rev RPM MINUTES", "hold the engine at a speed"),
    "idle": Phrase("idle MINUTES", "let the engine idle"),
    "drive": Phrase("drive MINUTES [KMH]", "drive on the road, at 50 km/h unless told otherwise"),
    "wait": Phrase("wait MINUTES", "let time pass, everything as it is"),
    "repair": Phrase("repair ID", "do a repair"),
    "cautions": Phrase("cautions ID", "hear the cautions of a check or repair before you do it"),
    "skip": Phrase("skip check ID | skip repair ID", "do it and pass over its cautions; the record says so"),
    "hint": Phrase("hint", "in mode guided: a question, then a pointer, then an explanation; each costs marks"),
    "suspect": Phrase("suspect FAULT likely|maybe|unlikely|out", "note what you think of a fault"),
    "mark": Phrase("mark NUMBER odd|sound|none", "mark a reading in the notebook"),
    "undo": Phrase("undo", "take the last mark back"),
    "diagnose": Phrase("diagnose FAULT CONFIDENCE", "declare what is wrong, and how sure you are of it, 0 to 100"),
    "write": Phrase("write complaint|cause|correction TEXT", "write up the job, at least three words each"),
    "note": Phrase("note TEXT", "write something down for yourself"),
    "handback": Phrase("handback", "hand back the keys; the job is then graded"),
    "units": Phrase("units si|us", "degrees Celsius and kPa, or degrees Fahrenheit and psi"),
    "help": Phrase("help", "these phrases"),
    "quit": Phrase("quit", "leave; the record is kept and the job can be resumed"),
}

WRITTEN = ("complaint", "cause", "correction")
"""What a repair order says of a job; the same that marking looks for."""

_PLACES = {"seat": PLACES[0], "bay": PLACES[1], "dash": PLACES[2]}
_NUMBER = re.compile(r"[+-]?\d{1,9}(\.\d{1,9})?", re.ASCII)


def _number(word: str, name: str) -> float:
    if not _NUMBER.fullmatch(word):
        raise NotPossible(f"{name} cannot be {quoted(word)}, expected a number")
    return float(word)


def parse(line: str) -> Action:
    """The action of a line; verbs of ANSWERED come back as actions too, for the interface to answer.

    Raises NotPossible with what was expected.

    >>> parse("drive 10 80")
    Action(verb='drive', arguments=(10.0, 80.0))
    """
    line = clean(line)
    verb, *words = line.split() or [""]
    if verb not in PHRASES:
        raise NotPossible(f"there is no command {quoted(verb)}, expected one of {', '.join(PHRASES)}")

    def need(*counts: int) -> None:
        if len(words) not in counts:
            raise NotPossible(f"{quoted(line.strip())} is not complete or too long, expected '{PHRASES[verb].usage}'")

    match verb:
        case "note":
            if not words:
                need(1)
            return Action("note", ("text", " ".join(words)))
        case "write":
            if len(words) < 2 or words[0] not in WRITTEN:
                raise NotPossible(f"{quoted(line)} writes nothing up, expected '{PHRASES[verb].usage}'")
            return Action("note", (words[0], " ".join(words[1:])))
        case "mark":
            need(2)
            if words[1] not in MARKED:
                raise NotPossible(f"a mark cannot be {quoted(words[1])}, expected {', '.join(MARKED)}")
            return Action("note", ("mark", _number(words[0], "a reading's number"), words[1]))
        case "go":
            need(1)
            if words[0] not in _PLACES:
                raise NotPossible(f"there is no place {quoted(words[0])}, expected {', '.join(_PLACES)}")
            return Action("go", (_PLACES[words[0]],))
        case "readings":
            need(0, 1)
            if words and words[0] not in ORDERS:
                raise NotPossible(f"readings cannot be ordered by {quoted(words[0])}, expected {', '.join(ORDERS)}")
            return Action(verb, tuple(words))
        case "compare":
            need(2)
            return Action(verb, tuple(_number(word, "a reading's number") for word in words))
        case "units":
            need(1)
            if words[0] not in ("si", "us"):
                raise NotPossible(f"units cannot be {quoted(words[0])}, expected si or us")
            return Action(verb, tuple(words))
        case "skip":
            need(2)
            if words[0] not in ("check", "repair"):
                raise NotPossible(f"{quoted(words[0])} has no cautions, expected '{PHRASES[verb].usage}'")
            return Action(verb, tuple(words))
        case "check" | "repair" | "ignition" | "engine" | "cautions":
            need(1)
            return Action(verb, tuple(words))
        case "suspect":
            need(2)
            return Action(verb, tuple(words))
        case "set":
            need(2)
            numeric = words[0] in ("heater", "blower")
            return Action(verb, (words[0], _number(words[1], words[0]) if numeric else words[1]))
        case "rev":
            need(2)
            return Action(verb, (_number(words[0], "engine speed"), _number(words[1], "minutes")))
        case "idle" | "wait":
            need(1)
            return Action(verb, (_number(words[0], "minutes"),))
        case "drive":
            need(1, 2)
            names = ("minutes", "road speed")
            return Action(verb, tuple(_number(word, name) for word, name in zip(words, names, strict=False)))
        case "diagnose":
            need(2)
            return Action(verb, (words[0], _number(words[1], "confidence")))
        case _:
            need(0)
            return Action(verb)
