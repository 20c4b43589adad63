"""A grade explained in at most ten lines, for the person who was marked and for whoever hears an appeal.

Critical errors come first, then the readings that told most, the diagnosis, the repair and its proof, what came of it
in the month after, and what cost marks.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from grading.marks.grade import Grade
from grading.marks.replay import Step
from grading.marks.work import is_left
from grading.report.action_words import describe
from grading.report.afterwards import afterwards
from grading.sessions.record import RecordEntry
from scenarios.language import Message, Text, _, plural, say, shown
from scenarios.model import Catalogue, Fault

MOST_LINES = 9
"""Lines of an explanation; the record's name and verdict stand above them."""
TELLING = 0.05
"""Change of belief, summed over all faults, below which a reading is not worth a line [-]."""
LIKELY = 0.05
"""Belief from which a fault counts as likely [-]."""
MOST_READINGS = 3
"""Readings of one check that are told."""
MOST_REPAIRS = 4
"""Repairs that are told."""
MOST_ALIKE = 2
"""Reasons of one kind that are told."""
LEAST_LOSS = 0.05
"""Marks below which a loss is not told."""


def explanation(catalogue: Catalogue, entries: list[RecordEntry], grade: Grade) -> list[str]:
    """Sentences in the language chosen, MOST_LINES at most; entries: of the record, as its replay gives them."""
    actions = [entry for entry in entries if entry.kind == "action"]
    critical = [_(what) for what in grade.critical]
    before = [say("Critical error: {what}. That rules out a pass.", what="; ".join(critical))] if critical else []
    after = [
        _diagnosis(catalogue, actions, grade),
        f"{_repair(catalogue, actions, grade)} {_proof(grade)}",
        " ".join(afterwards(grade)),
        *_costs(grade),
    ]
    steps = _telling_steps(grade.steps, MOST_LINES - len(before) - len(after))
    return [*before, *(_step(catalogue, grade, step) for step in steps), *after]


def _time(minutes: float) -> str:
    """Hours and minutes since the job began.

    >>> _time(64.2)
    '1:04'
    """
    return f"{int(minutes) // 60}:{int(minutes) % 60:02}"


def _chance(chance: float) -> str:
    """A chance as it is said aloud.

    >>> _chance(0.87), _chance(0.01), _chance(1.0)
    ('about 9 in 10', 'hardly likely', 'certain')
    """
    tenths = round(10.0 * chance)
    if chance >= 0.95:
        return _("certain") if chance >= 0.995 else _("nearly certain")
    return say("about {n} in 10", n=tenths) if tenths else _("hardly likely")


def _first(texts: list[str], left_out: int) -> list[str]:
    """All texts, or without the last ones and their number instead."""
    if left_out <= 0:
        return texts
    return [*texts[:-left_out], plural(left_out, "one more", "{n} more")]


def _change(step: Step) -> float:
    return float(abs(step.after - step.before).sum())


def _telling_steps(steps: list[Step], most: int) -> list[Step]:
    """The checks that changed the belief most, in the order in which they were made."""
    checks = [step for step in steps if step.shown and _change(step) >= TELLING]
    chosen = sorted(checks, key=lambda step: (-_change(step), step.number))[: max(most, 0)]
    return sorted(chosen, key=lambda step: step.number)


def _step(catalogue: Catalogue, grade: Grade, step: Step) -> str:
    told = [f"{_(label)} {shown(reading)}" for label, reading in step.shown]
    told = _first(told, len(told) - MOST_READINGS)
    if len(step.shown) == 1:  # the check's name says what was read
        told = [shown(step.shown[0][1])]
    what = describe(catalogue, step.action)
    return f"{_time(step.minute)}  {what[:1].upper()}{what[1:]}: {', '.join(told)}. {_told_by(grade, step)}"


def _told_by(grade: Grade, step: Step) -> str:
    """The fault whose belief a step moved most, and how many were likely after it."""
    change = step.after - step.before
    k = int(np.argmax(abs(change)))
    fault = _(grade.faults[k].name)
    spoke = say("That spoke for: {fault}.", fault=fault)
    if change[k] < 0.0:
        spoke = say("That spoke against: {fault}.", fault=fault)
    before, left = (int((belief >= LIKELY).sum()) for belief in (step.before, step.after))
    if not 0 < left < before:
        return spoke
    return spoke + " " + plural(left, "One fault was still likely.", "{n} faults were still likely.")


def _diagnosis(catalogue: Catalogue, actions: list[RecordEntry], grade: Grade) -> str:
    said = [entry for entry in actions if entry.data["verb"] == "diagnose"]
    real = ", ".join(_(catalogue.faults[name].name) for name in grade.truth)
    if not said or grade.belief is None:
        return say("No diagnosis was declared. It was: {faults}.", faults=real)
    action = said[-1].action
    told = say(
        "Diagnosis: {fault}, stated as {sure}; from the readings it was {earned}.",
        fault=_(catalogue.faults[action.text(0)].name),
        sure=_chance(action.number(1) / 100.0),
        earned=_chance(grade.belief),
    )
    told = f"{_time(float(said[-1].data['minute']))}  {told}"
    if action.text(0) in grade.truth:
        return told + " " + _("That was right.")
    if set(grade.group) & set(grade.truth):
        return told + " " + say("It was: {faults}; no check tells them apart, so it counts as right.", faults=real)
    return told + " " + say("That was wrong. It was: {faults}.", faults=real)


def _repair(catalogue: Catalogue, actions: list[RecordEntry], grade: Grade) -> str:
    done = list(dict.fromkeys(entry.action.text(0) for entry in actions if entry.data["verb"] == "repair"))
    curable = _curable(catalogue, grade)
    cure = {name for fault in curable for name in (*fault.cured_by, *fault.cured_in_passing)}
    names = [_(catalogue.repairs[name].name) for name in sorted(done, key=lambda name: name not in cure)]
    told = _("Nothing was repaired.")
    if done:
        told = say("Repaired: {repairs}.", repairs=", ".join(_first(names, len(names) - MOST_REPAIRS)))
    work = [entry.action for entry in actions]
    left = [fault for fault in curable if is_left(catalogue, work, fault)]
    if not left:
        return told + " " + _("That cured it.") if done and curable else told
    cures = [_(catalogue.repairs[fault.cured_by[0]].name) for fault in left if fault.cured_by]
    return told + " " + say("What would have cured it: {repairs}.", repairs=", ".join(dict.fromkeys(cures)))


def _curable(catalogue: Catalogue, grade: Grade) -> list[Fault]:
    """Faults of the vehicle that some repair cures."""
    faults = [catalogue.faults[name] for name in grade.truth]
    return [fault for fault in faults if fault.cured_by or fault.cured_in_passing]


def _proof(grade: Grade) -> str:
    """The reading that proved the work, or why none did."""
    if not grade.proof.proven:
        return say("Not proven: {why}.", why=_(grade.proof.why_not))
    good = [one for one in grade.proof.findings if one.good]
    if not good:
        return _("Proven.")
    told = {"label": _(good[-1].label), "shown": shown(good[-1].shown)}
    if not good[-1].limit:
        return say("Proven: {label} {shown}.", **told)
    return say("Proven: {label} {shown}, the limit was {limit}.", limit=shown(good[-1].limit), **told)


def _costs(grade: Grade) -> list[str]:
    """What cost marks, the dearest first, and why."""
    lost = {_(name): (100.0 - value) * grade.weights[name] / 100.0 for name, value in grade.criteria.items()}
    lost[_("hints")] = grade.hints
    kept = 100.0 - sum(lost.values())
    lost[_("critical error")] = max(kept, 0.0) - grade.total  # the total is held down to what such an error leaves
    dearest = sorted(((marks, name) for name, marks in lost.items() if marks >= LEAST_LOSS), key=lambda one: -one[0])
    if not dearest:
        return [_("No marks were lost.")]
    parts = [say("{name} {marks:.1f}", name=name, marks=marks) for marks, name in dearest]
    told = [say("What it cost, of 100 marks: {parts}.", parts=", ".join(parts))]
    if grade.reasons:
        told.append(say("Why: {reasons}.", reasons="; ".join(_reasons(grade.reasons))))
    return told


def _reasons(reasons: list[Text]) -> list[str]:
    """Reasons in words, a few of each kind: who fits every part there is loses marks for each."""
    kinds = Counter[str]()
    told = []
    for reason in reasons:
        kind = reason.template if isinstance(reason, Message) else str(reason)
        kinds[kind] += 1
        if kinds[kind] <= MOST_ALIKE:
            told.append(_(reason))
    left_out = sum(max(n - MOST_ALIKE, 0) for n in kinds.values())
    return [*told, plural(left_out, "one more", "{n} more")] if left_out else told
