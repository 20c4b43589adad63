"""A learner's predictions of checks, and whether they came true."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.report.sound_band import FIGURES, KINDS, Band
from grading.sessions.record import RecordEntry
from scenarios.actions import PHYSICAL
from scenarios.language import N_, _, say

LOWER, SOUND, HIGHER = N_("lower than sound"), N_("as sound"), N_("higher than sound")
EXPECTS = (LOWER, SOUND, HIGHER)
"""Predictions: a reading below the sound band, all readings within it, a reading above it. Recorded, so they keep their
names."""
_LEADS_UP = frozenset({"ignition", "engine", "go"})
"""Actions that a check may need and so may come before it; any other action cancels the prediction."""


@dataclass(frozen=True)
class Prediction:
    """number: of the check's action in the record; check: its id; expects: of EXPECTS; right: whether it came true."""

    number: int
    check: str
    expects: str
    right: bool

    @property
    def told(self) -> str:
        """The prediction and its outcome, in the language chosen."""
        came = _("right") if self.right else _("wrong")
        return say("You predicted: {expects}. That was {came}.", expects=_(self.expects), came=came)


def to_record(bands: Sequence[Band]) -> list[dict[str, Any]]:
    """Bands as stored in a record line of kind ``prediction``."""
    return [{"label": one.label, "scale": one.scale, "steps": list(one.steps)} for one in bands]


def predictions(entries: Sequence[RecordEntry], sound: Mapping[int, Sequence[Band]] | None = None) -> list[Prediction]:
    """Predictions of a record whose check followed, in order.

    sound: sound bands of each check from a replay, by the number of its action; checks without bands are left out.
    None: the bands in the record, which can be trusted only while its job is open.
    """
    found: list[Prediction] = []
    open_: dict[str, Any] | None = None
    for entry in entries:
        if entry.kind == "prediction":
            open_ = entry.data
        elif entry.kind == "action" and open_ is not None and entry.data["verb"] in PHYSICAL - _LEADS_UP:
            action, number = entry.action, int(entry.data["n"])
            bands = open_["bands"] if sound is None else to_record(sound.get(number, ()))
            if action.verb == "check" and action.text(0) == open_["check"] and entry.data["readings"] and bands:
                right = _came_true(open_["expects"], bands, entry.data["readings"])
                found.append(Prediction(number, action.text(0), str(open_["expects"]), right))
            open_ = None
    return found


def _came_true(expects: str, bands: list[dict[str, Any]], readings: list[dict[str, Any]]) -> bool:
    """Whether readings are as predicted. A reading in words outside its band counts as both lower and higher."""
    below = above = False
    left = list(bands)
    for reading in readings:
        one = next((band for band in left if band["label"] == reading["label"]), None)
        if one is None:
            continue
        left.remove(one)
        step, steps = int(reading["step"]), one["steps"]
        if one["scale"] == FIGURES:
            below, above = below or step < steps[0], above or step > steps[-1]
        elif step not in steps if one["scale"] == KINDS else not steps[0] <= step <= steps[-1]:
            below = above = True
    return {LOWER: below, HIGHER: above, SOUND: not (below or above)}[expects]
