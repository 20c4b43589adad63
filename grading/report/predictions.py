"""What a learner expects of a check before taking it, and whether it came so."""

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
"""What can be expected of a check: a reading below what sound vehicles show, all within it, a reading above it. Records
name them: they keep their names."""
_LEADS_TO_IT = frozenset({"ignition", "engine", "go"})
"""Actions between a prediction and its check that the check itself needs; another one ends the prediction."""


@dataclass(frozen=True)
class Prediction:
    """number: of the check's action in the record; check: its id; expects: of EXPECTS; right: whether it came so."""

    number: int
    check: str
    expects: str
    right: bool

    @property
    def told(self) -> str:
        """The prediction and what came of it, in the language chosen."""
        came = _("right") if self.right else _("wrong")
        return say("You predicted: {expects}. That was {came}.", expects=_(self.expects), came=came)


def to_record(bands: Sequence[Band]) -> list[dict[str, Any]]:
    """Bands as a line of kind ``prediction`` holds them."""
    return [{"label": one.label, "scale": one.scale, "steps": list(one.steps)} for one in bands]


def predictions(entries: Sequence[RecordEntry], sound: Mapping[int, Sequence[Band]] | None = None) -> list[Prediction]:
    """Every prediction of a record whose check followed, in order.

    sound: what sound vehicles show in each check, by the number of its action, as a replay gives it; a check that it
    does not know is left out. None: as the record has it, which only a job that is still open can be trusted with.
    """
    found: list[Prediction] = []
    open_: dict[str, Any] | None = None
    for entry in entries:
        if entry.kind == "prediction":
            open_ = entry.data
        elif entry.kind == "action" and open_ is not None and entry.data["verb"] in PHYSICAL - _LEADS_TO_IT:
            action, number = entry.action, int(entry.data["n"])
            bands = open_["bands"] if sound is None else to_record(sound.get(number, ()))
            if action.verb == "check" and action.text(0) == open_["check"] and entry.data["readings"] and bands:
                right = _came(open_["expects"], bands, entry.data["readings"])
                found.append(Prediction(number, action.text(0), str(open_["expects"]), right))
            open_ = None
    return found


def _came(expects: str, bands: list[dict[str, Any]], readings: list[dict[str, Any]]) -> bool:
    """Whether readings came as expected. What is told in words is either as sound or not, whichever way."""
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
