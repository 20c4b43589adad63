"""Explanation of a grade in at most ten lines, for the candidate and for appeals.

Critical errors come first, then the most informative readings, the diagnosis, the repair and its proof, the month after
hand-back, and lost marks.
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
"""Most lines of an explanation, below the line with the record's name and verdict."""
TELLING = 0.05
"""Change of belief, summed over all faults, below which a reading is left out [-]."""
LIKELY = 0.05
"""Least belief at which a fault counts as likely [-]."""
MOST_READINGS = 3
"""Most readings listed per check."""
MOST_REPAIRS = 4
"""Most repairs listed."""
MOST_ALIKE = 2
"""Most reasons of one kind."""
LEAST_LOSS = 0.05
"""Marks below which a loss is left out."""


def explanation(catalogue: Catalogue, entries: list[RecordEntry], grade: Grade) -> list[str]:
    """At most MOST_LINES sentences in the language chosen; entries: of the record, from its replay."""
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
    """A probability in words.

    >>> _chance(0.87), _chance(0.01), _chance(1.0)
    ('about 9 in 10', 'hardly likely', 'certain')
    """
    tenths = round(10.0 * chance)
    if chance >= 0.95:
        return _("certain") if chance >= 0.995 else _("nearly certain")
    return say("about {n} in 10", n=tenths) if tenths else _("hardly likely")


def _first(texts: list[str], left_out: int) -> list[str]:
    """The texts; the last ones are replaced by their number if some are to be left out."""
    if left_out <= 0:
        return texts
    return [*texts[:-left_out], plural(left_out, "one more", "{n} more")]


def _change(step: Step) -> float:
    return float(abs(step.after - step.before).sum())


def _telling_steps(steps: list[Step], most: int) -> list[Step]:
    """The checks that changed the belief most, in chronological order."""
    checks = [step for step in steps if step.shown and _change(step) >= TELLING]
    chosen = sorted(checks, key=lambda step: (-_change(step), step.number))[: max(most, 0)]
    return sorted(chosen, key=lambda step: step.number)


def _step(catalogue: Catalogue, grade: Grade, step: Step) -> str:
    readings = [f"{_(label)} {shown(reading)}" for label, reading in step.shown]
    readings = _first(readings, len(readings) - MOST_READINGS)
    if len(step.shown) == 1:  # the check's name implies the label
        readings = [shown(step.shown[0][1])]
    what = describe(catalogue, step.action)
    return f"{_time(step.minute)}  {what[:1].upper()}{what[1:]}: {', '.join(readings)}. {_effect_of(grade, step)}"


def _effect_of(grade: Grade, step: Step) -> str:
    """The fault whose belief a step changed most, and the number of likely faults after it."""
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
    sentence = say(
        "Diagnosis: {fault}, stated as {sure}; from the readings it was {earned}.",
        fault=_(catalogue.faults[action.text(0)].name),
        sure=_chance(action.number(1) / 100.0),
        earned=_chance(grade.belief),
    )
    sentence = f"{_time(float(said[-1].data['minute']))}  {sentence}"
    if action.text(0) in grade.truth:
        return sentence + " " + _("That was right.")
    if set(grade.group) & set(grade.truth):
        return sentence + " " + say("It was: {faults}; no check tells them apart, so it counts as right.", faults=real)
    return sentence + " " + say("That was wrong. It was: {faults}.", faults=real)


def _repair(catalogue: Catalogue, actions: list[RecordEntry], grade: Grade) -> str:
    done = list(dict.fromkeys(entry.action.text(0) for entry in actions if entry.data["verb"] == "repair"))
    curable = _curable(catalogue, grade)
    cure = {name for fault in curable for name in (*fault.cured_by, *fault.cured_in_passing)}
    names = [_(catalogue.repairs[name].name) for name in sorted(done, key=lambda name: name not in cure)]
    sentence = _("Nothing was repaired.")
    if done:
        sentence = say("Repaired: {repairs}.", repairs=", ".join(_first(names, len(names) - MOST_REPAIRS)))
    work = [entry.action for entry in actions]
    left = [fault for fault in curable if is_left(catalogue, work, fault)]
    if not left:
        return sentence + " " + _("That cured it.") if done and curable else sentence
    cures = [_(catalogue.repairs[fault.cured_by[0]].name) for fault in left if fault.cured_by]
    return sentence + " " + say("What would have cured it: {repairs}.", repairs=", ".join(dict.fromkeys(cures)))


def _curable(catalogue: Catalogue, grade: Grade) -> list[Fault]:
    """Faults of the vehicle that a repair can cure."""
    faults = [catalogue.faults[name] for name in grade.truth]
    return [fault for fault in faults if fault.cured_by or fault.cured_in_passing]


def _proof(grade: Grade) -> str:
    """The reading that proved the repair, or why none did."""
    if not grade.proof.proven:
        return say("Not proven: {why}.", why=_(grade.proof.why_not))
    good = [one for one in grade.proof.findings if one.good]
    if not good:
        return _("Proven.")
    values = {"label": _(good[-1].label), "shown": shown(good[-1].shown)}
    if not good[-1].limit:
        return say("Proven: {label} {shown}.", **values)
    return say("Proven: {label} {shown}, the limit was {limit}.", limit=shown(good[-1].limit), **values)


def _costs(grade: Grade) -> list[str]:
    """Lost marks and their reasons, largest loss first."""
    lost = {_(name): (100.0 - value) * grade.weights[name] / 100.0 for name, value in grade.criteria.items()}
    lost[_("hints")] = grade.hints
    kept = 100.0 - sum(lost.values())
    lost[_("critical error")] = max(kept, 0.0) - grade.total  # the cap that a critical error puts on the total
    dearest = sorted(((marks, name) for name, marks in lost.items() if marks >= LEAST_LOSS), key=lambda one: -one[0])
    if not dearest:
        return [_("No marks were lost.")]
    parts = [say("{name} {marks:.1f}", name=name, marks=marks) for marks, name in dearest]
    lines = [say("What it cost, of 100 marks: {parts}.", parts=", ".join(parts))]
    if grade.reasons:
        lines.append(say("Why: {reasons}.", reasons="; ".join(_reasons(grade.reasons))))
    return lines


def _reasons(reasons: list[Text]) -> list[str]:
    """Reasons in words, a few of each kind, as every needless part has one."""
    kinds = Counter[str]()
    lines = []
    for reason in reasons:
        kind = reason.template if isinstance(reason, Message) else str(reason)
        kinds[kind] += 1
        if kinds[kind] <= MOST_ALIKE:
            lines.append(_(reason))
    left_out = sum(max(n - MOST_ALIKE, 0) for n in kinds.values())
    return [*lines, plural(left_out, "one more", "{n} more")] if left_out else lines
