"""What a person in a job stands before: where they are, what can be done there, and why not where it cannot."""

from __future__ import annotations

from dataclasses import dataclass

from grading.sessions.session import Session
from scenarios.language import N_, _, say
from scenarios.model import CONDITIONS, NEEDS, ROAD, SEAT, Check, Repair
from scenarios.workshop import VENTS, WALK_MINUTES


@dataclass(frozen=True, slots=True)
class Offer:
    """A check or repair as it stands now.

    thing; walk: minutes to get there [min]; why_not: words for what is missing, None where it can be done now.
    """

    thing: Check | Repair
    walk: float
    why_not: str | None

    @property
    def possible(self) -> bool:
        """Whether it can be done now."""
        return self.why_not is None


NOTHING_DONE = N_("Nothing was checked, diagnosed or repaired.")


def untouched(session: Session) -> bool:
    """Whether there was no check, no diagnosis and no repair."""
    verbs = {str(entry.data["verb"]) for entry in session.recorder.entries if entry.kind == "action"}
    return not verbs & {"check", "diagnose", "repair"}


def standing_place(thing: Check | Repair) -> str:
    """Where a person stands for it: on the road that is the driver's seat."""
    return SEAT if thing.place == ROAD else thing.place


def offer(session: Session, thing: Check | Repair) -> Offer:
    """A check or repair as it stands now."""
    workshop = session.workshop
    missing = workshop.missing_needs(thing.needs)
    if isinstance(thing, Check) and thing.drive_kmh > 0.0 and workshop.control("engine") < 0.5:
        missing = missing or ["engine-running"]
    walk = 0.0 if standing_place(thing) == workshop.place else WALK_MINUTES
    return Offer(
        thing,
        walk,
        say("needs {needed}", needed=_(" and ").join(_(NEEDS[need]) for need in missing)) if missing else None,
    )


def checks(session: Session) -> list[Offer]:
    """Every check of this vehicle."""
    return [offer(session, check) for check in session.catalogue.checks_of(session.vehicle)]


def repairs(session: Session) -> list[Offer]:
    """Every repair of this vehicle."""
    return [offer(session, repair) for repair in session.catalogue.repairs_of(session.vehicle)]


def best_when(check: Check) -> str:
    """States in which a check tells what it is for, in words; empty where any will do."""
    return ", ".join(_(CONDITIONS[state]) for state in check.best_when)


@dataclass(frozen=True, slots=True)
class Controls:
    """Where the controls stand: ignition off or on; engine stopped or running; heater 0..100; blower 0..4; vents;
    recirculation off or on.
    """

    ignition: str
    engine: str
    heater: int
    blower: int
    vents: str
    recirculation: str


def controls(session: Session) -> Controls:
    """Where the controls stand now."""
    value = session.workshop.control
    return Controls(
        "on" if value("ignition") > 0.5 else "off",
        N_("running") if value("engine") > 0.5 else N_("stopped"),
        round(value("heater") * 100.0),
        round(value("blower")),
        next(name for name, number in VENTS.items() if number == value("vents")),
        "on" if value("recirculation") > 0.5 else "off",
    )
