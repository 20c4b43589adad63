"""Proof of a repair: readings after it show that the complaint is gone.

A reading is compared with two twins of the vehicle, one without faults and one unrepaired, that go through the same
record and are read by the same instrument at the same time. If the instrument cannot distinguish the twins, the reading
proves nothing, as the unrepaired vehicle would have passed as well. Nothing here depends on the id of a fault.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from grading.marks.healthy_range import HealthyRange, distinguishes, healthy_range
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
from grading.sessions.record import RecordEntry
from scenarios.actions import PHYSICAL
from scenarios.language import Listed, Message, Shown, Text
from scenarios.model import Catalogue, Job
from scenarios.workshop import Performed, Workshop
from sim.observation.instruments import INSTRUMENTS
from sim.vehicle import states as st

SURE = 0.95
"""Share of unrepaired vehicles that would have shown an intermittent fault, from which its absence is proof."""
COLD_START_C, SOON_MINUTES, IDLED_MINUTES = 40.0, 20.0, 5.0
"""For a healthy vehicle: highest temperature of a cold start [degC], time after it within which warmth is soon [min],
and least time of idling [min] (all ours)."""


@dataclass(frozen=True)
class Finding:
    """A reading compared with the twins.

    n: of the record's line; complaint: key of ``scenarios.model.COMPLAINTS``; label, shown: as recorded; limit: as the
    instrument would show it, empty for words; good: whether the reading or the true value is on the healthy side, as
    nobody fails by an instrument's error; by_chance: whether the reading is but the true value is not.
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
        """Whether it supports the repair: a reading that is good by chance does not."""
        return self.good and not self.by_chance


@dataclass(frozen=True)
class Proof:
    """proven: whether the repair is; findings: readings that counted, in order; missing: reason for each complaint that
    is not proven gone.
    """

    proven: bool
    findings: tuple[Finding, ...] = ()
    missing: tuple[Text, ...] = ()

    @property
    def why_not(self) -> Text:
        """Why it is not proven, in one sentence."""
        return Listed(self.missing, "; ")


UNPROVEN = Proof(False)
"""Proof of a record that was not evaluated."""


@dataclass
class _Evidence:
    """Evidence that one complaint is gone.

    named: check and quantity of readings that count in addition to the complaint's own; shown (n,): which vehicles
    would have shown it so far; blind: the last reading that does not distinguish the twins; again: time at which the
    own vehicle showed it again [min]; too_soon: whether a level was read before the engine had run long enough.
    """

    kind: str
    named: frozenset[tuple[str, str]]
    shown: np.ndarray
    findings: list[Finding] = field(default_factory=list)
    blind: tuple[str, str] | None = None
    again: float | None = None
    too_soon: bool = False


def prove(catalogue: Catalogue, job: Job, seed: int, actions: list[RecordEntry]) -> Proof:
    """Proof of the repair by a record's actions. Raises PhysicsFailed, and NotPossible for an impossible action."""
    start, kinds = first_after_work(catalogue, actions), complaints_of(job)
    if not any(entry.data["verb"] in PHYSICAL for entry in actions[start:]):
        return Proof(False, (), tuple(_unread(kind) for kind in kinds))
    twins = Twins(catalogue, job, seed)
    fleet = twins.workshop.fleet
    repairs = repairs_done(actions)
    trials = [_Evidence(kind, named_proof(catalogue, job, kind, repairs), np.zeros(len(fleet), bool)) for kind in kinds]
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
                    _compare(trial, entry, seen, twins)
    missing = tuple(why for trial in trials if (why := _missing(trial, twins, len(trials) > 1)) is not None)
    return Proof(not missing, tuple(f for trial in trials for f in trial.findings), missing)


@dataclass(frozen=True)
class _CountedReading:
    """A reading or perception that counts: label, instrument's name, display step, text, true values (n,), and whether
    it must be ignored because the engine has not run long enough since the work.
    """

    label: str
    instrument: str
    step: int
    shown: str
    true: np.ndarray
    too_soon: bool = False


def _seen(entry: RecordEntry, done: Performed, twins: Twins, trial: _Evidence, ran: float) -> Iterator[_CountedReading]:
    """Readings and perceptions of an entry that count for a complaint; ran: engine minutes when the work was done."""
    counts, source = COUNTS[trial.kind], entry.action.text(0) if entry.data["verb"] == "check" else ""
    readings = entry.data.get("readings", ())
    if len(readings) == len(done.readings):
        for read, (spec, true, _minute) in zip(readings, done.readings, strict=True):
            if spec.quantity in counts.quantities or (source, spec.quantity) in trial.named:
                early = spec.quantity in LEVELS and twins.ran_minutes - ran < LEAST_RUN
                yield _CountedReading(read["label"], spec.instrument, int(read["step"]), read["shown"], true, early)
    if not counts.felt:
        return
    for noticed in entry.data.get("noticed", ()):
        if noticed["label"] == counts.sense:
            sense = SENSES[noticed["label"]]
            true = sense.quantity(twins.workshop.fleet)
            yield _CountedReading(
                noticed["label"], sense.likelihood_instrument, int(noticed["step"]), noticed["shown"], true
            )


def _compare(trial: _Evidence, entry: RecordEntry, seen: _CountedReading, twins: Twins) -> None:
    """Compare a reading with the twins."""
    if seen.too_soon:
        trial.too_soon = True
        return
    line, distinguished = _range_and_distinguished(seen.instrument, seen.true, twins)
    if not distinguished.any() or not (twins.faulty or _in_condition(trial.kind, twins.workshop)):
        trial.blind = (seen.label, seen.shown)
        return
    trial.shown |= distinguished
    passes, truly = line.passes(seen.step), line.holds(float(seen.true[OWN]))
    n, limit = int(entry.data["n"]), line.limit if passes or not truly else ""
    trial.findings.append(Finding(n, trial.kind, seen.label, seen.shown, limit, passes or truly, passes and not truly))


def _range_and_distinguished(name: str, true: np.ndarray, twins: Twins) -> tuple[HealthyRange, np.ndarray]:
    """Healthy range of an instrument, and which of the vehicles (n,) it distinguishes from the healthy one.

    Without a fault there is no unrepaired vehicle: all count if the healthy one is surely read as healthy.
    """
    instrument, healthy = INSTRUMENTS[name], float(true[HEALTHY])
    outside = float(twins.workshop.fleet.controls["ambient_C"][HEALTHY])
    distinguished = np.zeros(len(true), bool)
    if not twins.faulty:
        line = healthy_range(instrument, healthy, healthy, outside)
        distinguished[OWN + 1 :] = line.chance(healthy) >= SURE
        return line, distinguished
    nearest = healthy_range(instrument, healthy, healthy, outside)
    distance = np.inf
    for k in range(OWN + 1, len(true)):
        line = healthy_range(instrument, healthy, float(true[k]), outside)
        distinguished[k] = distinguishes(line, healthy, float(true[k]))
        if distinguished[k] and abs(true[k] - healthy) < distance:
            nearest, distance = line, abs(float(true[k]) - healthy)
    return nearest, distinguished


def _in_condition(kind: str, workshop: Workshop) -> bool:
    """Whether the vehicle is in the condition complained of, by its own clocks; for jobs without a fault."""
    fleet = workshop.fleet
    trip = fleet.switches[HEALTHY]
    if kind == "slow":
        return bool(trip["started_C"] <= COLD_START_C and trip["ran_s"] <= SOON_MINUTES * 60.0)
    if kind == "cold at idle":
        return bool(fleet.controls["kmh"][HEALTHY] == 0.0 and trip["idled_s"] >= IDLED_MINUTES * 60.0)
    return bool(fleet.state[HEALTHY, st.RUN] > 0.0)


def _looks(trials: list[_Evidence]) -> Callable[[Workshop], None]:
    """Function that notes what a person in the vehicle perceives while time passes, for each complaint."""

    def look(workshop: Workshop) -> None:
        for trial in trials:
            sense = SENSES.get(COUNTS[trial.kind].sense)
            if sense is None or workshop.place not in sense.places or not sense.when(workshop):
                continue
            true, instrument = sense.quantity(workshop.fleet), INSTRUMENTS[sense.likelihood_instrument]
            outside = float(workshop.fleet.controls["ambient_C"][HEALTHY])
            healthy = float(true[HEALTHY])
            kinds, place = np.unique(np.round(true, 3), return_inverse=True)  # most vehicles have one of a few values
            distinguished = [
                distinguishes(healthy_range(instrument, healthy, float(x), outside), healthy, float(x)) for x in kinds
            ]
            shown = np.array(distinguished)[place]
            trial.shown |= shown
            if shown[OWN] and trial.again is None:
                trial.again = workshop.minute

    return look


def _missing(trial: _Evidence, twins: Twins, beside: bool) -> Text | None:
    """Why a complaint is not proven gone, None if it is; beside: whether the customer had another complaint."""
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
    """The reason given for a reading that does not prove the repair."""
    values = {"label": one.label, "shown": Shown(one.shown)}
    if one.by_chance:
        return Message("{label}: {shown} by chance, a second reading would have shown the complaint", **values)
    if one.limit:
        return Message("{label}: {shown}, the limit was {limit}", **values, limit=Shown(one.limit))
    return Message("{label}: {shown}", **values)


def _unread(kind: str) -> Text:
    return Message("no reading after the last work shows: {what}", what=COUNTS[kind].says)
