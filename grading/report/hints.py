"""Hints for the current state of a job, in steps: a question, a pointer, an explanation.

They rest on what the learner has seen: the observer's belief from the record, the most informative check per minute,
and its predicted readings. The vehicle's own fault is not used.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from copy import copy
from dataclasses import dataclass, field, replace
from functools import cached_property

from grading.marks.criteria import WRITTEN, written
from grading.marks.what_counts import COUNTS, WARM_AIR, ProofReading, complaints_of, read_since_work
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.reference.options import Option
from grading.reference.policy import advise
from grading.reference.preparation import WARM_UP_MINUTES, Readiness
from grading.report.hint_words import (
    Ladder,
    Told,
    after_work,
    check_ladder,
    diagnose_ladder,
    doubt_ladder,
    repair_ladder,
)
from grading.sessions.modes import RUNGS
from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.actions import PHYSICAL, Action
from scenarios.language import Listed, Message, Shown, Text

Progress = Callable[[float], None]
SUPPORTED = 0.5
"""Least belief in a declared fault at which the hint is to repair rather than to doubt."""
LOOKS_UP = 0.1
"""Interval at which a thread waiting for another hint can be cancelled [s]."""


@dataclass(frozen=True)
class Hint:
    """One step of a ladder as given. rung: of RUNGS; about: subject of the ladder; text."""

    rung: str
    about: str
    text: Text

    @property
    def action(self) -> Action:
        """The action that records it."""
        return Action("hint", (self.rung, self.about), self.text)


def given(entries: list[RecordEntry], ladder: Ladder) -> int:
    """Number of rungs of a ladder that are in the record."""
    rungs = [entry.action for entry in entries if entry.kind == "action" and entry.data["verb"] == "hint"]
    return max((RUNGS.index(a.text(0)) + 1 for a in rungs if a.text(1) == ladder.about), default=0)


def next_hint(entries: list[RecordEntry], ladder: Ladder) -> Hint | None:
    """The next rung, None if all have been given."""
    k = given(entries, ladder)
    return Hint(RUNGS[k], ladder.about, ladder.rungs[k]) if k < len(RUNGS) else None


@dataclass(frozen=True)
class _Followed:
    """Progress through a record. entries: number of actions replayed; now: the belief after them."""

    now: Particles
    entries: int = 0
    readiness: Readiness = field(default_factory=Readiness)
    done: frozenset[str] = frozenset()
    told: tuple[Told, ...] = ()


class Guide:
    """Tracks the observer's belief through a session's record up to the last hint requested.

    Thread-safe: one hint is computed at a time, and each entry is replayed once. The state is replaced atomically, so
    that it stays valid if the computation is cancelled.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self._one_at_a_time = threading.Lock()
        self._known: _Followed | None = None

    @cached_property
    def _trail(self) -> BeliefCache:
        return BeliefCache(Particles.sample_prior(self.session.catalogue, self.session.job), most=1)

    def ladder(self, progress: Progress = lambda share: None) -> Ladder:
        """The ladder of hints for the current state. Takes seconds. progress: called with 0..1, may raise to cancel.

        Waits while another thread computes one, then continues from its state.
        """
        while not self._one_at_a_time.acquire(timeout=LOOKS_UP):
            progress(0.0)
        try:
            return self._ladder(progress)
        finally:
            self._one_at_a_time.release()

    def _ladder(self, progress: Progress) -> Ladder:
        actions = [entry for entry in self.session.recorder.entries if entry.kind == "action"]
        known = self._follow(actions, progress)
        progress(0.8)
        session = self.session
        if session.repairs and self._proven(actions):
            missing = [kind for kind in WRITTEN if kind not in written(actions)]
            return after_work(session, "write" if missing else "handback", missing)
        if session.repairs and not self._measured_since_repair(actions):
            return after_work(session, "prove")
        if session.diagnosis and not session.repairs:
            return self._declared(known, session.diagnosis[0], actions)
        return _search(known)

    def _follow(self, actions: list[RecordEntry], progress: Progress) -> _Followed:
        """Update the belief to the end of the record."""
        known = self._known or _Followed(self._trail.start)
        first = known.entries
        for entry in actions[first:]:
            progress(0.1 + 0.7 * (known.entries - first) / (len(actions) - first))
            self._known = known = self._take_in(known, entry)
        return known

    def _take_in(self, known: _Followed, entry: RecordEntry) -> _Followed:
        action = entry.action
        if action.verb not in PHYSICAL:
            return replace(known, entries=known.entries + 1)
        after, performed = self._trail.after(known.now, action, entry.steps, entry.noticed)
        readiness, told = copy(known.readiness), known.told
        readiness.note(after.workshop, performed.minutes, action)
        seen = [*entry.data.get("readings", ()), *entry.data.get("noticed", ())]
        if seen:
            shown = Listed(Message("{label}: {shown}", label=r["label"], shown=Shown(r["shown"])) for r in seen)
            told = (*told, Told(float(entry.data["minute"]), shown, known.now.belief(), after.belief()))
        done = known.done | {action.text(0)} if action.verb == "check" else known.done
        return _Followed(after, known.entries + 1, readiness, done, told)

    def _declared(self, known: _Followed, fault: str, actions: list[RecordEntry]) -> Ladder:
        """Ladder after a diagnosis: to repair, or to doubt it if the readings do not support it."""
        particles = known.now
        k = [f.id for f in particles.faults].index(fault)
        belief = particles.belief()
        if belief[k] < min(SUPPORTED, float(belief.max())):
            return doubt_ladder(particles, k, list(known.told), _best(known))
        if not particles.faults[k].cured_by:
            return after_work(self.session, "handback" if self._proven(actions) else "prove")
        return repair_ladder(self.session, particles.faults[k])

    def _proven(self, actions: list[RecordEntry]) -> bool:
        """Whether the readings that count as proof were taken since the last repair and look right."""
        job = self.session.job
        reads = {read.kind: read for read in self._tried(actions)}
        colds = [read.degrees for read in reads.values() if read.kind in WARM_AIR and read.degrees is not None]
        return self._measured_since_repair(actions) and all(degrees >= job.warm_enough_C for degrees in colds)

    def _measured_since_repair(self, actions: list[RecordEntry]) -> bool:
        """Whether each complaint has a reading since the last repair that counts as proof, air with a warm engine."""
        kinds, tried = complaints_of(self.session.job), {read.kind for read in self._tried(actions)}
        return all(kind in tried or (COUNTS[kind].beside and len(kinds) > 1) for kind in kinds)

    def _tried(self, actions: list[RecordEntry]) -> list[ProofReading]:
        """Readings since the last repair that may count as proof, without air read before the engine was warm."""
        reads = read_since_work(self.session.catalogue, self.session.job, actions)
        warm = WARM_UP_MINUTES - 1.0
        return [read for read in reads if read.kind not in WARM_AIR - {"slow"} or read.ran >= warm]


def _best(known: _Followed) -> Option | None:
    """The check worth doing next, None if there is none."""
    advice = advise(known.now, known.readiness, set(known.done))
    return advice.best if advice.worth else None


def _search(known: _Followed) -> Ladder:
    best = _best(known)
    if best is None:
        return diagnose_ladder(known.now, list(known.told))
    return check_ladder(known.now, best)
