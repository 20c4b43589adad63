"""Whether a repair is proven: what the customer complained of was looked at after it, and is gone.

A reading is held against two twins of the vehicle, one without a fault and one unrepaired, that go through the same
record and are read by the same instrument at the same moment. Where the instrument cannot tell the twins apart the
reading proves nothing, for then the unrepaired vehicle would have passed too. No fault is known by its name here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from grading.marks.told_apart import Verge, tells, verge
from grading.marks.twins import HEALTHY, OWN, Twins
from grading.marks.what_counts import (
    COUNTS,
    LEAST_RUN,
    LEVELS,
    complaints_of,
    named_proof,
)
from grading.marks.work import first_after_work, repairs_done
from grading.sessions.perception import SENSES
from grading.sessions.record import Entry
from scenarios.actions import PHYSICAL
from scenarios.language import Listed, Message, Shown, Text
from scenarios.model import Catalogue, Job
from scenarios.workshop import Performed, Workshop
from sim.observation.instruments import INSTRUMENTS
from sim.vehicle import states as st

SURE = 0.95
"""Share of unrepaired vehicles that would have shown a fault that comes and goes, from which its absence is proof."""
COLD_START_C, SOON_MINUTES, IDLED_MINUTES = 40.0, 20.0, 5.0
"""With nothing wrong: what an engine starts from at most to be cold [degC], within what time of that start warmth comes
soon, and how long an engine must have idled [min] (all ours)."""


@dataclass(frozen=True)
class Finding:
    """A reading that was held against the twins.

    n: of the record's line; complaint: key of ``scenarios.model.COMPLAINTS``; label, shown: as the record has them;
    limit: as the instrument would show it, empty for words; good: whether it is on the healthy side, or is not only by
    the instrument's error, for nobody fails by that; by_chance: whether it is though the vehicle is not.
    """

    n: int
    complaint: str
    label: str
    shown: str
    limit: str
    good: bool
    by_chance: bool = False

    @property
    def proves(self) -> bool:
        """Whether it speaks for the repair: a lucky reading of a vehicle that is still ill does not."""
        return self.good and not self.by_chance


@dataclass(frozen=True)
class Proof:
    """proven: whether the repair is; findings: the readings that counted, in order; missing: for each complaint that is
    not proven gone why not.
    """

    proven: bool
    findings: tuple[Finding, ...] = ()
    missing: tuple[Text, ...] = ()

    @property
    def why_not(self) -> Text:
        """Why it is not proven, in one sentence."""
        return Listed(self.missing, "; ")


UNPROVEN = Proof(False)
"""Of a record whose proof nobody has looked at."""


@dataclass
class _Trial:
    """What speaks for and against one complaint being gone.

    named: check and quantity of readings that count beside the complaint's own; shown (n,): which vehicles would have
    shown it so far; blind: the last reading that the twins would have shared; again: when the own vehicle showed it
    once more [min]; too_soon: whether a level was read before the engine had run enough.
    """

    kind: str
    named: frozenset[tuple[str, str]]
    shown: np.ndarray
    findings: list[Finding] = field(default_factory=list)
    blind: tuple[str, str] | None = None
    again: float | None = None
    too_soon: bool = False


def prove(catalogue: Catalogue, job: Job, seed: int, actions: list[Entry]) -> Proof:
    """Whether a record's actions prove its repair. Raises PhysicsFailed, and NotPossible for what cannot be done."""
    start, kinds = first_after_work(catalogue, actions), complaints_of(job)
    if not any(entry.data["verb"] in PHYSICAL for entry in actions[start:]):
        return Proof(False, (), tuple(_unread(kind) for kind in kinds))
    twins = Twins(catalogue, job, seed)
    fleet = twins.workshop.fleet
    repairs = repairs_done(actions)
    trials = [_Trial(kind, named_proof(catalogue, job, kind, repairs), np.zeros(len(fleet), bool)) for kind in kinds]
    ran = twins.ran_minutes
    for k, entry in enumerate(actions):
        if k == start:
            ran = twins.ran_minutes
            if watched := [one for one in trials if twins.comes_and_goes or COUNTS[one.kind].watched]:
                twins.watch(_looks(watched))
        if entry.data["verb"] not in PHYSICAL:
            continue
        done = twins.perform(entry.action)
        if k >= start:
            for trial in trials:
                for seen in _seen(entry, done, twins, trial, ran):
                    _weigh(trial, entry, seen, twins)
    missing = tuple(why for trial in trials if (why := _missing(trial, twins, len(trials) > 1)) is not None)
    return Proof(not missing, tuple(f for trial in trials for f in trial.findings), missing)


@dataclass(frozen=True)
class _Seen:
    """A reading, or what was noticed: label, instrument's name, display step, its words, true quantities (n,), and
    whether it must be ignored because the engine has not run enough since the work.
    """

    label: str
    instrument: str
    step: int
    shown: str
    true: np.ndarray
    too_soon: bool = False


def _seen(entry: Entry, done: Performed, twins: Twins, trial: _Trial, ran: float) -> Iterator[_Seen]:
    """What an entry holds that counts for a complaint; ran: minutes the engine had run when the work was done."""
    counts, source = COUNTS[trial.kind], entry.action.text(0) if entry.data["verb"] == "check" else ""
    readings = entry.data.get("readings", ())
    if len(readings) == len(done.readings):
        for read, (spec, true, _minute) in zip(readings, done.readings, strict=True):
            if spec.quantity in counts.quantities or (source, spec.quantity) in trial.named:
                early = spec.quantity in LEVELS and twins.ran_minutes - ran < LEAST_RUN
                yield _Seen(read["label"], spec.instrument, int(read["step"]), read["shown"], true, early)
    if not counts.felt:
        return
    for noticed in entry.data.get("noticed", ()):
        if noticed["label"] == counts.sense:
            sense = SENSES[noticed["label"]]
            true = sense.quantity(twins.workshop.fleet)
            yield _Seen(noticed["label"], sense.counts_by, int(noticed["step"]), noticed["shown"], true)


def _weigh(trial: _Trial, entry: Entry, seen: _Seen, twins: Twins) -> None:
    """Hold a reading against the twins."""
    if seen.too_soon:
        trial.too_soon = True
        return
    line, told = _told(seen.instrument, seen.true, twins)
    if not told.any() or not (twins.faulty or _in_condition(trial.kind, twins.workshop)):
        trial.blind = (seen.label, seen.shown)
        return
    trial.shown |= told
    passes, truly = line.passes(seen.step), line.holds(float(seen.true[OWN]))
    n, limit = int(entry.data["n"]), line.limit if passes or not truly else ""
    trial.findings.append(Finding(n, trial.kind, seen.label, seen.shown, limit, passes or truly, passes and not truly))


def _told(name: str, true: np.ndarray, twins: Twins) -> tuple[Verge, np.ndarray]:
    """What counts as healthy by an instrument, and which of the vehicles (n,) it tells from the healthy one.

    With nothing wrong there is none to tell from it: all count where the healthy one is surely read as such.
    """
    instrument, healthy = INSTRUMENTS[name], float(true[HEALTHY])
    outside = float(twins.workshop.fleet.controls["ambient_C"][HEALTHY])
    told = np.zeros(len(true), bool)
    if not twins.faulty:
        line = verge(instrument, healthy, healthy, outside)
        told[OWN + 1 :] = line.chance(healthy) >= SURE
        return line, told
    nearest = verge(instrument, healthy, healthy, outside)
    distance = np.inf
    for k in range(OWN + 1, len(true)):
        line = verge(instrument, healthy, float(true[k]), outside)
        told[k] = tells(line, healthy, float(true[k]))
        if told[k] and abs(true[k] - healthy) < distance:
            nearest, distance = line, abs(float(true[k]) - healthy)
    return nearest, told


def _in_condition(kind: str, workshop: Workshop) -> bool:
    """With nothing wrong no twin tells whether the state is the one complained of; the engine's own clocks do."""
    fleet = workshop.fleet
    trip = fleet.switches[HEALTHY]
    if kind == "slow":
        return bool(trip["started_C"] <= COLD_START_C and trip["ran_s"] <= SOON_MINUTES * 60.0)
    if kind == "cold at idle":
        return bool(fleet.controls["kmh"][HEALTHY] == 0.0 and trip["idled_s"] >= IDLED_MINUTES * 60.0)
    return bool(fleet.state[HEALTHY, st.RUN] > 0.0)


def _looks(trials: list[_Trial]) -> Callable[[Workshop], None]:
    """What somebody in the vehicle would notice while time passes, trial by trial."""

    def look(workshop: Workshop) -> None:
        for trial in trials:
            sense = SENSES.get(COUNTS[trial.kind].sense)
            if sense is None or workshop.place not in sense.places or not sense.when(workshop):
                continue
            true, instrument = sense.quantity(workshop.fleet), INSTRUMENTS[sense.counts_by]
            outside = float(workshop.fleet.controls["ambient_C"][HEALTHY])
            healthy = float(true[HEALTHY])
            kinds, place = np.unique(np.round(true, 3), return_inverse=True)  # most vehicles show one of a few
            told = [tells(verge(instrument, healthy, float(x), outside), healthy, float(x)) for x in kinds]
            shown = np.array(told)[place]
            trial.shown |= shown
            if shown[OWN] and trial.again is None:
                trial.again = workshop.minute

    return look


def _missing(trial: _Trial, twins: Twins, beside: bool) -> Text | None:
    """Why a complaint is not proven gone; None where it is. beside: whether the customer had another complaint."""
    found, share = trial.findings, float(trial.shown[OWN + 1 :].mean())
    if trial.again is not None:
        return Message("the complaint came back at minute {minute:.0f}", minute=trial.again)
    last = [one for one in found if one.n == found[-1].n] if found else []
    bad = next((one for one in (found if twins.comes_and_goes else last) if not one.proves), None)
    if bad is not None:
        return _against(bad)
    if share >= SURE or (beside and COUNTS[trial.kind].beside):
        return None
    if share > 0.0:
        return Message(
            "only {share:.0%} of unrepaired vehicles would have shown it in that time, {least:.0%} are wanted",
            share=share,
            least=SURE,
        )
    if trial.blind is not None:
        label, shown = trial.blind
        return Message(
            "{label}: {shown}, and an unrepaired vehicle would have shown the same in that state",
            label=label,
            shown=Shown(shown),
        )
    if trial.too_soon:
        return Message(
            "the level was read too soon, the engine must first run for {minutes:.0f} minutes", minutes=LEAST_RUN
        )
    return _unread(trial.kind)


def _against(one: Finding) -> Text:
    """A reading that does not prove the repair, as a reason."""
    values = {"label": one.label, "shown": Shown(one.shown)}
    if one.by_chance:
        return Message("{label}: {shown} by chance, a second reading would have shown the complaint", **values)
    if one.limit:
        return Message("{label}: {shown}, the limit was {limit}", **values, limit=Shown(one.limit))
    return Message("{label}: {shown}", **values)


def _unread(kind: str) -> Text:
    return Message("no reading after the last work shows: {what}", what=COUNTS[kind].says)
