"""What a person at the vehicle notices without taking a reading; the observer learns from it as from any reading."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from scenarios.language import N_, _, say
from scenarios.model import PLACES
from scenarios.workshop import Workshop
from sim import states as st
from sim.fleet import Fleet
from sim.instruments import INSTRUMENTS
from sim.observe import QUANTITIES
from sim.reading import Instrument, Words

SEAT, BAY, DASH = PLACES[:3]


def _plain(x: np.ndarray) -> np.ndarray:
    return x


def boiling_over(fleet: Fleet) -> np.ndarray:
    """Coolant thrown out at the cap, liquid and steam, over what can be seen of it [-]. Shape (n,)."""
    q = fleet.quantities
    return np.maximum(q["cap_liquid_kg_s"] / 0.002, q["steam_kg_s"] / 0.0005)


SKIN = Words(
    "hand at the vent",
    "",
    4.0,
    _plain,
    ("icy", "cool", "lukewarm", "warm", "hot"),
    (8.0, 22.0, 34.0, 50.0),
)
"""Air on the back of a hand [degC]; a hand that comes in from the cold is a poor judge (common practice, no source)."""
FAN = replace(INSTRUMENTS["eye on the fan"], spread=1.0)
"""A fan comes and goes by itself: that it turns at one moment says little of whether it can."""
STEAM = Words("eye", "", 0.2, _plain, ("nothing", "steam and a hiss from the cap"), (1.0,))
SCORCHED = Words("nose", "", 0.1, _plain, ("nothing", "hot engine"), (0.5,))


def _ignition(workshop: Workshop) -> bool:
    return workshop.control("ignition") > 0.5


def _running(workshop: Workshop) -> bool:
    return workshop.control("engine") > 0.5


def _blowing(workshop: Workshop) -> bool:
    return _ignition(workshop) and workshop.control("blower") > 0.5


def _always(workshop: Workshop) -> bool:
    return True


@dataclass(frozen=True)
class Sense:
    """Something that can be noticed.

    places: where one must be; quantity: of the fleet; instrument: whose words and law it has; when: whether there is
    anything to notice; quiet: steps from 0 that go unnoticed; through: label of another sense without which there is
    nothing to feel, as no warmth without air.
    """

    places: tuple[str, ...]
    quantity: Callable[[Fleet], np.ndarray]
    instrument: Instrument
    when: Callable[[Workshop], bool] = _always
    quiet: int = 0
    through: str = ""


SENSES = {
    "gauge seen": Sense((SEAT,), QUANTITIES["gauge needle"], INSTRUMENTS["dash gauge"], _ignition),
    "air felt": Sense((SEAT,), QUANTITIES["blower air"], INSTRUMENTS["air by hand"], _blowing),
    "warmth felt": Sense((SEAT,), QUANTITIES["vent temperature"], SKIN, _blowing, through="air felt"),
    "outlet felt": Sense(
        (SEAT,), QUANTITIES["mode door position"], INSTRUMENTS["hand at the outlets"], _blowing, through="air felt"
    ),
    "blower heard": Sense((SEAT, DASH), QUANTITIES["blower sound"], INSTRUMENTS["ear at the blower"], _blowing),
    "belt heard": Sense((SEAT, BAY), QUANTITIES["belt sound"], INSTRUMENTS["ear at the belt"], _running, 1),
    "windscreen seen": Sense((SEAT,), QUANTITIES["glass fog"], INSTRUMENTS["eye on the glass"], quiet=1),
    "sweetness smelt": Sense((SEAT, DASH), QUANTITIES["sweet smell"], INSTRUMENTS["nose"], quiet=1),
    "fan seen": Sense((BAY,), QUANTITIES["fan"], FAN, quiet=1),
    "boiling seen": Sense((BAY,), boiling_over, STEAM, quiet=1),
    "heat smelt": Sense(PLACES, lambda fleet: fleet.state[:, st.HARM], SCORCHED, quiet=1),
}
"""Label to sense, in the order in which a person would say it."""


@dataclass(frozen=True, slots=True)
class Noticed:
    """label: of SENSES; step: index of its word; shown: the word."""

    label: str
    step: int
    shown: str


def notice(workshop: Workshop) -> list[Noticed]:
    """What a person where they stand notices of the first vehicle."""
    found: dict[str, Noticed] = {}
    one = workshop.fleet if len(workshop.fleet) == 1 else workshop.fleet.select(np.array([0]))
    for label, sense in SENSES.items():
        if workshop.place not in sense.places or not sense.when(workshop):
            continue
        if sense.through and (sense.through not in found or found[sense.through].step == 0):
            continue
        step = sense.instrument.read(float(sense.quantity(one)[0]), 0.5)
        if step >= sense.quiet:
            found[label] = Noticed(label, step, sense.instrument.show(step))
    return list(found.values())


_BLOWER = {
    "silent": N_("the blower is silent"),
    "the motor whirs and no air follows": N_("the blower's motor whirs"),
    "labours": N_("the blower labours"),
    "runs evenly": N_("the blower runs evenly"),
}
_AIR = {
    "weak": N_("weak air"),
    "moderate": N_("moderate air"),
    "strong": N_("strong air"),
    "very strong": N_("very strong air"),
}


def sentences(workshop: Workshop) -> list[str]:
    """Sights, sounds, smells and the air at the vents where the person stands, one line each."""
    words = {seen.label: seen.shown for seen in notice(workshop)}

    def of(label: str) -> str:
        return _(words[label])

    blower = words.get("blower heard")
    told = [f"{_engine(workshop)}; {_(_BLOWER[blower])}." if blower else f"{_engine(workshop)}."]
    if "gauge seen" in words:
        told.append(say("The temperature gauge is {where}.", where=of("gauge seen")))
    if "air felt" in words:
        felt = [_(words[name]) for name in ("warmth felt", "outlet felt") if name in words]
        air = _(_AIR.get(words["air felt"], words["air felt"]))
        told.append(say("At the vents: {air}.", air=", ".join([air, *felt])))
    if "belt heard" in words:
        told.append(_("A belt squeals."))
    if "windscreen seen" in words:
        told.append(say("The windscreen is {state}.", state=of("windscreen seen")))
    if "sweetness smelt" in words:
        told.append(say("The cabin smells {smell}.", smell=of("sweetness smelt")))
    if "fan seen" in words:
        told.append(say("The radiator fan is {state}.", state=of("fan seen")))
    if "boiling seen" in words:
        told.append(say("Coolant is boiling over: {what}.", what=of("boiling seen")))
    if "heat smelt" in words:
        told.append(_("There is a smell of hot engine."))
    return told


def _engine(workshop: Workshop) -> str:
    if workshop.fleet.switches["seized"][0] > 0.5:
        return _("The engine does not turn any more: it has seized")
    if workshop.fleet.switches["drained"][0] > 0.5:
        return _("The engine stands: the battery is flat and does not crank it")
    if _running(workshop):
        rpm = round(float(workshop.fleet.quantities["rpm"][0]), -1)
        return say("The engine runs at about {rpm:.0f} rpm", rpm=rpm)
    return _("The engine is stopped, ignition at run") if _ignition(workshop) else _("The engine is stopped")
