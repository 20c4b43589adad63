"""Perceptions: what a person notices without taking a reading. They are evidence for the observer like any reading."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from scenarios.language import N_, _, say
from scenarios.model import BAY, DASH, ELECTRIC, PLACES, SEAT
from scenarios.workshop import Workshop
from sim.fleet import Fleet
from sim.observation.instruments import INSTRUMENTS
from sim.observation.quantities import QUANTITIES
from sim.vehicle import states as st


def boiling_over(fleet: Fleet) -> np.ndarray:
    """Coolant ejected at the cap, liquid and steam, relative to the visible amount [-]. Shape (n,)."""
    q = fleet.algebraic
    return np.maximum(q["cap_liquid_kg_s"] / 0.002, q["steam_kg_s"] / 0.0005)


def _ignition(workshop: Workshop) -> bool:
    return workshop.control("ignition") > 0.5


def _running(workshop: Workshop) -> bool:
    return workshop.control("engine") > 0.5


def _electric(workshop: Workshop) -> bool:
    return ELECTRIC in workshop.vehicle.equipment


def _has_gauge(workshop: Workshop) -> bool:
    return _ignition(workshop) and not _electric(workshop)


def _shows_ready(workshop: Workshop) -> bool:
    return _running(workshop) and _electric(workshop)


def _blowing(workshop: Workshop) -> bool:
    return _ignition(workshop) and workshop.control("blower") > 0.5


def _always(workshop: Workshop) -> bool:
    return True


@dataclass(frozen=True)
class Sense:
    """A sign that can be perceived.

    places: where it can be perceived; quantity: of the fleet; instrument: name of the instrument model with its words;
    when: whether there is anything to perceive; quiet: number of lowest steps that are not mentioned, though they are
    evidence; through: label of another sense that it needs, as warmth needs air; weighed: name of the instrument model
    for the likelihood, if it is another.
    """

    places: tuple[str, ...]
    quantity: Callable[[Fleet], np.ndarray]
    instrument: str
    when: Callable[[Workshop], bool] = _always
    quiet: int = 0
    through: str = ""
    weighed: str = ""

    @property
    def likelihood_instrument(self) -> str:
        """Name of the instrument model for the likelihood."""
        return self.weighed or self.instrument


SENSES = {
    "gauge seen": Sense((SEAT,), QUANTITIES["gauge needle"], "dash gauge", _has_gauge),
    "temperature lamp seen": Sense(
        (SEAT,), QUANTITIES["engine computer's coolant temperature"], "eye on the temperature lamp", _running, 1
    ),
    "READY seen": Sense((SEAT,), QUANTITIES["not at READY"], "eye on READY", _shows_ready, 1),
    "charge lamp seen": Sense((SEAT,), QUANTITIES["charge lamp"], "eye on a lamp", _running, 1),
    "engine lamp seen": Sense((SEAT,), QUANTITIES["engine lamp"], "eye on a lamp", _running, 1),
    "air felt": Sense((SEAT,), QUANTITIES["blower air"], "air by hand", _blowing),
    "warmth felt": Sense((SEAT,), QUANTITIES["vent temperature"], "hand in the air", _blowing, through="air felt"),
    "outlet felt": Sense(
        (SEAT,), QUANTITIES["mode door position"], "hand at the outlets", _blowing, through="air felt"
    ),
    "blower heard": Sense((SEAT, DASH), QUANTITIES["blower sound"], "ear at the blower", _blowing),
    "belt heard": Sense((SEAT, BAY), QUANTITIES["belt sound"], "ear at the belt", _running, 1),
    "gurgling heard": Sense((SEAT, DASH), QUANTITIES["gurgling"], "ear for gurgling", _running, 1),
    "hiss heard": Sense((SEAT, DASH, BAY), QUANTITIES["hissing"], "ear for a hiss", _running, 1),
    "windscreen seen": Sense((SEAT,), QUANTITIES["glass fog"], "eye on the glass", quiet=1),
    "sweetness smelt": Sense((SEAT, DASH), QUANTITIES["sweet smell"], "nose", quiet=1),
    "fan seen": Sense((BAY,), QUANTITIES["fan"], "eye on the fan", quiet=1, weighed="glance at the fan"),
    "boiling seen": Sense((BAY,), boiling_over, "eye for steam", quiet=1),
    "heat smelt": Sense(PLACES, lambda fleet: fleet.state[:, st.OVERHEATING], "nose for heat", quiet=1),
}
"""Label to sense, in the order in which they are reported."""


@dataclass(frozen=True, slots=True)
class Noticed:
    """label: of SENSES; step: index of its word; shown: the word."""

    label: str
    step: int
    shown: str


SHOW_HEAT = ("temperature lamp seen", "boiling seen")
"""Senses other than the needle that show an overheating engine."""


def shows_heat(seen: list[Noticed]) -> bool:
    """Whether perceptions show an overheating engine."""
    return any(one.label in SHOW_HEAT and one.step >= SENSES[one.label].quiet for one in seen)


NoiseQuantiles = Callable[[str, str], tuple[float, float]]
"""Function from label and instrument's name to the quantiles of noise and of the instrument's offset."""


def notice(workshop: Workshop, quantiles: NoiseQuantiles) -> list[Noticed]:
    """Perceptions of the first vehicle at the person's place, the absence of signs included."""
    found: dict[str, Noticed] = {}
    one = workshop.fleet if len(workshop.fleet) == 1 else workshop.fleet.select(np.array([0]))
    for label, sense in SENSES.items():
        if workshop.place not in sense.places or not sense.when(workshop):
            continue
        if sense.through and (sense.through not in found or found[sense.through].step == 0):
            continue
        instrument = INSTRUMENTS[sense.instrument]
        step = instrument.read(float(sense.quantity(one)[0]), *quantiles(label, sense.instrument))
        found[label] = Noticed(label, step, instrument.show(step))
    return list(found.values())


_BLOWER = {
    "silent": N_("the blower is silent"),
    "the motor whirs and no air follows": N_("the blower's motor whirs"),
    "labours": N_("the blower labours"),
    "runs evenly": N_("the blower runs evenly"),
    "falters and sparks": N_("the blower falters"),
}
_AIR = {
    "weak": N_("weak air"),
    "moderate": N_("moderate air"),
    "strong": N_("strong air"),
    "very strong": N_("very strong air"),
}

_LAMPS = {
    "temperature lamp seen": N_("The temperature lamp is lit."),
    "charge lamp seen": N_("The charge lamp is lit."),
    "engine lamp seen": N_("The engine lamp is lit."),
}


def sentences(workshop: Workshop, quantiles: NoiseQuantiles) -> list[str]:
    """Perceptions at the person's place, as one sentence each."""
    seen = notice(workshop, quantiles)
    words = {one.label: one.shown for one in seen if one.step >= SENSES[one.label].quiet}

    def of(label: str) -> str:
        return _(words[label])

    blower = words.get("blower heard")
    told = [f"{_engine(workshop)}; {_(_BLOWER[blower])}." if blower else f"{_engine(workshop)}."]
    if "gauge seen" in words:
        told.append(say("The temperature gauge is {where}.", where=of("gauge seen")))
    told += [_(line) for label, line in _LAMPS.items() if label in words]
    if "air felt" in words:
        felt = [_(words[name]) for name in ("warmth felt", "outlet felt") if name in words]
        air = _(_AIR.get(words["air felt"], words["air felt"]))
        told.append(say("At the vents: {air}.", air=", ".join([air, *felt])))
    if "belt heard" in words:
        told.append(_("A belt squeals."))
    if "gurgling heard" in words:
        told.append(say("Something {gurgles} behind the dash.", gurgles=of("gurgling heard")))
    if "hiss heard" in words:
        told.append(say("A vacuum line {hisses}.", hisses=of("hiss heard")))
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


def _drive(workshop: Workshop) -> str:
    """How an electric vehicle stands."""
    if not _running(workshop):
        return (
            _("The vehicle is switched on, not at READY") if _ignition(workshop) else _("The vehicle is switched off")
        )
    if workshop.fleet.switches["drained"][0] > 0.5:
        return _("READY does not come up: the 12 V battery is flat")
    if workshop.fleet.algebraic["runs"][0] > 0.5:
        return _("The vehicle is at READY, without a sound")
    return _("READY does not come up, and a message names the high-voltage system")


def _engine(workshop: Workshop) -> str:
    if _electric(workshop):
        return _drive(workshop)
    if workshop.fleet.switches["seized"][0] > 0.5:
        return _("The engine no longer turns: it has seized")
    if workshop.fleet.switches["drained"][0] > 0.5:
        return _("The engine does not crank: the battery is flat")
    if _running(workshop):
        rpm = round(float(workshop.fleet.algebraic["rpm"][0]), -1)
        return say("The engine runs at about {rpm:.0f} rpm", rpm=rpm)
    return _("The engine is stopped, ignition at run") if _ignition(workshop) else _("The engine is stopped")
