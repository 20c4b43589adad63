"""What has to be done first where an action is not possible as things stand: the program can move that control."""

from __future__ import annotations

from dataclasses import dataclass

from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import N_, _, say
from scenarios.model import Check, Repair

RUNS_ON = frozenset({"drive", "rev", "idle"})
"""Verbs that want the engine running."""
_MOVES = {
    "engine-running": (Action("engine", ("start",)), N_("The engine is stopped."), N_("starts it")),
    "ignition-on": (Action("ignition", ("on",)), N_("Ignition is off."), N_("switches it on")),
    "ignition-off": (Action("ignition", ("off",)), N_("Ignition is on."), N_("switches it off")),
    "engine-off": (Action("engine", ("stop",)), N_("The engine is running."), N_("stops it")),
}
"""Key of ``scenarios.model.NEEDS`` to what brings it about, how things stand and what Enter does, the one first that
brings about others as well: a running engine has its ignition on, and ignition off stops the engine.
"""
_THEN = {
    "check": N_("takes the reading"),
    "repair": N_("does the repair"),
    "drive": N_("drives"),
    "rev": N_("holds the speed"),
    "idle": N_("lets it idle"),
}


@dataclass(frozen=True, slots=True)
class FirstStep:
    """action: to be done first; stands, does, then: in English, how things stand and what would be done."""

    action: Action
    stands: str
    does: str
    then: str

    @property
    def offer(self) -> str:
        """What Enter would do, in the language chosen."""
        told = {"stands": _(self.stands), "does": _(self.does), "then": _(self.then)}
        return say("{stands} Enter {does} and {then}.", **told)

    @property
    def command(self) -> str:
        """The same as plain text takes it."""
        return " ".join([self.action.verb, *map(str, self.action.arguments)])


def first_step(session: Session, action: Action) -> FirstStep | None:
    """What has to be done before an action, None where nothing has to or nothing would help."""
    missing = session.workshop.missing_needs(_needs(session, action))
    for need, (first, stands, does) in _MOVES.items():
        if need in missing:
            return FirstStep(first, stands, does, _THEN[action.verb])
    return None


def first_steps(session: Session, action: Action) -> list[Action]:
    """All that has to be done before an action, in its order."""
    missing = session.workshop.missing_needs(_needs(session, action))
    brought = {"engine-running": "ignition-on", "ignition-off": "engine-off"}
    spared = {brought[need] for need in missing if need in brought}
    return [move for need, (move, _stands, _does) in _MOVES.items() if need in missing and need not in spared]


def _needs(session: Session, action: Action) -> tuple[str, ...]:
    if action.verb in RUNS_ON:
        return ("engine-running",)
    catalogue = session.catalogue
    known: dict[str, Check | Repair] = {}
    if action.verb == "check":
        known = dict(catalogue.checks)
    elif action.verb == "repair":
        known = dict(catalogue.repairs)
    thing = known.get(action.text(0)) if action.arguments else None
    if thing is None or not thing.fits(session.vehicle):
        return ()
    on_the_road = isinstance(thing, Check) and thing.drive_kmh > 0.0
    return (*thing.needs, *(("engine-running",) if on_the_road else ()))
