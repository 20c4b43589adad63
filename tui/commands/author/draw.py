"""``lukewarm author draw PLAN``: jobs drawn by a plan, each of them shown to be fair."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scenarios.language import N_, _, chosen, say
from scenarios.wrong_use import WrongUse
from tui.commands.author.prove import MOST_PROCESSES, MOST_VEHICLES
from tui.commands.processes.cluster import add_cluster
from tui.commands.rubric_file import add_rubric, read_rubric
from tui.presentation.clean import clean
from tui.presentation.process.console import DONE, NEGATIVE, complain

if TYPE_CHECKING:
    from grading.drawing.drawing import Drawer, Drawn, Order
    from grading.drawing.drawn_set import Version

MOST_VERSIONS, LARGEST_SEED = 40, 10**9

_EXAMPLE = N_("""\
A plan is a YAML file. Only the number of jobs is required:

  jobs: 12
  systems: [blower, doors]          # every system, by how often its faults occur, if left out
  vehicles: [hatch, van]            # every vehicle if left out
  difficulty: [1, 4]                # easiest and hardest
  weather: [-6, 8]                  # coldest and warmest, in degrees Celsius
  shares: {nothing_wrong: 0.1, two_faults: 0, come_and_go: 0.2, earlier_work: 0.5}
  apart: [[blower-fuse-blown, blower-connector-burnt]]   # never both in one version
  not_used_in: [last-year]          # folders whose faults are not drawn again in the same vehicle

Each job is simulated before it is written: its complaint occurs, each cure can be proven, and the reference finds the
fault. Technicians who know only the rules of the trade work on it: they give its difficulty and the minutes allowed.
The same seed, plan and program version give the same files.

Exit status: 0 all jobs were drawn, 1 a fair job could not be found, 2 something is wrong with the plan.

example:
  lukewarm author draw plan.yaml --seed 7 --versions 2 --output exam
  lukewarm --with exam/version-a show jobs
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "draw",
        help=_("draw new jobs by a plan, each of them simulated"),
        description=_("Draw new jobs by a plan. Each is simulated before it is written, so that it is fair."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("plan", type=Path, metavar=_("PLAN"), help=_("what to draw, a YAML file"))
    parser.add_argument("--seed", type=int, required=True, metavar="N", help=_("another number gives other jobs"))
    parser.add_argument(
        "--versions", type=int, default=1, metavar="K", help=_("how many sets that are as hard as each other (1)")
    )
    parser.add_argument("--output", type=Path, required=True, metavar=_("FOLDER"), help=_("a new or an empty folder"))
    parser.add_argument(
        "--vehicles", type=int, default=3, metavar="N", help=_("vehicles on which a job must be fair (3)")
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
    """Draw the jobs, write them and say how hard the versions are."""
    processes = min(os.cpu_count() or 1, MOST_PROCESSES) if arguments.processes is None else arguments.processes
    for number, least, most, problem in (
        (processes, 1, MOST_PROCESSES, N_("{number} processes, expected {least} to {most}")),
        (arguments.vehicles, 1, MOST_VEHICLES, N_("{number} vehicles, expected {least} to {most}")),
        (arguments.versions, 1, MOST_VERSIONS, N_("{number} versions, expected {least} to {most}")),
        (arguments.seed, 0, LARGEST_SEED, N_("the seed {number}, expected {least} to {most}")),
    ):
        if not least <= number <= most:
            raise WrongUse(say(problem, number=number, least=least, most=most))
    folder = arguments.output
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise WrongUse(say("'{folder}' is there already, expected a new or an empty folder", folder=folder))
    rubric = read_rubric(arguments)

    from grading.drawing.drawing import Drawer
    from grading.drawing.plan import read_plan
    from scenarios.files.own_folders import catalogue_in_use

    catalogue = catalogue_in_use()
    plan = read_plan(arguments.plan, catalogue)
    drawer = Drawer(catalogue, plan, arguments.seed, rubric, chosen(), arguments.vehicles)
    return _draw(drawer, arguments, processes)


def _draw(drawer: Drawer, arguments: argparse.Namespace, processes: int) -> int:
    from grading.drawing.cells import NoVehicle
    from grading.drawing.drawing import letter
    from grading.drawing.drawn_set import NotFound, balanced, draw_set, measured
    from grading.drawing.written import write_jobs

    folder, versions = arguments.output, arguments.versions
    try:
        drawn = draw_set(drawer, versions, lambda orders: _drawn(drawer, orders, processes, arguments.cluster))
    except NoVehicle as error:
        raise WrongUse(say("no vehicle of the plan can have a fault of '{system}'", system=_(str(error)))) from error
    except NotFound as error:
        told = {"number": error.cell.number + 1, "vehicle": error.cell.vehicle}
        complain(say("no fair job was found for job {number} of the plan ({vehicle}); nothing was written", **told))
        return NEGATIVE
    origin = say(
        "Drawn by lukewarm author draw from {plan}, seed {seed}.", plan=arguments.plan.name, seed=arguments.seed
    )
    for version, jobs in enumerate(balanced(drawn, drawer)):
        place = folder if versions == 1 else folder / f"version-{letter(version)}"
        found = measured(jobs)
        write_jobs(place, list(found.jobs), origin)
        print(clean(_told(place, found)))
    return DONE


def _told(place: Path, version: Version) -> str:
    """One line on a version."""
    return say(
        "{folder}: {jobs} jobs; competent technicians pass {passes:.0%} (standard error {passes_error:.0%}), "
        "mean total {total:.1f} (standard error {total_error:.1f})",
        folder=place,
        jobs=len(version.jobs),
        passes=version.passes,
        passes_error=version.passes_error,
        total=version.total,
        total_error=version.total_error,
    )


def _not_drawn(order: Order) -> Drawn:
    """An order whose process was lost."""
    from grading.drawing.drawing import ATTEMPTS, Drawn

    return Drawn(order, ATTEMPTS)


def _drawn(drawer: Drawer, orders: Sequence[Order], processes: int, cluster: str | None) -> Iterator[Drawn]:
    """Orders carried out on several processes, or on a cluster."""
    from tui.commands.processes.cluster import on_cluster
    from tui.commands.processes.workers import on_processes
    from tui.presentation.progress_bar import with_bar

    count = min(processes, len(orders))
    results = map(drawer.draw, orders)
    if cluster is not None:
        results = (drawn for _index, drawn in on_cluster(cluster, drawer.draw, orders, _not_drawn))
    elif count > 1:
        shares = [list(range(k, len(orders), count)) for k in range(count)]
        spread = on_processes(drawer.draw, orders, shares, _not_drawn)
        results = (drawn for _index, drawn in spread)
    return with_bar(results, len(orders), _("Drawing"))
