"""``lukewarm author look JOB``: a job from behind, before it is given to anybody."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING, Any

from scenarios.language import N_, _, say
from tui.commands.author.sealed import require_unsealed
from tui.commands.finding import find_job
from tui.presentation.clean import clean_line
from tui.presentation.process.console import DONE

if TYPE_CHECKING:
    from grading.reference.policy import ReferenceRun
    from grading.sessions.session import Session
    from scenarios.model import Catalogue, Fault

_EXAMPLE = N_("""\
The reference is told nothing but the job card, and takes the readings that tell most a minute. If it ends unsure, or
sure of something else, the job may be unfair. It takes up to a minute.

example:
  lukewarm --with my-workshop author look orchard-lane
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "look",
        help=_("look at a job: what the learner meets, what is wrong, the reference's way"),
        description=_("Look at a job before it is given to anybody: what the learner meets, what is wrong, and the "
                      "reference's way to it."),
        epilog=_(_EXAMPLE),
    )  # fmt: skip
    parser.add_argument("job", metavar=_("JOB"), help=_("id of a job, as 'lukewarm show jobs' lists them"))
    parser.add_argument("--seed", type=int, default=1, metavar="N", help=_("which vehicle of its kind (1)"))
    parser.add_argument("--format", choices=("plain", "json"), default="plain", help=_("sentences, or one object"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Look at the job and tell."""
    from scenarios.files.own_folders import catalogue_in_use

    catalogue = catalogue_in_use()
    job = find_job(catalogue, arguments.job)
    require_unsealed([job.id])

    from grading.marks.grade import Grader
    from grading.sessions.session import Session

    session = Session(catalogue, job, arguments.seed)
    course = Grader(catalogue, job, arguments.seed).course
    if arguments.format == "json":
        print(json.dumps(_as_data(session, course), allow_nan=False))
        return DONE
    for title, lines in _sections(session, course):
        print(clean_line(title))
        print("".join(f"    {clean_line(line)}\n" for line in lines))
    return DONE


def _faults(catalogue: Catalogue, session: Session) -> list[Fault]:
    return [catalogue.faults[planted.fault] for planted in session.job.faults]


def _changed(session: Session) -> list[tuple[str, float, float]]:
    """Parameters that the faults have changed on this vehicle: name, value of a sound one, value as it arrives."""
    from sim.vehicle.parameters import PARAMETERS

    good, bad = session.workshop.good[0], session.workshop.fleet.parameters[0]
    return [
        (name, float(good[name]), float(bad[name]))
        for name in PARAMETERS
        if good[name] != bad[name] and name != "core_km"  # the mileage, on a sound vehicle too
    ]


def _is_found(session: Session, course: ReferenceRun) -> bool:
    return course.diagnosis in session.job.real_faults


def _sections(session: Session, course: ReferenceRun) -> list[tuple[str, list[str]]]:
    from grading.marks.rubric import load_rubric
    from grading.report.action_words import describe
    from sim.vehicle.parameters import PARAMETERS
    from tui.text import answers, plain

    catalogue = session.catalogue
    truth = []
    for fault in _faults(catalogue, session):
        told = {"fault": _(fault.name), "part": _(fault.part), "mode": _(fault.mode)}
        truth += [say("{fault}. Part: {part}. How it failed: {mode}.", **told), _(fault.explains)]
        cures = "; ".join(_(catalogue.repairs[name].name) for name in fault.cured_by)
        truth.append(say("Cured by: {cures}.", cures=cures))
    for name, good, bad in _changed(session):
        unit = PARAMETERS[name].unit.removeprefix("-")
        told = {"name": name, "good": good, "bad": bad, "unit": unit}
        truth.append(say("{name}: {bad:g} instead of {good:g} {unit}", **told).strip())
    way = [describe(catalogue, action) for action in course.actions]
    told = {"checks": len(course.checks), "minutes": course.minutes, "belief": course.belief}
    text = "{checks} checks, {minutes:.0f} minutes; then {belief:.0%} sure of: {fault}."
    way.append(say(text, fault=_(catalogue.faults[course.diagnosis].name), **told))
    if not _is_found(session, course):
        way.append(_("That is wrong: a job that the reference cannot solve is hardly fair."))
    return [
        (_("What the learner meets"), [*plain.lines(answers.card(session, load_rubric()), "si"), *session.perceived()]),
        (_("What is wrong"), truth or [_("Nothing is wrong with this vehicle.")]),
        (_("The reference's way"), way),
    ]


def _as_data(session: Session, course: ReferenceRun) -> dict[str, Any]:
    from grading.marks.rubric import load_rubric
    from tui.text import answers

    return {
        "card": answers.card(session, load_rubric()),
        "perceived": session.perceived(),
        "faults": [fault.id for fault in _faults(session.catalogue, session)],
        "changed": {name: {"sound": good, "arrives": bad} for name, good, bad in _changed(session)},
        "reference": {
            "actions": [[action.verb, *action.arguments] for action in course.actions],
            "checks": course.checks,
            "minutes": course.minutes,
            "diagnosis": course.diagnosis,
            "belief": course.belief,
            "right": _is_found(session, course),
        },
    }
