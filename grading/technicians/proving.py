"""How a technician proves each complaint gone, and what is good. Drives and limits: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from grading.technicians.air_rules import OUTLETS_RIGHT, SCREEN
from grading.technicians.blower_rules import CHECK, RUNS
from grading.technicians.hands import Hands
from grading.technicians.rule import Condition, all_of, any_of, below, none_of, word

Trial = Callable[[Hands], None]


@dataclass(frozen=True)
class Proof:
    """trial: what is run before the looks; looks: ids of checks; good: whether they show the complaint gone."""

    trial: Trial
    looks: tuple[str, ...]
    good: Condition


def _drive(minutes: float, kmh: float = 50.0, heater: float = 100.0, blower: float = 2.0) -> Trial:
    def trial(hands: Hands) -> None:
        hands.start()
        hands.turn("heater", heater)
        hands.turn("blower", blower)
        hands.do("drive", minutes, kmh)

    return trial


def _fast_road(hands: Hands) -> None:
    _drive(15.0)(hands)
    hands.do("drive", 20.0, 100.0)


def _from_cold(hands: Hands) -> None:
    hands.cool(600.0)
    hands.start()
    hands.turn("heater", 100.0)


def _idled(hands: Hands) -> None:
    _drive(15.0)(hands)
    hands.do("idle", 8.0)


def _misted(hands: Hands) -> None:
    _drive(15.0)(hands)
    hands.do("set", "recirculation", "on")
    hands.do("drive", 20.0, 50.0)


def _waited_for(hands: Hands) -> None:
    _drive(25.0, blower=1.0)(hands)
    hands.do("idle", 30.0)


def _stood(hands: Hands) -> None:
    hands.cool(600.0)


def _ignition(hands: Hands) -> None:
    if "automatic-control" in hands.notes.equipment and not hands.warm:
        hands.warm_up()


def _fan_rest(hands: Hands) -> None:
    hands.cool(600.0)
    hands.start()


def vents_warm(notes_limit: float) -> Condition:
    """Whether the vents were warm enough at the last measurement."""
    return none_of(below("vent-temperature", notes_limit))


NOT_IN_THE_RED = none_of(word("gauge", "in the red", "near the red"), word("gauge-on-the-road", "in the red"))
AIR = all_of(
    none_of(word(CHECK, "no air", "a breath of air")),
    word(CHECK, "weak", *RUNS, reading=1),
    word(CHECK, "strong", "very strong", reading=3),
)
HOLDS = word("pressure-test", "holds")

PROOFS = {
    "cold": Proof(_drive(20.0), (), all_of()),
    "lukewarm": Proof(_fast_road, (), all_of()),
    "cold on the road": Proof(
        _drive(20.0), ("vent-temperature-on-the-road",), none_of(below("vent-temperature-on-the-road", 45.0))
    ),
    "cold at idle": Proof(_idled, (), all_of()),
    "cold standing": Proof(_drive(20.0), ("vent-engine-stopped",), none_of(below("vent-engine-stopped", 40.0))),
    "cold in the rear": Proof(_drive(20.0), ("rear-vent-temperature",), none_of(below("rear-vent-temperature", 42.0))),
    "slow": Proof(_from_cold, ("vent-first-minutes",), all_of()),
    "too warm": Proof(
        _drive(15.0, heater=0.0),
        ("vent-at-cold", "heater-return-touch"),
        none_of(lambda notes: (notes.figure("vent-at-cold") or 0.0) > notes.session.job.ambient_C + 14.0),
    ),
    "no air": Proof(_ignition, (CHECK,), AIR),
    "weak air": Proof(_ignition, (CHECK, "blower-current"), AIR),
    "weak full speed": Proof(_ignition, (CHECK, "blower-current"), all_of(AIR, word(CHECK, "very strong", reading=3))),
    "wrong outlet": Proof(
        _drive(5.0),
        ("outlets-by-hand", "hard-pull-outlets"),
        all_of(OUTLETS_RIGHT, none_of(word("hard-pull-outlets", SCREEN))),
    ),
    "fogging": Proof(_misted, ("fogged-glass",), none_of(word("fogged-glass", "fogged"))),
    "overheating": Proof(_waited_for, ("gauge",), NOT_IN_THE_RED),
    "gauge": Proof(_drive(20.0), ("gauge",), word("gauge", "mid-scale", "a little above the middle")),
    "wet carpet": Proof(_stood, ("pressure-test", "carpet-feel"), HOLDS),
    "losing coolant": Proof(
        _stood, ("pressure-test", "cap-test", "leaks-by-eye"), all_of(HOLDS, none_of(below("cap-test", 75.0)))
    ),
    "poor coolant": Proof(
        _stood,
        ("refractometer", "coolant-voltage-loads-off", "coolant-level-cold"),
        all_of(below("refractometer", -24.0), below("coolant-voltage-loads-off", 0.3)),
    ),
    "fan noise": Proof(_fan_rest, ("radiator-fan",), none_of(word("radiator-fan", "turning fast"))),
}
"""Complaint to how it is proven gone; air at the vents is measured after every one of them."""
HARD_TRIAL = any_of(lambda notes: notes.comes_and_goes)


def prove(hands: Hands) -> bool:
    """Try what the customer complained of, and measure the air at the vents; whether all is well."""
    session, notes = hands.session, hands.notes
    catalogue = session.catalogue
    well = True
    if notes.comes_and_goes:
        _drive(40.0)(hands)
    for kind in PROOFS:
        if kind not in notes.complaints:
            continue
        proof = PROOFS[kind]
        proof.trial(hands)
        for name in proof.looks:
            check = catalogue.checks[name]
            if check.fits(session.vehicle) and not hands.was_red:
                hands.check(check)
        well = well and not hands.was_red and proof.good(notes)
    if hands.was_red:
        return False
    _drive(15.0)(hands)
    hands.check(catalogue.checks["vent-temperature"])
    limit = session.job.warm_enough_C
    return well and not hands.was_red and none_of(below("vent-temperature", limit))(notes)
