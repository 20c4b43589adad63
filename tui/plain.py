"""Answers in short sentences, for people and for screen readers: no boxes, no colour, nothing that needs to be seen."""

from __future__ import annotations

from typing import Any

from grading.modes import MODES
from scenarios.model import PLACES
from tui.answers import Answer
from tui.units import Units, temperature


def minutes(value: float) -> str:
    """A time in words.

    >>> minutes(1.0), minutes(0.5), minutes(12.04)
    ('1 minute', '0.5 minutes', '12 minutes')
    """
    figure = f"{value:.1f}".removesuffix(".0")
    return f"{figure} minute" if figure == "1" else f"{figure} minutes"


def where(place: str) -> str:
    """Where a person is, after "You are".

    >>> where("engine bay"), where("under the dash")
    ('at the engine bay', 'under the dash')
    """
    return {PLACES[0]: "in the driver's seat", PLACES[1]: "at the engine bay"}.get(place, place)


def sentence(text: str) -> str:
    """The text with a capital and a full stop.

    >>> sentence("done: thermostat renewed")
    'Done: thermostat renewed.'
    """
    return text[:1].upper() + text[1:] + ("" if text[-1:] in ".!?:" else ".")


def lines(answer: Answer, units: Units) -> list[str]:
    """The answer as lines."""
    if "error" in answer:
        return [f"Not done. {sentence(answer['error'])}"]
    if "help" in answer:
        return [f"{phrase['usage']}: {phrase['does']}." for phrase in answer["help"]]
    if "complaint" in answer:
        return _card(answer, units)
    if "checks" in answer:
        return _look(answer)
    if "grade" in answer:
        return _grade(answer)
    if "hint" in answer:
        return _hint(answer["hint"])
    if "asks" in answer or set(answer) == {"command", "cautions"}:
        return _cautions(answer)
    if "quit" in answer:
        return [f"The keys are not handed back. The record is kept: {answer['record']}"]
    if set(answer) == {"command", "readings"}:
        return [_noted(reading) for reading in answer["readings"]] or ["No readings yet."]
    return _done(answer)


def _card(answer: Answer, units: Units) -> list[str]:
    return [
        f"Job {answer['job']}: {answer['title']}.",
        f'{sentence(answer["customer"])} The complaint: "{answer["complaint"]}"',
        f"Vehicle: {answer['vehicle']}, {answer['mileage_km']:.0f} km. {sentence(answer['about'])}",
        *([f"History: {sentence(answer['history'])}"] if answer["history"] else []),
        f"Outside it is {temperature(answer['ambient_C'], units)}.",
        f"The repair is proven when the vents give at least {temperature(answer['warm_enough_C'], units)}.",
        *_how(answer),
        *(f"Handbook, {label}: {sentence(text)}" for label, text in answer["manual"].items()),
    ]


def _how(answer: Answer) -> list[str]:
    """What was written down, and how the job is sat."""
    out = [f"Written, {kind}: {sentence(text)}" for kind, text in answer["written"].items()]
    out += [f"Note: {sentence(text)}" for text in answer["notes"]]
    allowed = f", {minutes(answer['allowed_minutes'])} allowed" if answer["allowed_minutes"] else ""
    return [*out, f"Mode: {answer['mode']}{allowed}: {MODES[answer['mode']]}."]


def _thing(thing: Answer) -> str:
    tool = f", {thing['tool']}" if thing.get("tool") else ""
    part = f", renews {thing['part']}" if thing.get("part") else ""
    text = f"  {thing['id']}: {thing['name']}{tool}{part}, {minutes(thing['minutes'])}."
    return text if thing["possible"] else f"{text} Not now: {thing['why']}."


def _look(answer: Answer) -> list[str]:
    controls = answer["controls"]
    out = [f"Minute {answer['minute']:.0f}. You are {where(answer['place'])}."]
    out += answer["perceived"]
    if answer["seconds_left"] is not None:
        out.append(f"Time left: {minutes(answer['seconds_left'] / 60.0)}.")
    out.append(
        f"Controls: ignition {controls['ignition']}, engine {controls['engine']}, heater {controls['heater']},"
        f" blower {controls['blower']}, vents {controls['vents']}, recirculation {controls['recirculation']}."
    )
    for place in PLACES:
        here = [_thing(check) for check in answer["checks"] if check["place"] == place]
        walk = "" if place == answer["place"] else ", not where you are"
        out += [f"Checks, {place}{walk}:", *here] if here else []
    out += ["Repairs:", *(_thing(repair) for repair in answer["repairs"])]
    out.append("Faults to suspect or diagnose:")
    for fault in answer["faults"]:
        mark = f" Marked {fault['mark']}." if fault["mark"] else ""
        out.append(f"  {fault['id']}: {fault['name']}.{mark}")
    if answer["diagnosis"]:
        out.append(f"Diagnosis: {answer['diagnosis']['fault']}, {answer['diagnosis']['confidence']:g} % sure.")
    return out


def _noted(reading: Answer) -> str:
    mark = f", marked {reading['mark']}" if reading["mark"] else ""
    after = ", after a repair" if reading["repairs"] else ""
    return (
        f"{reading['number']}. Minute {reading['minute']:.0f}. {reading['label']}: {reading['shown']}."
        f" {sentence(reading['state'] + after + mark)}"
    )


def _done(answer: Answer) -> list[str]:
    out = [f"Caution. {caution['text']}" for caution in answer.get("cautions", ())]
    out += [f"{reading['label']}: {reading['shown']}." for reading in answer["readings"]]
    out += [sentence(said) for said in answer["said"]]
    out += [f"Safety: {sentence(event['what'])}" for event in answer["safety"]]
    out += answer["perceived"]
    if answer["minutes"]:
        out.append(f"It took {minutes(answer['minutes'])}. Minute {answer['minute']:.0f}.")
    return out


def _hint(hint: Answer) -> list[str]:
    if hint["rung"] is None:
        return [f"Nothing more is to be told now. {hint['text']}"]
    cost = f"{hint['marks']:g} mark" if hint["marks"] == 1.0 else f"{hint['marks']:g} marks"
    return [f"Hint, {hint['rung']}, {cost}. {hint['text']}"]


def _cautions(answer: Answer) -> list[str]:
    out = [f"Caution. {caution['text']}" for caution in answer["cautions"]]
    return [*out, "Enter goes on, 'skip' passes over it, 'back' leaves it."] if "asks" in answer else out


def _grade(answer: Answer) -> list[str]:
    grade: dict[str, Any] = answer["grade"]
    out = [sentence(said) for said in answer.get("said", ())]
    out += [
        f"The keys are handed back. Total {grade['total']:g} of 100: {'passed' if grade['passed'] else 'not passed'}."
    ]
    out += [f"{name}: {value:g}, weight {grade['weights'][name]:g}." for name, value in grade["criteria"].items()]
    out.append(
        f"You used {grade['checks_used']} checks and {minutes(grade['minutes_used'])};"
        f" the reference needed {grade['reference_checks']} and {minutes(grade['reference_minutes'])}."
    )
    out += [f"Safety: {sentence(what)}" for what in grade["safety"]]
    out += [sentence(reason) for reason in grade["reasons"]]
    return [*out, f"For the whole story: lukewarm debrief {answer['record']}"]
