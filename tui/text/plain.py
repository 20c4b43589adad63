"""Answers in short sentences, for people and for screen readers: no boxes, no colour, nothing that needs to be seen."""

from __future__ import annotations

from typing import Any

from grading.sessions.modes import MODES
from scenarios.language import N_, _, decimal, say
from scenarios.model import BAY, BENCH, DASH, PLACES, SEAT
from tui.presentation.between_jobs import numbers
from tui.presentation.units import Units, temperature
from tui.text.answers import Answer


def minutes(value: float) -> str:
    """A time in words.

    >>> minutes(1.0), minutes(0.5), minutes(12.04)
    ('1 minute', '0.5 minutes', '12 minutes')
    """
    figure = f"{value:.1f}".removesuffix(".0")
    if figure == "1":
        return say("{minutes} minute", minutes=figure)
    return say("{minutes} minutes", minutes=decimal(figure))


def marks(value: float) -> str:
    """Marks of the total.

    >>> marks(1.0), marks(2.5)
    ('1 mark', '2.5 marks')
    """
    return _("1 mark") if value == 1.0 else say("{marks:g} marks", marks=float(value))


_YOU_ARE = {
    SEAT: N_("You are in the driver's seat."),
    BAY: N_("You are at the engine bay."),
    DASH: N_("You are under the dash."),
    BENCH: N_("You are at the bench."),
}


def sentence(text: str) -> str:
    """The text with a capital and a full stop.

    >>> sentence("done: thermostat renewed")
    'Done: thermostat renewed.'
    """
    return text[:1].upper() + text[1:] + ("" if text[-1:] in ".!?:" else ".")


def lines(answer: Answer, units: Units) -> list[str]:
    """The answer as lines."""
    if "error" in answer:
        first = [say("Type this first: {command}", command=answer["first"])] if "first" in answer else []
        return [say("Not done. {why}", why=sentence(answer["error"])), *first]
    if "help" in answer:
        return [f"{phrase['usage']}: {phrase['does']}." for phrase in answer["help"]]
    if "complaint" in answer:
        return _card(answer, units)
    if "checks" in answer:
        return _brief(answer) if answer.get("list") == "brief" else _look(answer)
    if "grade" in answer:
        return _grade(answer)
    if "hint" in answer:
        return _hint(answer["hint"])
    if "question" in answer:
        return [answer["question"], _("Enter goes on, 'back' leaves it.")]
    if "put_away" in answer:
        return [say("The job is given up. Its record is put away: {record}", record=answer["record"])]
    if "asks" in answer or set(answer) == {"command", "cautions"}:
        return _cautions(answer)
    if "quit" in answer:
        return [say("The keys are not handed back. The record is kept: {record}", record=answer["record"])]
    if set(answer) == {"command", "readings"}:
        return [_noted(reading) for reading in answer["readings"]] or [_("No readings yet.")]
    return _done(answer)


def _card(answer: Answer, units: Units) -> list[str]:
    return [
        say("Job {id}: {title}.", id=answer["job"], title=answer["title"]),
        *([told] if (told := numbers.told(answer["job"])) else []),
        sentence(answer["customer"]) + " " + say('The complaint: "{complaint}"', complaint=answer["complaint"]),
        say("Vehicle: {vehicle}, {km} km.", vehicle=answer["vehicle"], km=f"{answer['mileage_km']:.0f}")
        + f" {sentence(answer['about'])}",
        *([say("History: {history}", history=sentence(answer["history"]))] if answer["history"] else []),
        say("Outside it is {temperature}.", temperature=temperature(answer["ambient_C"], units)),
        say("Time allowed to find the fault: {minutes:.0f} minutes.", minutes=answer["minutes_allowed"]),
        *([_("Find the fault; nothing is to be repaired.")] if answer["diagnosis_only"] else []),
        answer["what_counts"],
        *_how(answer),
        *(
            say("Handbook, {label}: {text}", label=label, text=sentence(text))
            for label, text in answer["manual"].items()
        ),
    ]


def _how(answer: Answer) -> list[str]:
    """What was written down, and how the job is sat."""
    out = [
        say("Written, {kind}: {text}", kind=_(kind), text=sentence(text)) for kind, text in answer["written"].items()
    ]
    out += [say("Draft, {kind}: {text}", kind=_(kind), text=sentence(text)) for kind, text in answer["drafts"].items()]
    out += [say("Note: {text}", text=sentence(text)) for text in answer["notes"]]
    mode = answer["mode"]
    told = {"mode": _(mode), "means": _(MODES[mode])}
    if answer["allowed_minutes"]:
        allowed = minutes(answer["allowed_minutes"])
        return [*out, say("Mode: {mode}, {minutes} allowed: {means}.", minutes=allowed, **told)]
    return [*out, say("Mode: {mode}: {means}.", **told)]


def _thing(thing: Answer) -> str:
    tool = f", {thing['tool']}" if thing.get("tool") else ""
    part = say(", renews {part}", part=thing["part"]) if thing.get("part") else ""
    number = f"{thing['number']}. " if "number" in thing else ""
    text = f"  {number}{thing['id']}: {thing['name']}{tool}{part}, {minutes(thing['minutes'])}."
    return text if thing["possible"] else text + " " + say("Not now: {why}.", why=thing["why"])


def _brief(answer: Answer) -> list[str]:
    """What matters here, in fewer than thirty lines: checks by their short names, more on request."""
    out = _where(answer)
    if answer["changed"]:
        out.append(say("Since you last looked: {changes}", changes=" ".join(answer["changed"])))
    by_tool: dict[str, list[str]] = {}
    for check in answer["checks"]:
        if check["place"] == answer["place"]:
            by_tool.setdefault(check["tool"].split(",")[0], []).append(check["id"])
    alone = [names[0] for names in by_tool.values() if len(names) == 1]
    if by_tool:
        out.append(_("Checks here:"))
    out += [f"  {tool}: {', '.join(names)}." for tool, names in by_tool.items() if len(names) > 1]
    out += [say("  other tools: {names}.", names=", ".join(alone))] if alone else []
    out += _diagnosed(answer)
    out.append(answer["next"])
    out.append(_("More: 'look bay' for another place; 'checks', 'repairs', 'faults', each also with a word to find."))
    return out


def _where(answer: Answer) -> list[str]:
    """The minute, the place, what is noticed, the time left, the controls."""
    controls, place = answer["controls"], answer["place"]
    out = [say("Minute {minute:.0f}.", minute=float(answer["minute"])) + " " + _(_YOU_ARE[place])]
    out += answer["perceived"]
    if answer["seconds_left"] is not None:
        out.append(say("Time left: {minutes}.", minutes=minutes(answer["seconds_left"] / 60.0)))
    out.append(
        say(
            "Controls: ignition {ignition}, engine {engine}, heater {heater}, blower {blower}, vents {vents}, "
            "recirculation {recirculation}.",
            **{name: _(stands) if isinstance(stands, str) else stands for name, stands in controls.items()},
        )
    )
    return out


def _diagnosed(answer: Answer) -> list[str]:
    if not answer["diagnosis"]:
        return []
    fault, sure = answer["diagnosis"]["fault"], float(answer["diagnosis"]["confidence"])
    return [say("Diagnosis: {fault}, {sure:g} % sure.", fault=fault, sure=sure)]


def _look(answer: Answer) -> list[str]:
    place, out = answer["place"], []
    for name in PLACES:
        here = [_thing(check) for check in answer["checks"] if check["place"] == name]
        heading = (
            say("Checks, {place}:", place=_(name))
            if name == place
            else say("Checks, {place}, not where you are:", place=_(name))
        )
        out += [heading, *here] if here else []
    out += [_("Repairs:"), *(_thing(repair) for repair in answer["repairs"])] if answer["repairs"] else []
    out += [_("Faults to suspect or diagnose:")] if answer["faults"] else []
    for fault in answer["faults"]:
        held = fault["mark"]
        mark = " " + say("Marked {mark}.", mark=_(held)) if held else ""
        number = f"{fault['number']}. " if "number" in fault else ""
        out.append(f"  {number}{fault['id']}: {fault['name']}.{mark}")
    return out + _diagnosed(answer)


def _noted(reading: Answer) -> str:
    held = reading["mark"]
    mark = say(", marked {mark}", mark=_(held)) if held else ""
    after = _(", after a repair") if reading["repairs"] else ""
    minute = say("Minute {minute:.0f}.", minute=float(reading["minute"]))
    return (
        f"{reading['number']}. {minute} {reading['label']}: {reading['shown']}."
        f" {sentence(reading['state'] + after + mark)}"
    )


def _done(answer: Answer) -> list[str]:
    out = [say("Caution. {text}", text=caution["text"]) for caution in answer.get("cautions", ())]
    for reading in answer["readings"]:
        sound = [say("Sound: {band} here and now.", band=reading["sound"])] if "sound" in reading else []
        out.append(" ".join([f"{reading['label']}: {reading['shown']}.", *sound]))
    out += [sentence(said) for said in answer["said"]]
    out += [say("Safety: {what}", what=sentence(event["what"])) for event in answer["safety"]]
    out += answer["perceived"]
    if answer["minutes"]:
        out.append(
            say("It took {minutes}. Minute {now:.0f}.", minutes=minutes(answer["minutes"]), now=float(answer["minute"]))
        )
    return out


def _hint(hint: Answer) -> list[str]:
    if hint["rung"] is None:
        return [say("No further hint now. {hint}", hint=hint["text"])]
    rung = hint["rung"]
    return [say("Hint, {rung}, {cost}. {hint}", rung=_(rung), cost=marks(hint["marks"]), hint=hint["text"])]


def _cautions(answer: Answer) -> list[str]:
    out = [say("Caution. {text}", text=caution["text"]) for caution in answer["cautions"]]
    return [*out, _("Enter: done, go on; 'skip' goes on without, 'back' leaves it.")] if "asks" in answer else out


def _grade(answer: Answer) -> list[str]:
    grade: dict[str, Any] = answer["grade"]
    out = [sentence(said) for said in answer.get("said", ())]
    verdict, *others = grade["first_page"]
    out += verdict["lines"]
    for section in others:
        first, *more = section["lines"]
        out += [f"{section['title']}: {first}", *more]
    out.append(_("How this was judged:"))
    out += [
        say("{criterion}: {value:g}, weight {weight:g}.", criterion=_(name), value=value, weight=grade["weights"][name])
        for name, value in grade["criteria"].items()
    ]
    out.append(
        say(
            "Checks: {checks}, in {minutes}; the reference: {reference_checks}, in {reference_minutes}.",
            checks=grade["checks_used"],
            minutes=minutes(grade["minutes_used"]),
            reference_checks=grade["reference_checks"],
            reference_minutes=minutes(grade["reference_minutes"]),
        )
    )
    out += [sentence(reason) for reason in grade["reasons"]]
    out.append(say("For the whole story: lukewarm debrief {record}", record=answer["record"]))
    out += [told] if (told := numbers.told(answer["job"])) else []
    return (
        [*out, _("The same complaint with another fault: lukewarm text --pick same-complaint")]
        if answer["same_complaint"]
        else out
    )
