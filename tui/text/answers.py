"""What the text interface answers, as plain data: one object a command, the same for every format."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from grading.drawing.number import number_of
from grading.marks.criteria import written
from grading.marks.rubric import Rubric
from grading.marks.what_counts import what_counts
from grading.report.sound_band import Band
from grading.sessions.modes import now
from grading.sessions.outcome import Outcome, Reading
from grading.sessions.session import Session
from scenarios.actions import PHYSICAL
from scenarios.language import _, say, shown
from scenarios.model import Check, Fault, Repair
from tui.presentation import situation
from tui.presentation.notebook import Note, drafts, own_notes
from tui.presentation.situation import Offer
from tui.presentation.units import Units, in_units
from tui.text.phrases import PHRASES

if TYPE_CHECKING:
    from grading.marks.grade import Grade
    from grading.report.hints import Hint, Ladder
    from grading.report.section import Section

Answer = dict[str, Any]


def _minutes(value: float) -> float:
    return round(value, 2)


def _offer(session: Session, offered: Offer) -> Answer:
    thing = offered.thing
    answer: Answer = {
        "id": thing.id,
        "name": _(thing.name),
        "minutes": thing.minutes,
        "walk_minutes": offered.walk,
        "place": thing.place,
        "possible": offered.possible,
        "why": offered.why_not,
        "cautions": list(thing.cautions),
    }
    if isinstance(thing, Check):
        return answer | {
            "tool": _(thing.tool),
            "best_when": situation.best_when(thing) or None,
            "where": _(session.vehicle.finds.get(thing.id, "")) or None,
        }
    return answer | {"part": _(thing.part), "cost": thing.cost, "proven_by": list(thing.proven_by)}


def look(session: Session, wanted: str = "") -> Answer:
    """Where the person is, what they notice, the controls, and all that can be done; wanted: words that checks, repairs
    and faults must have in their names or ids to be listed.
    """

    def named(thing: Check | Repair | Fault) -> bool:
        return all(word in f"{_(thing.name)} {thing.id}".casefold() for word in wanted.casefold().split())

    return {
        "job": session.job.id,
        "place": session.workshop.place,
        "minute": _minutes(session.minute),
        "controls": asdict(situation.controls(session)),
        "perceived": session.perceived(),
        "checks": [_offer(session, offered) for offered in situation.checks(session) if named(offered.thing)],
        "repairs": [_offer(session, offered) for offered in situation.repairs(session) if named(offered.thing)],
        "faults": [
            {
                "id": fault.id,
                "name": _(fault.name),
                "system": fault.system,
                "part": _(fault.part),
                "mode": _(fault.mode),
                "mark": session.suspects.get(fault.id),
            }
            for fault in session.catalogue.faults_of(session.vehicle)
            if named(fault)
        ],
        "diagnosis": _diagnosis(session),
        "readings": len(session.readings),
        "mode": session.mode.name,
        "seconds_left": round(max(session.mode.left(now()), 0.0), 1) if session.mode.exam else None,
    }


def _diagnosis(session: Session) -> Answer | None:
    if session.diagnosis is None:
        return None
    fault, confidence = session.diagnosis
    beside = [name for name in session.diagnoses if name != fault]
    return {"fault": fault, "confidence": round(100.0 * confidence, 1)} | ({"beside": beside} if beside else {})


def card(session: Session, rubric: Rubric) -> Answer:
    """The job card: complaint, time allowed by the rubric, vehicle, what its handbook says."""
    job, vehicle = session.job, session.vehicle
    actions = [entry for entry in session.recorder.entries if entry.kind == "action"]
    return {
        "job": job.id,
        "title": _(job.title),
        "number": number_of(job.id),
        "customer": _(job.customer),
        "complaint": _(job.complaint),
        "history": _(job.history),
        "mileage_km": job.mileage_km,
        "ambient_C": job.ambient_C,
        "minutes_allowed": rubric.allowed(job),
        "diagnosis_only": job.diagnosis_only,
        "what_counts": _(what_counts(job)),
        "vehicle": _(vehicle.name),
        "about": _(vehicle.about),
        "manual": {_(label): _(text) for label, text in vehicle.manual.items()},
        "written": written(actions),
        "drafts": drafts(session),
        "notes": own_notes(session),
        "mode": session.mode.name,
        "allowed_minutes": session.mode.minutes,
    }


def _reading(session: Session, reading: Reading) -> Answer:
    value, unit = reading.figure
    return {
        "number": reading.number,
        "minute": _minutes(reading.minute),
        "check": reading.check,
        "label": _(reading.label),
        "instrument": _(reading.instrument),
        "shown": shown(reading.shown),
        "value": None if value is None else round(value, 6),
        "unit": unit,
        "step": reading.step,
    }


def readings(session: Session, notes: list[Note]) -> Answer:
    """Notes of the notebook."""
    return {
        "readings": [
            _reading(session, note.reading) | {"state": note.state, "mark": note.mark or None, "repairs": note.repairs}
            for note in notes
        ]
    }


def told(session: Session, said: str) -> Answer:
    """Something said while nothing happened at the vehicle."""
    return {
        "minute": _minutes(session.minute),
        "minutes": 0.0,
        "readings": [],
        "said": [said],
        "perceived": [],
        "safety": [],
    }


def hint(ladder: Ladder, given: Hint | None, rubric: Rubric) -> Answer:
    """A step of a hint, or all of them where every one is given already; rubric: what it costs."""
    if given is None:
        return {"hint": {"rung": None, "text": " ".join(map(_, ladder.rungs)), "marks": 0.0}}
    return {"hint": {"rung": given.rung, "text": _(given.text), "marks": rubric.hints[given.rung]}}


def done(session: Session, outcome: Outcome, bands: Sequence[Band] = ()) -> Answer:
    """What came of an action; bands: what sound vehicles show, told beside the readings."""
    if outcome.refused is not None:
        return {"error": outcome.refused}
    return {
        "minute": _minutes(session.minute),
        "minutes": _minutes(outcome.minutes),
        "place": session.workshop.place,
        "readings": _with_bands([_reading(session, reading) for reading in outcome.readings], bands),
        "said": [*_moved(session, outcome), *outcome.said],
        "perceived": session.perceived() if outcome.action.verb in PHYSICAL else [],
        "safety": [{"what": _(event.what), "critical": event.critical} for event in outcome.safety],
    }


def _with_bands(readings: list[Answer], bands: Sequence[Band]) -> list[Answer]:
    """Readings, each with what sound vehicles show where that is known."""
    left = list(bands)
    for reading in readings:
        band = next((one for one in left if _(one.label) == reading["label"]), None)
        if band is not None:
            left.remove(band)
            reading["sound"] = band.words
    return readings


def _moved(session: Session, outcome: Outcome) -> list[str]:
    """Where a control that was moved stands now."""
    stands = asdict(situation.controls(session))
    match outcome.action.verb:
        case "set":
            now_at = stands[outcome.action.text(0)]
            value = _(now_at) if isinstance(now_at, str) else now_at
            return [say("{control}: {value}", control=_(outcome.action.text(0)), value=value)]
        case "ignition" | "engine":
            told = {name: _(stands[name]) for name in ("ignition", "engine")}
            return [say("ignition {ignition}, engine {engine}", **told)]
        case _:
            return []


def phrases() -> Answer:
    """What can be typed."""
    return {"help": [{"usage": phrase.usage, "does": _(phrase.does)} for phrase in PHRASES.values()]}


def graded(grade: Grade, first_page: list[Section]) -> Answer:
    """A grade as plain data, with its reasons in the language chosen; first_page: of its debrief."""
    data = grade.to_json()
    came = data["comeback"]
    told = {name: _(came[name]) for name in ("what", "unroadworthy")} if came else {}
    return data | {
        "safety": [_(what) for what in grade.safety],
        "reasons": [_(reason) for reason in grade.reasons],
        "comeback": came and came | told,
        "first_page": [{"title": _(section.title), "lines": section.lines} for section in first_page],
    }


def displayed(answer: Any, units: Units) -> Any:
    """The answer with every text in these units; figures under a name with a unit stay as they are."""
    if isinstance(answer, str):
        return in_units(answer, units)
    if isinstance(answer, list):
        return [displayed(item, units) for item in answer]
    if isinstance(answer, dict):
        return {key: displayed(item, units) for key, item in answer.items()}
    return answer
