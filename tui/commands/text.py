"""``lukewarm text JOB``: a job in plain text on standard input and output."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from grading.drawing.narrowing import BANDS, SYSTEM_WORDS
from grading.sessions.modes import EXAM, EXAM_MINUTES, FREE, LONGEST_EXAM, MODES, SHORTEST_EXAM
from scenarios.language import N_, _, chosen, say
from scenarios.wrong_use import WrongUse
from tui.commands.rubric_file import add_rubric, read_rubric
from tui.presentation.between_jobs.pick import PICKS
from tui.presentation.process.console import DONE, NEGATIVE, complain

_EXAMPLE = N_("""\
One command a line on standard input; 'help' lists them. Blank lines and lines that begin with # are passed over.
The record is written as things happen. At the end of input without 'handback', or after 'quit', the record is kept,
nothing is graded, and the exit status is 1; --resume goes on with it.

example:
  lukewarm text JOB
  printf 'look\\ncheck gauge\\nquit\\n' | lukewarm text JOB --format json
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "text",
        help=_("work on a job in plain text"),
        description=_("Work on a job in plain text: for screen readers, scripts and tests."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("job", nargs="?", metavar=_("JOB"), help=_("id of a job, as 'lukewarm show jobs' lists them"))
    parser.add_argument(
        "--draw",
        metavar=_("NUMBER"),
        help=_(
            "instead of a job: the vehicle of a number, such as 4711, blower-4711 or easy-4711; the same for everybody"
        ),
    )
    parser.add_argument(
        "--pick",
        choices=PICKS,
        metavar=_("WHAT"),
        help=say(
            "instead of a job: next: the one to do next; due: what was confused and is due again; today: the vehicle "
            "of the day; any: any vehicle; confused: one of two faults that you confuse; same-complaint: that of the "
            "job passed last, with another fault; {bands}: as hard as that; {systems}: a fault there",
            bands=", ".join(BANDS),
            systems=", ".join(SYSTEM_WORDS),
        ),
    )
    parser.add_argument(
        "--seed", type=int, metavar="N", help=_("which vehicle of its kind (a whole number; 1 unless given)")
    )
    parser.add_argument("--resume", action="store_true", help=_("go on with the newest unfinished record of this job"))
    parser.add_argument(
        "--take-over",
        action="store_true",
        help=_("with --resume: go on with a record that is open elsewhere; the other program lets go of it"),
    )
    parser.add_argument(
        "--record", type=Path, metavar=_("FILE"), help=_("where the record goes, instead of the records folder")
    )
    parser.add_argument(
        "--format", choices=("plain", "json"), default="plain", help=_("sentences, or one object a line")
    )
    parser.add_argument(
        "--mode", choices=tuple(MODES), help="; ".join(f"{name}: {_(what)}" for name, what in MODES.items())
    )
    parser.add_argument(
        "--minutes",
        type=float,
        metavar="N",
        help=say(
            "wall-clock minutes of an exam, {least:g} to {most:g}; {usual:g} unless given",
            least=SHORTEST_EXAM,
            most=LONGEST_EXAM,
            usual=EXAM_MINUTES,
        ),
    )
    parser.add_argument(
        "--candidate",
        default=argparse.SUPPRESS,  # or it would undo one that stands before the command
        metavar=_("NAME"),
        help=_("who works on it, for an assessor; stands in the record"),
    )
    add_rubric(parser)
    parser.add_argument("--units", choices=("si", "us"), default="si", help=_("us shows degrees Fahrenheit and psi"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Open or resume the job, drawn first where its number is given, and converse."""
    if sum(given is not None for given in (arguments.job, arguments.draw, arguments.pick)) != 1:
        raise WrongUse(_("expected the id of a job, --draw NUMBER or --pick WHAT, one of them"))
    if arguments.job is not None:
        return _work(arguments)

    from scenarios.files.own_folders import drawn_folder, use_folders

    arguments.job = _drawn(arguments)
    folder = drawn_folder(arguments.job)
    with use_folders([str(folder)] if folder.is_dir() else []):
        return _work(arguments)


def _drawn(arguments: argparse.Namespace) -> str:
    """Id of the job that a number or a word stands for."""
    from grading.drawing.by_number import drawn_by_number
    from grading.sessions.records import kept_records
    from scenarios.files.own_folders import catalogue_in_use
    from tui.presentation.between_jobs.numbers import today
    from tui.presentation.between_jobs.pick import picked
    from tui.text.prompt import at_a_terminal, told_when_slow

    catalogue, rubric = catalogue_in_use(), read_rubric(arguments)
    with told_when_slow(sys.stderr if at_a_terminal() else None):
        if arguments.draw is not None:
            return drawn_by_number(catalogue, arguments.draw, rubric, chosen())[0]
        return picked(catalogue, arguments.pick, kept_records(), rubric, today())


def _work(arguments: argparse.Namespace) -> int:
    from scenarios.files.own_folders import catalogue_in_use
    from tui.commands.finding import find_job

    catalogue = catalogue_in_use()
    job = find_job(catalogue, arguments.job)
    if arguments.resume and arguments.seed is not None:
        raise WrongUse(_("--seed goes with a fresh start, expected --resume or --seed, not both"))
    if arguments.take_over and not arguments.resume:
        raise WrongUse(_("--take-over goes with a record that was begun, expected --resume"))
    if arguments.resume and arguments.candidate is not None:
        raise WrongUse(_("a job goes on as it was begun, expected --resume or --candidate, not both"))
    if arguments.resume and (arguments.mode or arguments.minutes):
        raise WrongUse(_("a job goes on as it was begun, expected --resume or --mode, not both"))
    if arguments.minutes is not None:
        if arguments.mode != EXAM:
            raise WrongUse(say("--minutes goes with an exam, expected --mode {exam}", exam=EXAM))
        if not SHORTEST_EXAM <= arguments.minutes <= LONGEST_EXAM:
            raise WrongUse(
                say(
                    "an exam cannot last {minutes:g} minutes, expected {least:g} to {most:g}",
                    minutes=arguments.minutes,
                    least=SHORTEST_EXAM,
                    most=LONGEST_EXAM,
                )
            )

    rubric = read_rubric(arguments)
    from grading.marks.rubric import load_rubric
    from grading.sessions.openings import begin, mode_of, resume
    from tui.presentation.marking.marks_ahead import MarksAhead
    from tui.text import answers, plain
    from tui.text.conversation import converse
    from tui.text.prompt import at_a_terminal, told_when_slow, typed_lines
    from tui.text.text import TextJob
    from tui.text.wrapping import write

    with told_when_slow(sys.stderr if at_a_terminal() else None):
        session = (
            resume(catalogue, job, arguments.record, complain, arguments.take_over)
            if arguments.resume
            else begin(
                catalogue,
                job,
                1 if arguments.seed is None else arguments.seed,
                arguments.record,
                mode_of(arguments.mode or FREE, arguments.minutes),
                candidate=arguments.candidate,
                rubric=rubric.hash,
            )
        )
    asks = arguments.format == "plain" and sys.stdin.isatty()
    followed = session.recorder.path if asks and rubric.hash == load_rubric().hash else None
    ahead = None if followed is None else MarksAhead(followed)
    conversation = TextJob(session.catalogue, session, asks, arguments.units, rubric, ahead)
    try:
        if arguments.format == "plain":
            greeting = plain.lines(answers.displayed(answers.card(session, rubric), arguments.units), arguments.units)
            greeting.append(_("Type 'look' to look round, 'help' for what can be typed."))
            write(greeting, sys.stdout)
        source = typed_lines(conversation.completions) if asks and not session.mode.exam else sys.stdin
        converse(conversation, source, sys.stdout, arguments.format)
    finally:
        session.close()
        if ahead is not None:
            ahead.close()
    if session.finished or conversation.put_away:
        return DONE
    complain(
        say(
            "lukewarm: the keys are not handed back; the record is kept as {record}, go on with --resume",
            record=conversation.record,
        )
    )
    return NEGATIVE
