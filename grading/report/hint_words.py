"""Texts of hints: question, pointer and explanation for each stage of a job."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from grading.marks.what_counts import complaints_of, proof_check, what_counts
from grading.observer.information import expected_information
from grading.observer.particles import Particles, entropy
from grading.reference.options import CONFIRMS, VERIFIES, Option
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import N_, Listed, Message, Shown, Text
from scenarios.model import BAY, BENCH, CONDITIONS, DASH, NEEDS, ROAD, SEAT, SYSTEMS, Fault, ReadingSpec
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Display

STANDS = 0.03
"""Least belief at which a system or part is named."""
GONE = 0.01
"""Belief below which a system counts as ruled out."""
MOST_GROUPS = 4
TOLD_MOST = 3


@dataclass(frozen=True)
class Ladder:
    """The steps of a hint. about: id of a check, or the stage of the job; rungs: question, pointer, explanation."""

    about: str
    rungs: tuple[Text, Text, Text]


@dataclass(frozen=True)
class Told:
    """Evidence of one action: minute; readings in words; belief before and after (faults,)."""

    minute: float
    shown: Text
    before: np.ndarray
    after: np.ndarray

    @property
    def bits(self) -> float:
        """Information gained [bit]: the relative entropy of the belief after it to the belief before."""
        after, before = np.maximum(self.after, 1e-12), np.maximum(self.before, 1e-12)
        return float(np.sum(after * np.log2(after / before)))


OR, AND = N_(" or "), N_(" and ")


def by_system(faults: list[Fault], belief: np.ndarray) -> dict[str, float]:
    """Belief in each system, in the order of SYSTEMS."""
    total: dict[str, float] = dict.fromkeys(SYSTEMS, 0.0)
    for fault, p in zip(faults, belief, strict=True):
        total[fault.system] += float(p)
    return total


def _system(name: str) -> Text:
    return Message("nothing at all") if name == SYSTEMS[-1] else Message("“{name}”", name=name)


def _minutes(value: float) -> Text:
    return Message("1 minute") if value == 1.0 else Message("{minutes:g} minutes", minutes=value)


_WHERE = {
    SEAT: N_("in the driver's seat"),
    BAY: N_("in the engine bay"),
    DASH: N_("below the dash"),
    ROAD: N_("on a drive"),
    BENCH: N_("at the bench"),
}
"""Place of a check as part of a sentence."""


def _first(action: Action) -> Text:
    """A preparation in words."""
    match action.verb, action.arguments:
        case "set", (control, value):
            shown = f"{value:g}" if isinstance(value, float) else value
            return Message("{control} on {value}", control=str(control), value=shown)
        case "engine", _:
            return Message("engine started")
        case "drive", (minutes, kmh):
            return Message("a drive of {minutes:g} minutes at {speed:g} km/h", minutes=float(minutes), speed=float(kmh))
        case "rev", (rpm, _minutes_held):
            return Message("engine held at {rpm:g} rpm", rpm=float(rpm))
        case "wait", (minutes,):
            return Message("{minutes:g} minutes for the engine to cool", minutes=float(minutes))
        case "ignition", (position,):
            return Message("ignition at run") if position == "on" else Message("engine off")
        case _:
            return Message(f"{action.verb} {action.arguments[0]}" if action.arguments else action.verb)


# -- the check that would tell most ------------------------------------------------------------------------------------


def check_ladder(particles: Particles, best: Option) -> Ladder:
    """Ladder for the next check: what it must distinguish, where it is done, what it would show and why that helps."""
    check, belief = best.check, particles.belief()
    confirms = best.purpose == CONFIRMS
    systems = [name for name, p in by_system(particles.faults, belief).items() if p >= STANDS]
    if best.purpose == VERIFIES:
        question = Message("What does the customer complain of, and have you seen it for yourself?")
    elif confirms:
        question = Message("What points to the part that you suspect, and what would show the part itself?")
    elif len(systems) > 1:
        question = Message(
            "Your readings leave trouble in {systems}. Where would the vehicle behave differently between them?",
            systems=Listed(map(_system, systems), OR),
        )
    else:
        question = Message(
            "All that is left lies in one system. Which of its parts could behave so, and where would they differ?"
        )
    if any(action.verb == "drive" for action in best.before):
        question = Listed([question, Message("And in what state must the vehicle be to show it?")], " ")
    before = [_first(action) for action in best.before]
    pointer = Listed(
        [
            Message("It can be told {where}, with: {tool}.", where=_WHERE[check.place], tool=check.tool),
            Message("First: {steps}.", steps=Listed(before, AND))
            if before
            else Message("The vehicle can stay as it is."),
        ],
        " ",
    )
    total = float(entropy(belief))
    told = [Message("{check}, {minutes}.", check=check.name, minutes=_minutes(check.minutes))]
    if confirms:
        told.append(Message("It confirms what your readings point to before anything is repaired."))
    else:
        told += [expected] if (expected := _expected(particles, best)) else []
        bits = {"bits": best.bits, "open": total}
        told.append(Message("It can be expected to bring {bits:.1f} bit of the {open:.1f} bit still open.", **bits))
    if check.best_when:
        states = Listed((CONDITIONS[name] for name in check.best_when), AND)
        told.append(Message("It tells most with {states}.", states=states))
    return Ladder(check.id, (question, pointer, Listed(told, " ")))


def _expected(particles: Particles, best: Option) -> Text | None:
    """Predicted readings of the check by system, or by part within one system."""
    moment = particles.copy()
    for action in best.before:
        moment.act(action)
    readings = moment.act(Action("check", (best.check.id,))).readings
    if not readings:
        return None
    told = [expected_information(particles, [(spec.instrument, true)])[0] for spec, true, _ in readings]
    spec, true, _ = readings[int(np.argmax(told))]
    for kind in ("system", "part", "name"):
        groups = _groups(particles, kind)
        shown = {name: _typical(spec, true[mine], weights) for name, (mine, weights) in groups.items()}
        if len(set(shown.values())) > 1:
            told_alike: dict[Text, list[Text]] = {}
            for name, words in shown.items():
                told_alike.setdefault(words, []).append(_system(name))
            case = N_("with {names}: {words}") if kind == "name" else N_("with trouble in {names}: {words}")
            cases = [Message(case, names=Listed(names, OR), words=words) for words, names in told_alike.items()]
            return Message("Expected, {label}: {cases}.", label=spec.label, cases=Listed(cases, "; "))
    return Message(
        "What it shows differs only by degree between what is still possible, yet no other check tells more."
    )


def _groups(particles: Particles, kind: str) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Name of each system or part that is still possible to the indices of its particles and their weights."""
    weights = particles.weights()
    names = np.array([getattr(fault, kind) for fault in particles.faults])[particles.label]
    total = {name: float(weights[names == name].sum()) for name in dict.fromkeys(names.tolist())}
    kept = sorted((name for name, p in total.items() if p >= STANDS), key=lambda name: -total[name])[:MOST_GROUPS]
    # in catalogue order, so that the order does not give away the likeliest
    return {name: (np.flatnonzero(names == name), weights[names == name]) for name in total if name in kept}


def _typical(spec: ReadingSpec, true: np.ndarray, weights: np.ndarray) -> Text:
    """Typical reading of a group of particles: the middle 80 % of a figure, or the most frequent word."""
    instrument = INSTRUMENTS[spec.instrument]
    steps = np.array([instrument.read(float(value), 0.5) for value in true])
    if isinstance(instrument, Display):
        order = np.argsort(steps, kind="stable")
        share = np.cumsum(weights[order]) / weights.sum()
        low, high = (int(steps[order][min(int(np.searchsorted(share, q)), len(steps) - 1)]) for q in (0.1, 0.9))
        most, least = instrument.show(high), f"{instrument.value(low):.{instrument.decimals}f}"
        return Shown(most) if low == high else Message("{least} to {most}", least=Shown(least), most=Shown(most))
    counts = np.bincount(steps, weights) / weights.sum()
    likeliest = np.argsort(-counts, kind="stable")
    words = [instrument.show(int(k)) for k in likeliest[: 1 if counts[likeliest[0]] >= 0.6 else 2] if counts[k] > 0.1]
    return Listed(words, OR)


# -- other moments -----------------------------------------------------------------------------------------------------


def diagnose_ladder(particles: Particles, told: list[Told]) -> Ladder:
    """Ladder when no further check is worthwhile: what the readings rule out, without naming what remains."""
    belief = particles.belief()
    left = int(np.sum(belief >= STANDS))
    question = Message(
        "No further check is worth its minutes. What do your readings rule out, and how sure does that make you?"
    )
    numbers = {"number": len(belief), "left": left}
    pointer = (
        Message("Go through the suspects: of {number} faults, {left} still fits.", **numbers)
        if left == 1
        else Message("Go through the suspects: of {number} faults, {left} still fit.", **numbers)
    )
    best = sorted(told, key=lambda one: -one.bits)[:TOLD_MOST]
    lines = [_speaks(particles.faults, one) for one in sorted(best, key=lambda one: one.minute) if one.bits > 0.05]
    ends = Message("What told most."), Message("Declare what is left, as sure as that makes you.")
    explanation = Listed([ends[0], *lines, ends[1]], " ")
    return Ladder("diagnose", (question, pointer, explanation))


def _speaks(faults: list[Fault], one: Told) -> Text:
    before, after = by_system(faults, one.before), by_system(faults, one.after)
    gone = [_system(name) for name in SYSTEMS if before[name] >= STANDS and after[name] < GONE]
    told = Message("Minute {minute:.0f}, {shown}: {bits:.1f} bit.", minute=one.minute, shown=one.shown, bits=one.bits)
    return Listed([told, Message("It rules out {systems}.", systems=Listed(gone, AND))], " ") if gone else told


def doubt_ladder(particles: Particles, declared: int, told: list[Told], best: Option | None) -> Ladder:
    """Ladder for a diagnosis that the readings do not support."""
    name = particles.faults[declared].name
    question = Message("You declared: {fault}. Which of your readings would surprise you if it were so?", fault=name)
    against = [(_lost_bits(one, declared), one) for one in told]
    worst, one = max(against, key=lambda pair: pair[0], default=(0.0, None))
    if one is not None and worst > 0.5:
        pointer = Message("Look again at minute {minute:.0f}, {shown}.", minute=one.minute, shown=one.shown)
        times = _times(2.0**worst)
        explanation = Message("It made “{fault}” {times} less likely than it was before.", fault=name, times=times)
    else:
        pointer = Message("No reading speaks against it, but hardly any speaks for it.")
        explanation = Message("Your readings make “{fault}” no likelier than before you began.", fault=name)
    if best is not None:
        more = Message("More telling now: {check}, {where}.", check=best.check.name, where=_WHERE[best.check.place])
        explanation = Listed([explanation, more], " ")
    return Ladder(f"doubt {particles.faults[declared].id}", (question, pointer, explanation))


def _lost_bits(one: Told, fault: int) -> float:
    """Fall of the belief in a fault [bit]."""
    return float(np.log2(max(one.before[fault], 1e-12) / max(one.after[fault], 1e-12)))


def _times(factor: float) -> Text:
    return Message("{factor:.0f} times", factor=factor) if factor < 1000.0 else Message("more than a thousand times")


def repair_ladder(session: Session, fault: Fault) -> Ladder:
    """Ladder for a diagnosis that the readings support, before any repair."""
    question = Message("What puts right what you declared, and what must be so before you begin?")
    pointer = Message("The repairs are sorted by place. Look for what renews or restores: {part}.", part=fault.part)
    known = [session.catalogue.repairs[name] for name in fault.cured_by if name in session.catalogue.repairs]
    fitting = [repair for repair in known if repair.fits(session.vehicle)]
    explanation = Listed(
        [
            Message(
                "{repair}, {minutes}, with {needs}.",
                repair=repair.name,
                minutes=_minutes(repair.minutes),
                needs=Listed((NEEDS[need] for need in repair.needs), AND),
            )
            if repair.needs
            else Message("{repair}, {minutes}.", repair=repair.name, minutes=_minutes(repair.minutes))
            for repair in fitting
        ],
        " ",
    )
    return Ladder("repair", (question, pointer, explanation))


def after_work(session: Session, about: str, missing: list[str] | None = None) -> Ladder:
    """Ladder once the fault is repaired or nothing needs repair: prove it, write it up, hand back the keys."""
    proof = proof_check(session.catalogue, session.vehicle, complaints_of(session.job)[0])
    rungs = {
        "prove": (
            Message("How will you and the customer know that it is right now?"),
            Message("Look for what the customer complained of, in the state in which it was felt."),
            Listed(
                [
                    what_counts(session.job),
                    Message("The check: {check}.", check=proof.name if proof else N_("what the customer noticed")),
                ],
                " ",
            ),
        ),
        "write": (
            Message("What should the next person at this vehicle be able to read?"),
            Message("Not written up yet: {missing}.", missing=Listed(missing or [N_("nothing")], AND)),
            Message(
                "Each in three words or more: what was found to be wrong, which part failed and how, what was done and "
                "what proved it."
            ),
        ),
        "handback": (
            Message("Is there anything left that the customer would miss?"),
            Message("What can be declared, repaired and proven is so."),
            Message("Hand back the keys."),
        ),
    }
    return Ladder(about, rungs[about])
