"""The phrases of the text interface: one command a line, turned into an action or into something to be shown."""

from __future__ import annotations

from dataclasses import dataclass

from grading.report.predictions import HIGHER, LOWER, SOUND
from grading.sessions.modes import NOT_DRIVEN, TEMPORARY
from scenarios.actions import ALSO, Action, NotPossible
from scenarios.files.data_error import quoted
from scenarios.language import N_, _, say
from scenarios.model import BAY, BENCH, DASH, ROAD, SEAT
from tui.presentation.clean import clean
from tui.presentation.figures import figure_of
from tui.text.matching import ending, whole_verb

ANSWERED = (
    "look",
    "checks",
    "repairs",
    "faults",
    "changed",
    "readings",
    "compare",
    "card",
    "hint",
    "cautions",
    "skip",
    "undo",
    "units",
    "help",
    "put",
    "quit",
    "predict",
)
"""Verbs that the interface answers itself: they show something, or stand for other actions."""

ORDERS = ("time", "point", "reading")
"""Orders of the notebook: by when it was taken, by what was read, by what came of it."""

MARKED = (N_("odd"), N_("sound"), N_("none"))
"""How a reading in the notebook can be marked; ``none`` takes the mark off."""


EXPECTED = {"lower": LOWER, "sound": SOUND, "higher": HIGHER}
"""What can be typed of a prediction, and what it stands for."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A verb with its arguments: usage, and what it does, for people, marked for the translators."""

    usage: str
    does: str


PHRASES = {
    "look": Phrase(
        "look [seat|bay|dash|road|bench|TEXT]",
        N_("what matters here; the checks of a place; or all that has TEXT in its name"),
    ),
    "checks": Phrase("checks [TEXT]", N_("every check, or those with TEXT in their names")),
    "repairs": Phrase("repairs [TEXT]", N_("every repair, or those with TEXT in their names")),
    "faults": Phrase("faults [TEXT]", N_("every fault to suspect or diagnose, or those with TEXT in their names")),
    "changed": Phrase("changed", N_("what has changed since you last looked")),
    "card": Phrase("card", N_("the complaint, the vehicle and its handbook")),
    "readings": Phrase("readings [time|point|reading]", N_("every reading so far, in this order")),
    "compare": Phrase("compare NUMBER NUMBER", N_("two readings of the notebook side by side")),
    "check": Phrase("check ID", N_("take a reading; ID: also a number of the last list, or the beginning of a name")),
    "predict": Phrase(
        "predict ID lower|sound|higher",
        N_("say what you expect of a check before you take it, held against a sound vehicle here and now"),
    ),
    "go": Phrase(
        "go seat|bay|dash|bench", N_("walk to the driver's seat, the engine bay, under the dash or to the bench")
    ),
    "set": Phrase(
        "set heater 0..100 | set blower 0..4 | set vents floor|face|screen | set recirculation on|off",
        N_("move a control"),
    ),
    "ignition": Phrase("ignition on|off", N_("turn the ignition")),
    "engine": Phrase("engine start|stop", N_("start or stop the engine")),
    "rev": Phrase("rev RPM MINUTES", N_("hold the engine at a speed")),
    "idle": Phrase("idle MINUTES", N_("let the engine idle")),
    "drive": Phrase("drive MINUTES [KMH]", N_("drive on the road, at 50 km/h unless told otherwise")),
    "wait": Phrase("wait MINUTES", N_("let time pass, everything as it is")),
    "repair": Phrase("repair ID", N_("do a repair")),
    "cautions": Phrase("cautions ID", N_("list the cautions of a check or repair before you do it")),
    "skip": Phrase("skip check ID | skip repair ID", N_("do it and pass over its cautions; the record says so")),
    "hint": Phrase("hint", N_("in mode guided: a question, then a pointer, then an explanation; each costs marks")),
    "suspect": Phrase("suspect FAULT likely|maybe|unlikely|out", N_("note what you think of a fault")),
    "mark": Phrase("mark NUMBER odd|sound|none", N_("mark a reading in the notebook")),
    "undo": Phrase("undo", N_("undo the last mark")),
    "diagnose": Phrase(
        "diagnose FAULT CONFIDENCE [also]",
        N_("declare what is wrong, and how sure you are of it, 0 to 100; also: beside what you declared before"),
    ),
    "write": Phrase("write complaint|cause|correction TEXT", N_("write up the job, at least three words each")),
    "note": Phrase("note TEXT", N_("write something down for yourself")),
    "handback": Phrase(
        "handback [not to be driven | temporary repair]",
        N_("hand back the keys, with a line on the job card if need be; the job is then graded"),
    ),
    "units": Phrase("units si|us", N_("degrees Celsius and kPa, or degrees Fahrenheit and psi")),
    "help": Phrase("help", N_("this list of commands")),
    "put": Phrase("put away", N_("give the job up: its record is put away and counts for nothing")),
    "quit": Phrase("quit", N_("leave; the record is kept and the job can be resumed")),
}

WRITTEN = ("complaint", "cause", "correction")
"""What a repair order says of a job; the same that marking looks for."""

_PLACES = {"seat": SEAT, "bay": BAY, "dash": DASH, "bench": BENCH}
LOOKED_AT = {**_PLACES, "road": ROAD}
"""Places that can be looked at."""


def _number(word: str, name: str) -> float:
    value = figure_of(word)
    if value is None:
        raise NotPossible(say("{name} cannot be {given}, expected a number", name=name, given=quoted(word)))
    return value


def parse(line: str) -> Action:
    """The action of a line; verbs of ANSWERED come back as actions too, for the interface to answer.

    Raises NotPossible with what was expected.

    >>> parse("drive 10 80").arguments
    (10.0, 80.0)
    """
    line = clean(line)
    verb, *words = line.split() or [""]
    verb = whole_verb(verb, list(PHRASES))
    if verb not in PHRASES:
        told = {"name": quoted(verb), "names": ", ".join(PHRASES)}
        raise NotPossible(say("there is no command {name}, expected one of {names}", **told))

    def need(*counts: int) -> None:
        if len(words) not in counts:
            told = {"line": quoted(line.strip()), "usage": PHRASES[verb].usage}
            raise NotPossible(say("{line} is not complete or too long, expected '{usage}'", **told))

    match verb:
        case "note":
            if not words:
                need(1)
            return Action("note", ("text", " ".join(words)))
        case "write":
            if len(words) < 2 or words[0] not in WRITTEN:
                told = {"line": quoted(line), "usage": PHRASES[verb].usage}
                raise NotPossible(say("{line} writes nothing up, expected '{usage}'", **told))
            return Action("note", (words[0], " ".join(words[1:])))
        case "mark":
            need(2)
            if words[1] not in MARKED:
                told = {"mark": quoted(words[1]), "marks": ", ".join(MARKED)}
                raise NotPossible(say("a mark cannot be {mark}, expected {marks}", **told))
            return Action("note", ("mark", _number(words[0], _("a reading's number")), words[1]))
        case "go":
            need(1)
            if words[0] not in _PLACES:
                told = {"place": quoted(words[0]), "places": ", ".join(_PLACES)}
                raise NotPossible(say("there is no place {place}, expected {places}", **told))
            return Action("go", (_PLACES[words[0]],))
        case "readings":
            need(0, 1)
            if words and words[0] not in ORDERS:
                told = {"order": quoted(words[0]), "orders": ", ".join(ORDERS)}
                raise NotPossible(say("readings cannot be ordered by {order}, expected {orders}", **told))
            return Action(verb, tuple(words))
        case "compare":
            need(2)
            return Action(verb, tuple(_number(word, _("a reading's number")) for word in words))
        case "units":
            need(1)
            if words[0] not in ("si", "us"):
                raise NotPossible(say("units cannot be {units}, expected si or us", units=quoted(words[0])))
            return Action(verb, tuple(words))
        case "skip":
            words = [*words[:1], *ending(words[1:], 0, PHRASES[verb].usage)]
            if words[0] not in ("check", "repair"):
                told = {"name": quoted(words[0]), "usage": PHRASES[verb].usage}
                raise NotPossible(say("{name} has no cautions, expected '{usage}'", **told))
            return Action(verb, tuple(words))
        case "check" | "repair" | "cautions":
            return Action(verb, tuple(ending(words, 0, PHRASES[verb].usage)))
        case "ignition" | "engine":
            need(1)
            return Action(verb, tuple(words))
        case "predict":
            words = ending(words, 1, PHRASES[verb].usage)
            if words[1] not in EXPECTED:
                told = {"word": quoted(words[1]), "words": ", ".join(EXPECTED)}
                raise NotPossible(say("a reading cannot be expected {word}, expected {words}", **told))
            return Action(verb, tuple(words))
        case "suspect":
            words = ending(words, 1, PHRASES[verb].usage)
            return Action(verb, tuple(words))
        case "set":
            need(2)
            numeric = words[0] in ("heater", "blower")
            return Action(verb, (words[0], _number(words[1], _(words[0])) if numeric else words[1]))
        case "rev":
            need(2)
            return Action(verb, (_number(words[0], _("engine speed")), _number(words[1], _("minutes"))))
        case "idle" | "wait":
            need(1)
            return Action(verb, (_number(words[0], _("minutes")),))
        case "drive":
            need(1, 2)
            names = (_("minutes"), _("road speed"))
            return Action(verb, tuple(_number(word, name) for word, name in zip(words, names, strict=False)))
        case "diagnose":
            words = ending(words, 2 if words[-1:] == [ALSO] else 1, PHRASES[verb].usage)
            return Action(verb, (words[0], _number(words[1], _("confidence")), *words[2:]))
        case "look" | "checks" | "repairs" | "faults":
            return Action(verb, tuple(words))
        case "put":
            if words != ["away"]:
                need(-1)
            return Action(verb)
        case "handback" if " ".join(words) in (NOT_DRIVEN, TEMPORARY):
            return Action(verb, (" ".join(words),))
        case _:
            need(0)
            return Action(verb)
