"""The actions of a record in words, with their readings and results."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from grading.marks.grade import Grade
from grading.marks.replay import Step
from grading.marks.work import cures, repairs_in
from grading.report.action_words import describe, turned_on
from grading.report.predictions import predictions
from grading.report.sound_band import Band
from grading.sessions.record import RecordEntry
from scenarios.actions import ALSO, Action, standing
from scenarios.language import _, say, shown
from scenarios.model import Catalogue


@dataclass(frozen=True)
class Told:
    """An action in words.

    entry: in the record; what: the action itself; step: its evaluation by the observer, None after the last diagnosis
    or repair; remarks: results other than readings; sound: bands of sound vehicles.
    """

    entry: RecordEntry
    what: str
    step: Step | None
    remarks: tuple[str, ...]
    sound: tuple[Band, ...] = ()

    @property
    def minute(self) -> float:
        """Start [min]."""
        return float(self.entry.data["minute"])

    @property
    def minutes(self) -> float:
        """Duration [min]."""
        return float(self.entry.data["minutes"])

    @property
    def readings(self) -> list[tuple[str, str, str]]:
        """Label, value and sound band of its readings in words, in the language chosen. The band is empty if it is not
        known or the reading was not taken by a check.
        """
        left = list(self.sound) if self.entry.data["verb"] == "check" else []
        rows = []
        for one in self.entry.data.get("readings", ()):
            band = next((band for band in left if band.label == one["label"]), None)
            if band is not None:
                left.remove(band)
            rows.append((_(str(one["label"])), shown(str(one["shown"])), band.told if band else ""))
        return rows


Bands = Mapping[int, Sequence[Band]]
"""Sound bands of the checks of a record, by the number of the check's action."""


def told_actions(
    catalogue: Catalogue, entries: list[RecordEntry], grade: Grade, sound: Bands | None = None
) -> list[Told]:
    """All actions of a record except notes and controls that the next action moves again; sound: bands, if known."""
    actions = [entry for entry in entries if entry.kind == "action"]
    steps = {step.number: step for step in grade.steps}
    predicted = {one.number: one.told for one in predictions(entries, sound or {})}
    told: list[Told] = []
    done: list[Action] = []
    for entry, after in zip_longest(actions, actions[1:]):
        action = entry.action
        if action.verb != "note" and not turned_on(action, after and after.action):
            what = _diagnosis(catalogue, done, action) if action.verb == "diagnose" else describe(catalogue, action)
            remarks = (*_cured(catalogue, grade, done, action), *_proven(grade, entry))
            number = int(entry.data["n"])
            remarks += (predicted[number],) if number in predicted else ()
            told.append(Told(entry, what, steps.get(number), remarks, tuple((sound or {}).get(number, ()))))
        done.append(action)
    return told


def _diagnosis(catalogue: Catalogue, done: list[Action], action: Action) -> str:
    """A diagnosis in words, and how it changes earlier ones."""
    stood = [done[index].text(0) for index in standing(done)]
    names = {"fault": _(catalogue.faults[action.text(0)].name), "sure": action.number(1)}
    if not stood or action.arguments[2:] == (ALSO,):
        return describe(catalogue, action)
    if stood == [action.text(0)]:
        return say("the same diagnosis once more: {fault}, {sure:g} % sure", **names)
    before = ", ".join(_(catalogue.faults[name].name) for name in stood)
    return say("new diagnosis: {fault}, {sure:g} % sure, in place of: {before}", **names, before=before)


def _cured(catalogue: Catalogue, grade: Grade, done: list[Action], action: Action) -> list[str]:
    """Remarks about faults that this action was the first to cure."""
    earlier = {name for one in done for name in repairs_in(catalogue, one)}
    now = repairs_in(catalogue, action)
    faults = [catalogue.faults[name] for name in grade.truth]
    return [
        say("That cured it: {fault}.", fault=_(fault.name))
        for fault in faults
        if cures(fault) & now and not cures(fault) & earlier
    ]


def _proven(grade: Grade, entry: RecordEntry) -> list[str]:
    """Remark on whether the readings of an action speak for the repair."""
    found = [one for one in grade.proof.findings if one.n == int(entry.data["n"])]
    if not found:
        return []
    if all(one.proves for one in found):
        return [_("That speaks for the repair.")]
    return [_("That speaks against the repair.")]
