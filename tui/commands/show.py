"""``lukewarm show``: lists of vehicles, faults, checks, repairs, jobs, of what is recorded, and how one gets on."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from scenarios.language import N_, _, say
from tui.presentation.clean import clean
from tui.presentation.process.console import DONE, complain
from tui.presentation.units import in_units

if TYPE_CHECKING:
    from scenarios.model import Catalogue

KINDS = ("vehicles", "faults", "checks", "repairs", "jobs", "board", "records", "progress")

_EXAMPLE = N_("""\
example:
  lukewarm show checks
  lukewarm show faults --format json
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "show",
        help=_("list what there is"),
        description=_("List what there is, sorted as in the program."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("kind", choices=KINDS, help=_("what to list"))
    parser.add_argument(
        "--format", choices=("plain", "json"), default="plain", help=_("sentences, or a list of objects")
    )
    parser.add_argument("--units", choices=("si", "us"), default="si", help=_("us shows degrees Fahrenheit and psi"))
    parser.set_defaults(run=run)


def _plain(value: Any) -> Any:
    if isinstance(value, frozenset | set):
        return sorted(value)
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return value


def run(arguments: argparse.Namespace) -> int:
    """Print the list."""
    from scenarios.files.own_folders import catalogue_in_use

    if arguments.kind == "records":
        return _records(catalogue_in_use(), arguments.format)
    if arguments.kind == "progress":
        return _progress(catalogue_in_use(), arguments.format)
    if arguments.kind == "board":
        return _board(catalogue_in_use(), arguments.format)
    things = getattr(catalogue_in_use(), arguments.kind).values()
    if arguments.format == "json":
        told = [_plain(asdict(thing)) for thing in things]
        print(json.dumps(_withheld(told) if arguments.kind == "jobs" else told, indent=1, allow_nan=False))
        return DONE
    for thing in things:
        print(clean(in_units(_line(arguments.kind, thing), arguments.units)))
    return DONE


def _withheld(jobs: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The jobs, without what is planted in those whose exam is not handed in: null stands for it."""
    from grading.sessions.records import kept_records, sealed_jobs

    sealed = sealed_jobs(kept_records())
    for name in sorted(sealed & {job["id"] for job in jobs}):
        complain(say("lukewarm: an exam of job '{job}' is not handed in: its faults are not told", job=name))
    return [job | {"faults": None} if job["id"] in sealed else job for job in jobs]


def _records(catalogue: Catalogue, form: str) -> int:
    """Print what is recorded on this machine, newest first."""
    from grading.drawing.number import number_of
    from grading.sessions.records import kept_records
    from scenarios.files.drawn_jobs import with_drawn_jobs
    from tui.presentation.between_jobs.numbers import named
    from tui.presentation.between_jobs.progress import result

    records = kept_records()
    told = [
        {
            "record": str(kept.path),
            "job": kept.job,
            "number": number_of(kept.job),
            "mode": kept.mode.name,
            "open": kept.open,
            "given_up": kept.given_up,
            "error": None if kept.error is None else str(kept.error),
            "total": kept.total if kept.grade else None,
            "passed": bool(kept.grade.get("passed")) if kept.grade else None,
        }
        for kept in records
    ]
    if form == "json":
        print(json.dumps(told, indent=1, allow_nan=False))
        return DONE
    jobs = with_drawn_jobs(catalogue, (kept.job for kept in records)).jobs
    for kept in records:
        title = named(jobs, kept.job)
        state = _("begun") if kept.open and kept.error is None else result(kept)
        print(clean(f"{title}, {_(kept.mode.name)}: {state}. {kept.path}"))
    return DONE


def _board(catalogue: Catalogue, form: str) -> int:
    """Print what the board offers, and all jobs from the easiest."""
    from grading.sessions.records import kept_records
    from tui.commands.show_board import as_data, as_sentences
    from tui.presentation.between_jobs.numbers import today
    from tui.presentation.between_jobs.offered import offered
    from tui.presentation.between_jobs.progress import progress_of

    kept = kept_records()
    given = offered(catalogue, progress_of(catalogue, kept), kept, today())
    if form == "json":
        print(json.dumps(as_data(catalogue, given), indent=1, allow_nan=False))
    else:
        print("\n".join(map(clean, as_sentences(catalogue, given))))
    return DONE


def _progress(catalogue: Catalogue, form: str) -> int:
    """Print how the learner gets on."""
    from grading.sessions.records import kept_records
    from tui.commands.show_progress import as_data, as_sentences
    from tui.presentation.between_jobs.progress import progress_of

    progress = progress_of(catalogue, kept_records())
    if form == "json":
        print(json.dumps(as_data(progress), indent=1, allow_nan=False))
    else:
        print("\n".join(as_sentences(catalogue, progress)))
    return DONE


def _line(kind: str, thing: Any) -> str:
    match kind:
        case "vehicles":
            return f"{thing.id}: {_(thing.name)}. {_(thing.about)}"
        case "faults":
            return f"{thing.id}: {_(thing.name)}. {_(thing.system)}; {_(thing.part)}, {_(thing.mode)}."
        case "checks":
            return say(
                "{id}: {name}. {place}, {minutes:g} min, {tool}.",
                id=thing.id,
                name=_(thing.name),
                place=_(thing.place),
                minutes=thing.minutes,
                tool=_(thing.tool),
            )
        case "repairs":
            return say(
                "{id}: {name}. {minutes:g} min, part: {part}, cost: {cost}.",
                id=thing.id,
                name=_(thing.name),
                minutes=thing.minutes,
                part=_(thing.part),
                cost=_(thing.cost),
            )
        case _:
            return say(
                '{id}: {title}. {vehicle}, difficulty {difficulty} of 5. "{complaint}"',
                id=thing.id,
                title=_(thing.title),
                vehicle=thing.vehicle,
                difficulty=thing.difficulty,
                complaint=_(thing.complaint),
            )
