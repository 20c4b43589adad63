"""``lukewarm author prove DIR...``: shows by simulation that each job of a folder is fair."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scenarios.language import N_, _, say
from scenarios.wrong_use import WrongUse
from tui.commands.author.sealed import require_unsealed
from tui.commands.processes.cluster import add_cluster
from tui.commands.rubric_file import add_rubric, read_rubric
from tui.presentation.process.console import DONE, NEGATIVE, WRONG_USE, complain

if TYPE_CHECKING:
    from grading.fairness.difficulty import Measured
    from grading.fairness.doubt import Doubt
    from grading.marks.rubric import Rubric
    from scenarios.authoring.own_jobs import JobPlaces
    from scenarios.model import Catalogue

MOST_VEHICLES, MOST_PROCESSES = 1000, 64

_EXAMPLE = N_("""\
Each job is simulated on several vehicles. Its complaint must show when the vehicle is compared with a healthy one on
the same drive. Each repair that cures a fault must be provable as the job card asks, and the customer must have no
complaint for a month. The reference, told nothing but the job card, must find a fault of the job within the minutes
allowed and be at least 85 % sure. Title and complaint must not name what is wrong. Results are cached: a job that has
not changed is not simulated again. With --difficulty, competent technicians and novices work on each vehicle too.

Exit status: 0 every job is proven, 1 one is not, 2 something is wrong with the files.

example:
  lukewarm author prove my-workshop
  lukewarm author prove my-workshop --vehicles 10 --format json
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "prove",
        help=_("show by simulation that each job is fair"),
        description=_("Show by simulation that each job is fair: the complaint occurs, each cure cures, the fault can "
                      "be found."),
        epilog=_(_EXAMPLE),
    )  # fmt: skip
    parser.add_argument(
        "folders",
        nargs="*",
        type=Path,
        metavar=_("FOLDER"),
        help=_("folders or zip files whose jobs are simulated; every job if none is given"),
    )
    parser.add_argument(
        "--vehicles", type=int, default=3, metavar="N", help=_("how many vehicles of each job, seeds 1 to N (3)")
    )
    parser.add_argument(
        "--format", choices=("text", "json"), default="text", help=_("a line for each failure, or one object")
    )
    parser.add_argument(
        "--difficulty",
        action="store_true",
        help=_("let technicians try each job as well, and warn where the difficulty stated is not what they find"),
    )
    add_rubric(parser)
    parser.add_argument(
        "--processes",
        type=int,
        metavar="N",
        help=_("how many processes share the jobs; as many as the machine has processors unless given"),
    )
    add_cluster(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Try the jobs and tell what is not fair about them."""
    processes = min(os.cpu_count() or 1, MOST_PROCESSES) if arguments.processes is None else arguments.processes
    if not 1 <= processes <= MOST_PROCESSES:
        raise WrongUse(say("{number} processes, expected 1 to {most}", number=processes, most=MOST_PROCESSES))
    if not 1 <= arguments.vehicles <= MOST_VEHICLES:
        told = {"number": arguments.vehicles, "most": MOST_VEHICLES}
        raise WrongUse(say("{number} vehicles, expected 1 to {most}", **told))
    rubric = read_rubric(arguments)

    from scenarios.authoring.check import check_folders
    from scenarios.authoring.own_jobs import own_jobs
    from scenarios.files.own_folders import own_folders

    others = own_folders()
    folders = {folder.resolve(): folder for folder in (*others, *arguments.folders)}
    findings = check_folders(list(folders.values()))
    if findings.errors:
        complain("\n".join(findings.lines()))
        return WRONG_USE
    catalogue, places = own_jobs(arguments.folders, others)
    if not places:
        raise WrongUse(_("there is no job in this folder, expected one at least"))
    require_unsealed(places)
    return _prove(catalogue, places, rubric, arguments, processes)


def _prove(
    catalogue: Catalogue,
    places: Mapping[str, JobPlaces],
    rubric: Rubric,
    arguments: argparse.Namespace,
    processes: int,
) -> int:
    """Try every vehicle and report, also where it is broken off."""
    from grading.fairness.jobs import Case
    from tui.commands.author.prove_processes import measure_all, try_all
    from tui.commands.author.prove_report import Report
    from tui.presentation.progress_bar import with_bar

    cases = [Case(job, seed) for job in places for seed in range(1, arguments.vehicles + 1)]
    began = time.monotonic()
    found: dict[Case, tuple[Doubt, ...]] = {}
    measured: dict[str, Measured] = {}
    try:
        with closing(try_all(catalogue, cases, rubric, processes, arguments.cluster)) as results:
            for case, doubts in with_bar(results, len(cases), _("Proving"), _so_far):
                found[case] = doubts
        if arguments.difficulty:
            with closing(
                measure_all(
                    catalogue,
                    list(places),
                    rubric,
                    arguments.vehicles,
                    processes=processes,
                    cluster=arguments.cluster,
                )
            ) as trials:
                for job, how_hard in with_bar(trials, len(places), _("Trying"), _so_far):
                    measured[job] = how_hard
    finally:  # also on Ctrl+C: what was found so far
        stated = {job: catalogue.jobs[job].difficulty for job in places}
        report = Report(cases, found, places, time.monotonic() - began, stated, measured)
        sys.stdout.write(report.as_json() if arguments.format == "json" else report.as_text())
        sys.stdout.flush()
    return NEGATIVE if any(found.values()) else DONE


def _so_far(done: int, total: int) -> None:
    """Progress where standard error is no terminal: a line for every tenth of the way."""
    if done * 10 // total > (done - 1) * 10 // total:
        complain(say("lukewarm: {done} of {total} vehicles", done=done, total=total))
