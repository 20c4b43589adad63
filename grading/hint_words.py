"""The words of hints: a question, a pointer, an explanation, for each kind of moment in a job."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from grading.belief import Hypotheses, entropy
from grading.reference import Option, expect
from grading.session import Session
from scenarios.actions import Action
from scenarios.model import NEEDS, PLACES, STATES, SYSTEMS, Fault, ReadingSpec
from sim.instruments import INSTRUMENTS, Display

STANDS = 0.03
"""Belief from which a system or part is worth naming."""
GONE = 0.01
"""Belief below which a system is as good as ruled out."""
MOST_GROUPS = 4
TOLD_MOST = 3
PROOF = "vent-temperature"
"""The check that proves a repair."""


@dataclass(frozen=True)
class Ladder:
    """about: id of a check, or the kind of moment; rungs: question, pointer, explanation."""

    about: str
    rungs: tuple[str, str, str]


@dataclass(frozen=True)
class Told:
    """What one action told: minute; its readings in words; belief before and after (faults,)."""

    minute: float
    shown: str
    before: np.ndarray
    after: np.ndarray

    @property
    def bits(self) -> float:
        """Information it brought [bit]: the relative entropy of belief after it against belief before."""
        after, before = np.maximum(self.after, 1e-12), np.maximum(self.before, 1e-12)
        return float(np.sum(after * np.log2(after / before)))


def listed(names: list[str], last: str = "or") -> str:
    """Names in a sentence.

    >>> listed(["a", "b", "c"])
    'a, b or c'
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}"


def by_system(faults: list[Fault], belief: np.ndarray) -> dict[str, float]:
    """Belief in each system, in the order of SYSTEMS."""
    total: dict[str, float] = dict.fromkeys(SYSTEMS, 0.0)
    for fault, p in zip(faults, belief, strict=True):
        total[fault.system] += float(p)
    return total


def _system(name: str) -> str:
    return "nothing at all" if name == SYSTEMS[-1] else f"“{name}”"


def _minutes(value: float) -> str:
    return "1 minute" if value == 1.0 else f"{value:g} minutes"


def _where(place: str) -> str:
    return {PLACES[0]: "in the driver's seat", PLACES[1]: "in the engine bay"}.get(place, place)


def _first(action: Action) -> str:
    """A preparation in words."""
    match action.verb, action.arguments:
        case "set", (control, value):
            return f"{control} on {value:g}" if isinstance(value, float) else f"{control} on {value}"
        case "engine", _:
            return "engine started"
        case "drive", (minutes, kmh):
            return f"a drive of {float(minutes):g} minutes at {float(kmh):g} km/h"
        case "rev", (rpm, _):
            return f"engine held at {float(rpm):g} rpm"
        case "ignition", (position,):
            return "ignition at run" if position == "on" else "engine off"
        case _:
            return " ".join([action.verb, *map(str, action.arguments)])


# -- the check that would tell most ------------------------------------------------------------------------------------


def check_ladder(hypotheses: Hypotheses, best: Option) -> Ladder:
    """The check to take next: what it must part, where to look, what it would show and why that tells."""
    check, belief = best.check, hypotheses.belief()
    systems = [name for name, p in by_system(hypotheses.faults, belief).items() if p >= STANDS]
    if len(systems) > 1:
        named = listed([_system(name) for name in systems])
        question = f"Your readings leave trouble in {named}. Where would the vehicle behave differently between them?"
    else:
        question = (
            "All that is left lies in one system. Which of its parts could behave so, and where would they differ?"
        )
    if any(action.verb == "drive" for action in best.before):
        question += " And in what state must the vehicle be to show it?"
    before = [_first(action) for action in best.before]
    pointer = f"It can be told {_where(check.place)}, with: {check.tool}."
    pointer += f" First: {listed(before, 'and')}." if before else " The vehicle can stay as it is."
    total = float(entropy(belief))
    explanation = f"{check.name}, {_minutes(check.minutes)}. {_expected(hypotheses, best)}"
    explanation += f" It can be expected to bring {best.bits:.1f} bit of the {total:.1f} bit still open."
    if check.best_when:
        explanation += f" It tells most with {listed([STATES[name] for name in check.best_when], 'and')}."
    return Ladder(check.id, (question, pointer, explanation))


def _expected(hypotheses: Hypotheses, best: Option) -> str:
    """What the check would show where the trouble lies here or there: by system, or by part within one."""
    moment = hypotheses.copy()
    for action in best.before:
        moment.act(action)
    readings = moment.act(Action("check", (best.check.id,))).readings
    if not readings:
        return ""
    told = [expect(hypotheses, [(spec.instrument, true)])[0] for spec, true in readings]
    spec, true = readings[int(np.argmax(told))]
    for kind in ("system", "part", "name"):
        groups = _groups(hypotheses, kind)
        shown = {name: _typical(spec, true[mine], weights) for name, (mine, weights) in groups.items()}
        if len(set(shown.values())) > 1:
            told_alike: dict[str, list[str]] = {}
            for name, words in shown.items():
                told_alike.setdefault(words, []).append(_system(name))
            of = "with" if kind == "name" else "with trouble in"
            cases = [f"{of} {listed(names)}: {words}" for words, names in told_alike.items()]
            return f"Expected, {spec.label}: {'; '.join(cases)}."
    return "What it shows differs only by degree between what is still possible, yet no other check tells more."


def _groups(hypotheses: Hypotheses, kind: str) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Name of each system or part still believed in, to the indices of its vehicles and their weights."""
    weights = hypotheses.weights()
    names = np.array([getattr(fault, kind) for fault in hypotheses.faults])[hypotheses.label]
    total = {name: float(weights[names == name].sum()) for name in dict.fromkeys(names.tolist())}
    kept = sorted((name for name, p in total.items() if p >= STANDS), key=lambda name: -total[name])[:MOST_GROUPS]
    # in the order of the catalogue: the order must not tell what is likeliest
    return {name: (np.flatnonzero(names == name), weights[names == name]) for name in total if name in kept}


def _typical(spec: ReadingSpec, true: np.ndarray, weights: np.ndarray) -> str:
    """What a group of vehicles would show: the middle eight tenths of a figure, or the word most of them give."""
    instrument = INSTRUMENTS[spec.instrument]
    steps = np.array([instrument.read(float(value), 0.5) for value in true])
    if isinstance(instrument, Display):
        order = np.argsort(steps, kind="stable")
        share = np.cumsum(weights[order]) / weights.sum()
        low, high = (int(steps[order][min(int(np.searchsorted(share, q)), len(steps) - 1)]) for q in (0.1, 0.9))
        most, least = instrument.show(high), f"{instrument.value(low):.{instrument.decimals}f}"
        return most if low == high else f"{least} to {most}"
    counts = np.bincount(steps, weights) / weights.sum()
    likeliest = np.argsort(-counts, kind="stable")
    words = [instrument.show(int(k)) for k in likeliest[: 1 if counts[likeliest[0]] >= 0.6 else 2] if counts[k] > 0.1]
    return listed(words)


# -- other moments -----------------------------------------------------------------------------------------------------


def diagnose_ladder(hypotheses: Hypotheses, told: list[Told]) -> Ladder:
    """Nothing more is worth checking: what the readings rule out, without naming what they leave."""
    belief = hypotheses.belief()
    left = int(np.sum(belief >= STANDS))
    question = "No further check is worth its minutes. What do your readings rule out, and how sure does that make you?"
    pointer = f"Go through the suspects: of {len(belief)} faults, {left} still {'fits' if left == 1 else 'fit'}."
    best = sorted(told, key=lambda one: -one.bits)[:TOLD_MOST]
    lines = [_speaks(hypotheses.faults, one) for one in sorted(best, key=lambda one: one.minute) if one.bits > 0.05]
    explanation = " ".join(["What told most.", *lines, "Declare what is left, as sure as that makes you."])
    return Ladder("diagnose", (question, pointer, explanation))


def _speaks(faults: list[Fault], one: Told) -> str:
    before, after = by_system(faults, one.before), by_system(faults, one.after)
    gone = [_system(name) for name in SYSTEMS if before[name] >= STANDS and after[name] < GONE]
    ruled_out = f" It rules out {listed(gone, 'and')}." if gone else ""
    return f"Minute {one.minute:.0f}, {one.shown}: {one.bits:.1f} bit.{ruled_out}"


def doubt_ladder(hypotheses: Hypotheses, declared: int, told: list[Told], best: Option | None) -> Ladder:
    """A diagnosis that the readings do not bear out."""
    name = hypotheses.faults[declared].name
    question = f"You declared: {name}. Which of your readings would surprise you if it were so?"
    against = [(_lost_bits(one, declared), one) for one in told]
    worst, one = max(against, key=lambda pair: pair[0], default=(0.0, None))
    if one is not None and worst > 0.5:
        pointer = f"Look again at minute {one.minute:.0f}, {one.shown}."
        explanation = f"It made “{name}” {_times(2.0**worst)} less likely than it was before."
    else:
        pointer = "No reading speaks against it, but hardly any speaks for it."
        explanation = f"Your readings make “{name}” no likelier than before you began."
    if best is not None:
        explanation += f" More telling now: {best.check.name}, {_where(best.check.place)}."
    return Ladder(f"doubt {hypotheses.faults[declared].id}", (question, pointer, explanation))


def _lost_bits(one: Told, fault: int) -> float:
    """By how many halvings the belief in a fault fell [bit]."""
    return float(np.log2(max(one.before[fault], 1e-12) / max(one.after[fault], 1e-12)))


def _times(factor: float) -> str:
    return f"{factor:.0f} times" if factor < 1000.0 else "more than a thousand times"


def repair_ladder(session: Session, fault: Fault) -> Ladder:
    """A diagnosis that the readings bear out, and nothing repaired yet."""
    question = "What puts right what you declared, and what must be so before you begin?"
    pointer = f"The repairs are sorted by place. Look for what renews or restores: {fault.part}."
    known = [session.catalogue.repairs[name] for name in fault.cured_by if name in session.catalogue.repairs]
    fitting = [repair for repair in known if repair.fits(session.vehicle)]
    explanation = " ".join(
        f"{repair.name}, {_minutes(repair.minutes)}, with {listed([NEEDS[need] for need in repair.needs], 'and')}."
        if repair.needs
        else f"{repair.name}, {_minutes(repair.minutes)}."
        for repair in fitting
    )
    return Ladder("repair", (question, pointer, explanation))


def after_work(session: Session, about: str, missing: list[str] | None = None) -> Ladder:
    """What is left once it is repaired, or nothing needs repair: to prove it, write it up, hand back the keys."""
    warm = f"{session.job.warm_enough_C:.0f} °C"
    proof = session.catalogue.checks.get(PROOF)
    rungs = {
        "prove": (
            "How will you and the customer know that it is right now?",
            "The complaint was felt in the cabin. Measure there, in the state in which it was felt.",
            f"With a warm engine, the heater at full hot and the blower on, the vents must give {warm}. "
            f"The check: {proof.name if proof else 'the air at the vents'}.",
        ),
        "write": (
            "What should the next person at this vehicle be able to read?",
            f"Not written up yet: {listed(missing or ['nothing'], 'and')}.",
            "Each in three words or more: what was found to be wrong, which part failed and how, what was done and "
            "what proved it.",
        ),
        "handback": (
            "Is there anything left that the customer would miss?",
            "What can be declared, repaired and proven is so.",
            "Hand back the keys.",
        ),
    }
    return Ladder(about, rungs[about])
