"""Figures that a person types: read with a comma or a point, and asked back where they are hardly meant."""

from __future__ import annotations

import re
from dataclasses import dataclass

from scenarios.actions import Action
from scenarios.language import N_, _, say

_FIGURE = re.compile(r"[+-]?\d{1,9}(?:[.,]\d{1,9})?", re.ASCII)
TYPED = r"[0-9.,]*"
"""What can be typed into a field for a figure."""
USUAL_MINUTES = {"drive": 30.0, "rev": 5.0, "idle": 20.0, "wait": 420.0, "exam": 60.0}
"""Verb to the longest that is usual [min]: a long trip, a warm-up, the night that an engine cools for (ours)."""
ASKED_BACK = 2.0
"""Times the usual beyond which a figure is asked back."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure to be asked: name; unit; what stands there at first; least and greatest."""

    name: str
    unit: str
    value: float
    low: float
    high: float


QUESTIONS: dict[str, tuple[str, tuple[Figure, ...]]] = {
    "drive": (N_("Drive"), (Figure(N_("for"), N_("minutes"), 15, 0.5, 240), Figure(N_("at"), N_("km/h"), 50, 5, 130))),
    "rev": (
        N_("Hold the engine"),
        (Figure(N_("at"), N_("rpm"), 1800, 600, 5000), Figure(N_("for"), N_("minutes"), 3, 0.5, 60)),
    ),
    "idle": (N_("Let the engine idle"), (Figure(N_("for"), N_("minutes"), 5, 0.5, 240),)),
    "wait": (N_("Wait, everything as it is"), (Figure(N_("for"), N_("minutes"), 10, 0.5, 1440),)),
}
"""Verb to its question; figures in the order of the action's arguments."""


def figure_of(text: str) -> float | None:
    """The number typed, None where it is none. A comma is a decimal point, whatever the language.

    >>> figure_of("7,5"), figure_of("7.5"), figure_of("1.000,5")
    (7.5, 7.5, None)
    """
    return float(text.replace(",", ".")) if _FIGURE.fullmatch(text) else None


def doubt(verb: str, minutes: float) -> str | None:
    """What to ask before so many minutes are spent, None where they are usual; verb: of USUAL_MINUTES.

    >>> doubt("idle", 75.0)
    '75 minutes are far more than usual. Did you mean 7.5?'
    >>> doubt("idle", 40.0)
    """
    usual = USUAL_MINUTES[verb]
    if minutes <= ASKED_BACK * usual:
        return None
    said = say("{minutes:g} minutes are far more than usual.", minutes=minutes)
    if minutes % 1.0 == 0.0 and 1.0 <= minutes / 10.0 <= usual:
        return f"{said} " + say("Did you mean {fewer:g}?", fewer=minutes / 10.0)
    return f"{said} " + _("Is that what you want?")


def doubt_of(action: Action) -> str | None:
    """The same of an action; None where it spends no time of its own choosing, or would be refused anyway."""
    if action.verb not in QUESTIONS or not within(action):
        return None
    pairs = zip(QUESTIONS[action.verb][1], action.arguments, strict=False)
    return next((doubt(action.verb, float(x)) for figure, x in pairs if figure.unit == "minutes"), None)


def within(action: Action) -> bool:
    """Whether all figures of an action that takes time lie within their bounds; so does whatever has none."""
    figures = QUESTIONS[action.verb][1] if action.verb in QUESTIONS else ()
    return all(one.low <= float(x) <= one.high for one, x in zip(figures, action.arguments, strict=False))
