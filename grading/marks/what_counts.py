"""What counts as proof of a repair, by complaint: readings to take, and the text on the job card.

The table depends on the complaint only, so that the card gives nothing away about the fault. Whether a reading proves
anything is decided in ``grading.marks.proof``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grading.marks.work import first_after_work, repairs_done
from grading.sessions.record import RecordEntry
from grading.sessions.verification import RUNS
from scenarios.language import N_, Listed, Message, Text
from scenarios.model import COMPLAINTS, Catalogue, Check, Job, ReadingSpec, Vehicle
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Display, Instrument

LEVELS = frozenset({"neck shortfall", "bottle level", "hose firmness"})
"""Quantities that show a leak only after the engine has run hot, as topping up alone corrects them."""
MEMORIES = frozenset(
    {
        *("trouble code", "pending code", "freeze frame", "thermostat monitor", "engine lamp"),
        *("heater control's door code", "heater control's blower code"),
    }
)
"""Quantities with memory, which also depend on the time before the work."""
LEAST_RUN = 10.0
"""Minutes the engine must have run since the last work before a level counts (common practice, no source)."""


@dataclass(frozen=True)
class Counts:
    """What counts for one complaint.

    says: text on the job card; quantities: names in ``sim.observation.quantities.QUANTITIES`` whose readings count;
    sense: label in ``grading.sessions.perception.SENSES`` by which the customer would perceive it, empty for none;
    felt: whether that perception counts as a reading; others: whether readings of other quantities count too, if the
    data names their check as proof of the repair; beside: whether, in addition to another complaint, it is taken for
    its consequence, which needs no proof of its own but must not show; watched: whether it is observed all the time, as
    the needle is.
    """

    says: str
    quantities: frozenset[str]
    sense: str = "warmth felt"
    felt: bool = False
    others: bool = True
    beside: bool = False
    watched: bool = False


_VENTS = frozenset({"vent temperature"})
_AIR = frozenset({"blower air", "blower current"})
_WET = frozenset({"wet hose ends", "weep hole", "pressure drop", "pressure drop, heater hoses pinched"})

COUNTS = {
    "cold": Counts(N_("warm air at the vents, engine warm, heater at full hot"), _VENTS),
    "lukewarm": Counts(
        N_("air at the vents as warm as it should be, heater at full hot, once a fast road has warmed the engine"),
        _VENTS,
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
    "weak air": Counts(
        N_("as much air at the vents as there should be, on every blower speed"), _AIR, "air felt", True
    ),
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
        watched=True,
    ),
    "gauge": Counts(
        N_("the needle where it should stand, engine cold and warm"), frozenset({"gauge needle"}), "gauge seen", True
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
WARM_AIR = frozenset({kind for kind, one in COUNTS.items() if one.quantities == _VENTS} | {"cold in the rear"})
"""Complaints for which warm air is the proof."""


def complaints_of(job: Job) -> tuple[str, ...]:
    """Keys of COUNTS that must all be proven for a job's repair."""
    return tuple(kind for kind in COMPLAINTS if kind in job.complains_of)


def what_counts(job: Job) -> Text:
    """The text about proof on the job card, from the complaint alone."""
    said: Text = Listed((COUNTS[kind].says for kind in complaints_of(job)), "; ")
    if not job.comes_and_goes:
        return Message("What will count as proof: {what}.", what=said)
    return Message(
        "What will count as proof: {what}. It comes and goes: go on, as the customer does, until it would have shown.",
        what=said,
    )


def named_proof(catalogue: Catalogue, job: Job, kind: str, repairs: Iterable[str]) -> frozenset[tuple[str, str]]:
    """Check and quantity of readings that count for a complaint because the data names the check as proof of a repair;
    repairs: ids of those done.

    Quantities that count for another complaint of the job are excluded, as are levels and quantities with memory.
    """
    if not COUNTS[kind].others:
        return frozenset()
    elsewhere = (LEVELS | MEMORIES).union(*(COUNTS[other].quantities for other in complaints_of(job)))
    names = {name for repair in repairs for name in catalogue.repairs[repair].proven_by}
    named = [check for check in catalogue.checks.values() if check.id in names]
    return frozenset(
        (check.id, spec.quantity) for check in named for spec in check.readings if spec.quantity not in elsewhere
    )


def proof_check(catalogue: Catalogue, vehicle: Vehicle, kind: str) -> Check | None:
    """The quickest check of a vehicle that can prove a complaint gone, None if there is none.

    A check with the heater at cold proves no warmth, and a hand in the air is not a measurement.
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


@dataclass(frozen=True)
class ProofReading:
    """A reading since the last work that may count.

    kind: of COUNTS; label, shown: as recorded; degrees: a measured temperature [degC], else None; ran: running time of
    the engine since the work [min], without checks.
    """

    kind: str
    label: str
    shown: str
    degrees: float | None
    ran: float


def read_since_work(catalogue: Catalogue, job: Job, actions: list[RecordEntry]) -> list[ProofReading]:
    """Readings and perceptions since the last work that may count, in order, whether or not they prove anything."""
    found, ran, repairs = [], 0.0, repairs_done(actions)
    named = {kind: named_proof(catalogue, job, kind, repairs) for kind in complaints_of(job)}
    for entry in actions[first_after_work(catalogue, actions) :]:
        verb = entry.data["verb"]
        ran += float(entry.data["minutes"]) if verb in RUNS else 0.0
        check = catalogue.checks.get(entry.action.text(0)) if verb == "check" else None
        for kind in complaints_of(job):
            counts = COUNTS[kind]
            counted = {} if check is None else _counted(check, counts.quantities, named[kind])
            for one in entry.data.get("readings", ()):
                if one["label"] in counted:
                    degrees = _degrees(INSTRUMENTS[counted[one["label"]].instrument], int(one["step"]))
                    found.append(ProofReading(kind, one["label"], one["shown"], degrees, ran))
            felt = (one for one in entry.data.get("noticed", ()) if counts.felt and one["label"] == counts.sense)
            found += [ProofReading(kind, one["label"], one["shown"], None, ran) for one in felt]
    return found


def _counted(check: Check, quantities: frozenset[str], named: frozenset[tuple[str, str]]) -> dict[str, ReadingSpec]:
    """The readings of a check that count, by label."""
    return {
        spec.label: spec for spec in check.readings if spec.quantity in quantities or (check.id, spec.quantity) in named
    }


def _degrees(instrument: Instrument, step: int) -> float | None:
    return instrument.value(step) if isinstance(instrument, Display) and instrument.unit == "°C" else None
