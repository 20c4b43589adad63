"""What counts as proof of a repair, complaint by complaint: what has to be read, and what the job card says about it.

The table depends on the complaint alone, so that the card gives nothing of the fault away. Whether a reading proves
anything is worked out in ``grading.marks.proof``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grading.sessions.record import Entry
from scenarios.language import N_, Listed, Message, Text
from scenarios.model import COMPLAINTS, Catalogue, Check, Job, Repair, Vehicle
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Display

LEVELS = frozenset({"neck shortfall", "bottle level", "hose firmness"})
"""Quantities that show a loss only after the engine has run hot: filling alone puts them right."""
LEAST_RUN = 10.0
"""Minutes the engine must have run since the last work before a level shows anything (common practice, no source)."""


@dataclass(frozen=True)
class Counts:
    """What counts for one complaint.

    says: on the job card; quantities: names in ``sim.observation.quantities.QUANTITIES``, readings of which count;
    sense: label in ``grading.sessions.perception.SENSES`` by which the customer would notice it, empty for none;
    felt: whether what that sense notices counts as a reading, as where nobody measures; others: whether a reading of
    another quantity counts too, where the data names its check as proof of the repair; beside: whether, told beside
    another complaint, it is taken for its consequence, which wants no trial of its own but must not show.
    """

    says: str
    quantities: frozenset[str]
    sense: str = "warmth felt"
    felt: bool = False
    others: bool = True
    beside: bool = False


_VENTS = frozenset({"vent temperature"})
_AIR = frozenset({"blower air", "blower current"})
_WET = frozenset({"wet hose ends", "weep hole", "pressure drop", "pressure drop, heater hoses pinched"})

COUNTS = {
    "cold": Counts(N_("warm air at the vents, engine warm, heater at full hot"), _VENTS),
    "lukewarm": Counts(
        N_("air at the vents as warm as it should be, heater at full hot, once a fast road has warmed the engine"), _VENTS
    ),
    "cold at idle": Counts(N_("warm air at the vents once the engine has idled for some minutes"), _VENTS),
    "cold on the road": Counts(N_("warm air at the vents on the road, heater at full hot"), _VENTS),
    "cold standing": Counts(N_("warm air at the vents while the engine has stopped itself"), _VENTS),
    "cold in the rear": Counts(
        N_("warm air at the rear vents, engine warm, heater at full hot"), frozenset({"rear vent temperature"}), ""
    ),
    "slow": Counts(N_("warm air at the vents within minutes of a cold start"), _VENTS),
    "too warm": Counts(
        N_("cold air at the vents with the heater at cold, engine warm, and no heat in the heater's return hose"),
        _VENTS | {"return hose skin", "valve outlet skin"},
    ),
    "no air": Counts(N_("air at the vents on every blower speed"), _AIR, "air felt", True),
    "weak air": Counts(N_("as much air at the vents as there should be, on every blower speed"), _AIR, "air felt", True),
    "weak full speed": Counts(N_("full air at the vents on the highest blower speed"), _AIR, "air felt", True),
    "wrong outlet": Counts(
        N_("air at the outlet that is chosen, driven as the customer drives"),
        frozenset({"mode door position"}),
        "outlet felt",
        True,
    ),
    "fogging": Counts(
        N_("a windscreen that stays clear, on recirculated air too"),
        frozenset({"glass fog"}),
        "windscreen seen",
        True,
        beside=True,
    ),
    "overheating": Counts(
        N_("the needle out of the red, run as the customer runs it"),
        frozenset({"gauge needle", "engine computer's coolant temperature", "coolant temperature", "fan"}),
        "gauge seen",
        True,
    ),
    "gauge": Counts(
        N_("the needle where it should stand, engine warm"), frozenset({"gauge needle"}), "gauge seen", True
    ),
    "wet carpet": Counts(
        N_("a dry carpet"), frozenset({"carpet wetness", "coolant on paper", "sweet smell"}) | _WET, "", others=False
    ),
    "losing coolant": Counts(
        N_("no loss of coolant by eye, under the pressure tester or once the engine has run warm"),
        frozenset({"combustion gas", "cap opening", "steam at the tailpipe"}) | _WET | LEVELS,
        "",
        others=False,
    ),
    "poor coolant": Counts(
        N_("coolant that tests good"), frozenset({"freezing protection", "coolant voltage", "sludge"}), "", others=False
    ),
    "fan noise": Counts(N_("a radiator fan that stands while it is not needed"), frozenset({"fan"}), "fan seen", True),
}
"""Key of ``scenarios.model.COMPLAINTS`` to what counts."""


def complaints_of(job: Job) -> tuple[str, ...]:
    """Keys of COUNTS that a job's repair is proven by, each of them."""
    return tuple(kind for kind in COMPLAINTS if kind in job.complains_of)


def what_counts(job: Job) -> Text:
    """What the job card says of the proof; the complaint alone decides."""
    said: Text = Listed((COUNTS[kind].says for kind in complaints_of(job)), "; ")
    if not job.comes_and_goes:
        return Message("What will count as proof: {what}.", what=said)
    return Message(
        "What will count as proof: {what}. It comes and goes: go on, as the customer does, until it would have shown.",
        what=said,
    )


def counting(catalogue: Catalogue, job: Job, kind: str, check: Check, repairs: Iterable[str]) -> list[bool]:
    """Which readings of a check can count for one of a job's complaints, in their order; repairs: ids of those done.

    What proves another complaint of the job proves that one alone, and a level shows nothing of heat or air.
    """
    counts, own = COUNTS[kind], [COUNTS[other].quantities for other in complaints_of(job) if other != kind]
    named = counts.others and any(check.id in catalogue.repairs[name].proven_by for name in repairs)
    elsewhere = LEVELS.union(*own)
    return [
        spec.quantity in counts.quantities or (named and spec.quantity not in elsewhere) for spec in check.readings
    ]


def proof_check(catalogue: Catalogue, vehicle: Vehicle, kind: str) -> Check | None:
    """The quickest check of a vehicle that can prove a complaint gone, None where there is none.

    Air that was asked to be cold proves no warmth; a hand in the air is no measurement.
    """
    able = [check for check in catalogue.checks_of(vehicle) if _proves(kind, check)]
    return min(able, key=lambda check: (check.minutes, check.id), default=None)


def _proves(kind: str, check: Check) -> bool:
    asked = 0.0 if kind == "too warm" else 1.0
    for spec in check.readings:
        if spec.quantity in COUNTS[kind].quantities - _VENTS:
            return True
        measured = isinstance(INSTRUMENTS[spec.instrument], Display)
        if spec.quantity in COUNTS[kind].quantities and spec.sets.get("heater", 1.0) == asked and measured:
            return True
    return False


def is_work(repair: Repair) -> bool:
    """Whether a repair changes the vehicle; explaining does not."""
    return bool(repair.renews or repair.does or repair.opens_cap or repair.part != "none")


def after_work(catalogue: Catalogue, actions: list[Entry]) -> int:
    """Index of the first action after the last work, 0 where there was none."""
    last = -1
    for k, entry in enumerate(actions):
        if entry.data["verb"] == "repair" and is_work(catalogue.repairs[entry.action.text(0)]):
            last = k
    return last + 1


def repairs_done(actions: list[Entry]) -> list[str]:
    """Ids of the repairs done, in order."""
    return [entry.action.text(0) for entry in actions if entry.data["verb"] == "repair"]


def done_work(catalogue: Catalogue, actions: list[Entry]) -> list[str]:
    """Ids of repairs done, and of checks that do work once they have read: a bleed done as a check is a bleed."""
    ids = []
    for entry in actions:
        name = entry.action.text(0) if entry.data["verb"] in ("repair", "check") else ""
        if entry.data["verb"] == "repair" or (entry.data["verb"] == "check" and _works(catalogue, entry)):
            ids.append(name)
    return ids


def _works(catalogue: Catalogue, entry: Entry) -> bool:
    """Whether a check did its work: one that was broken off did not, and its minutes stand among its arguments."""
    check = catalogue.checks.get(entry.action.text(0))
    return check is not None and bool(check.does) and len(entry.action.arguments) == 1
