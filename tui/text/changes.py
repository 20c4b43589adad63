"""What has changed since a person last looked: controls, what is noticed, readings, the place."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field

from grading.sessions.session import Session
from scenarios.language import _, plural, say
from tui.presentation import situation


@dataclass(frozen=True)
class Seen:
    """What a look showed."""

    place: str = ""
    controls: dict[str, object] = field(default_factory=dict)
    perceived: tuple[str, ...] = ()
    readings: int = 0
    minute: float = 0.0


def seen(session: Session) -> Seen:
    """What there is to be seen now."""
    controls = asdict(situation.controls(session))
    perceived = tuple(session.perceived())
    return Seen(session.workshop.place, controls, perceived, len(session.readings), session.minute)


def changed(before: Seen, after: Seen) -> list[str]:
    """What is new since a look, in sentences; empty where nothing is."""
    told = []
    if after.minute > before.minute:
        told.append(say("{minutes:.0f} minutes have passed.", minutes=after.minute - before.minute))
    if after.place != before.place:
        told.append(say("You are now here: {place}.", place=_(after.place)))
    for name, stands in after.controls.items():
        if before.controls.get(name) != stands:
            value = _(stands) if isinstance(stands, str) else stands
            told.append(say("{control}: {value}.", control=_(name), value=value))
    told += [line for line in after.perceived if line not in before.perceived]
    if (new := after.readings - before.readings) > 0:
        told.append(plural(new, "{n} new reading.", "{n} new readings."))
    return told
