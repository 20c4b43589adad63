"""``lukewarm trace``: one vehicle through a drive, and its quantities over time."""

from __future__ import annotations

import argparse
import csv
import io
import json
import sys
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from scenarios.files.data_error import one_of, quoted
from scenarios.language import N_, _, say
from scenarios.wrong_use import WrongUse
from tui.presentation.process.console import DONE

if TYPE_CHECKING:
    import numpy as np

    from scenarios.model import Fault, Vehicle
    from sim.drive import DriveLog
    from sim.trace import Trace

Thing = TypeVar("Thing")

DEFAULT_DRIVE = "idle:300,road50:900,rev2500:60,rest:3600"
USUAL_SEVERITY = 0.7
MOST_ROWS = 200_000
DIGITS = 10
"""Digits of a printed number: enough to take the rate of the stored heat from two rows."""

_ABOUT = N_("""\
Run one vehicle through a drive, from cold, and print or plot its quantities over time.

In every row heat_to_coolant_W = heater_W + radiator_W + loss_W + d(stored_J)/dt: heat to metal and coolant; to the
heater's air; to the radiator's air; lost to the surroundings and with lost coolant; stored in metal and coolant since
the start. A row at which the drive changes shows the moment before the change.
""")
_EXAMPLE = N_("""\
A drive is parts with commas between: idle, roadN at N km/h, revN standing at N 1/min, rest with the engine off, each
with its seconds. A log is a file of comma-separated values with the columns time_s, rpm, speed_kmh, ambient_C; where it
has coolant_C too, everything starts at the first of these and they are shown beside the model as logged_coolant_C.

example:
  lukewarm trace --vehicle hatch --ambient -10 --format plot
  lukewarm trace --vehicle hatch --fault thermostat-stuck-open:1 --drive {drive} --every 10
  lukewarm trace --vehicle hatch --log drive.csv --format png --output drive.png
""")


def _within(low: float, high: float, what: str) -> Callable[[str], float]:
    def number(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        if not low <= value <= high:
            told = {"what": what, "given": repr(text[:40]), "low": low, "high": high}
            raise WrongUse(say("{what} is {given}, expected a number from {low:g} to {high:g}", **told))
        return value

    return number


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "trace",
        help=_("run one vehicle through a drive and show its course"),
        description=_(_ABOUT),
        epilog=say(_EXAMPLE, drive=DEFAULT_DRIVE),
    )
    parser.add_argument("--vehicle", required=True, metavar="V", help=_("id, as 'lukewarm show vehicles' lists them"))
    parser.add_argument(
        "--fault",
        action="append",
        default=[],
        metavar="ID[:SEVERITY]",
        help=say(
            "plant a fault; severity 0 healthy to 1 worst, {usual} if not said; may be given again",
            usual=USUAL_SEVERITY,
        ),
    )
    parser.add_argument("--ambient", type=_within(-45.0, 50.0, "--ambient"), metavar="C", help=_("degC outside (0)"))
    parser.add_argument(
        "--altitude",
        type=_within(-400.0, 4000.0, "--altitude"),
        default=0.0,
        metavar="M",
        help=_("m above the sea (0)"),
    )
    course = parser.add_mutually_exclusive_group()
    course.add_argument(
        "--drive", default=DEFAULT_DRIVE, metavar=_("PARTS"), help=say("the drive ({drive})", drive=DEFAULT_DRIVE)
    )
    course.add_argument("--log", type=Path, metavar=_("FILE"), help=_("follow this log of a real vehicle"))
    parser.add_argument(
        "--heater", type=_within(0.0, 100.0, "--heater"), default=100.0, metavar="0..100", help=_("heat control (100)")
    )
    parser.add_argument(
        "--blower", type=_within(0.0, 4.0, "--blower"), default=2.0, metavar="0..4", help=_("blower speed (2)")
    )
    parser.add_argument(
        "--mixture", type=_within(0.0, 70.0, "--mixture"), metavar="PCT", help=_("%% of glycol in the coolant")
    )
    parser.add_argument(
        "--every", type=_within(0.1, 86400.0, "--every"), default=10.0, metavar="S", help=_("s between rows (10)")
    )
    parser.add_argument(
        "--format",
        choices=("csv", "json", "plot", "png"),
        default="csv",
        help=_("rows, or curves on screen or in a file"),
    )
    parser.add_argument("--output", type=Path, metavar=_("FILE"), help=_("write here instead of to standard output"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Trace the vehicle and show its course."""
    if arguments.format == "png":
        _need_plotting()
        if arguments.output is None and sys.stdout.isatty():
            raise WrongUse(_("a picture cannot be shown in a terminal, expected --output FILE"))
    if arguments.log and arguments.ambient is not None:
        raise WrongUse(_("--ambient with --log, expected one of them: a log says how warm it was"))
    course = _traced(arguments)
    if arguments.format == "png":
        from tui.commands.trace_picture import picture

        _write_bytes(picture(course, _title(arguments)), arguments.output)
        return DONE
    if arguments.format == "plot":
        from tui.commands.trace_plot import plot

        _write_text(plot(course), arguments.output)
        return DONE
    _write_text(_as_csv(course) if arguments.format == "csv" else _as_json(course), arguments.output)
    return DONE


def _traced(arguments: argparse.Namespace) -> Trace:
    from scenarios.files.own_folders import catalogue_in_use

    catalogue = catalogue_in_use()
    vehicle = _named(_("vehicle"), arguments.vehicle, catalogue.vehicles)
    faults = [_planted(text, vehicle, catalogue.faults) for text in arguments.fault]

    import numpy as np

    from scenarios.physics_failure import IN_THE_DRIVE, require_solved
    from sim.drive import DriveError, RoadLoad, legs_of_log, parse_drive
    from sim.fleet import Fleet
    from sim.laws import air
    from sim.trace import trace

    parameters = _parameters(vehicle, faults, arguments.mixture)
    log = _log(arguments.log)
    if log is None:
        try:
            legs = parse_drive(arguments.drive)
        except DriveError as error:
            raise WrongUse(say(error.template, **error.values)) from None
        start = 0.0 if arguments.ambient is None else arguments.ambient
    else:
        # the log says how fast the engine turned, whatever gear that was
        parameters["idle_rpm"] = parameters["rpm_per_kmh"] = 0.0
        legs = legs_of_log(log, RoadLoad(float(parameters["rolling_N"][0]), float(parameters["drag_N_per_kmh2"][0])))
        start = log.start_C
    seconds = sum(leg.seconds for leg in legs)
    if seconds / arguments.every > MOST_ROWS:
        rows = round(seconds / arguments.every)
        raise WrongUse(say("{rows} rows, expected at most {most}; take a longer --every", rows=rows, most=MOST_ROWS))
    fleet = Fleet.cold(parameters, start, air.standard_atmosphere_pressure(arguments.altitude))
    fleet.controls["heater"], fleet.controls["blower"] = arguments.heater / 100.0, arguments.blower
    course = trace(fleet, legs, arguments.every)
    require_solved(fleet, IN_THE_DRIVE)
    if log is not None and log.coolant_C is not None:
        course = course.beside("logged_coolant_C", np.interp(course["time_s"], log.time_s, log.coolant_C))
    return course


def _named(kind: str, name: str, things: dict[str, Thing]) -> Thing:
    if name not in things:
        told = {"kind": kind, "name": quoted(name), "names": one_of(name, things)}
        raise WrongUse(say("there is no {kind} {name}, expected {names}", **told))
    return things[name]


def _planted(text: str, vehicle: Vehicle, faults: dict[str, Fault]) -> tuple[Fault, float]:
    name, colon, figure = text.partition(":")
    fault = _named(_("fault"), name, faults)
    if not fault.fits(vehicle):
        told = {"vehicle": vehicle.id, "fault": fault.id}
        raise WrongUse(say("the vehicle {vehicle} cannot have {fault}, expected a fault of its equipment", **told))
    return fault, _within(0.0, 1.0, say("severity of {fault}", fault=fault.id))(figure) if colon else USUAL_SEVERITY


def _parameters(vehicle: Vehicle, faults: list[tuple[Fault, float]], mixture: float | None) -> np.ndarray:
    import numpy as np

    from scenarios.planting import plant
    from sim.vehicle.parameters import healthy

    parameters = healthy(1, vehicle.parameters)
    if mixture is not None:
        parameters["glycol"] = mixture / 100.0
    for fault, severity in faults:
        plant(parameters, fault, np.array([severity]), np.zeros(1))
    return parameters


def _log(file: Path | None) -> DriveLog | None:
    if file is None:
        return None
    from scenarios.files.drive_log import load_drive_log

    return load_drive_log(file)


def _need_plotting() -> None:
    if not find_spec("matplotlib"):
        raise WrongUse(
            _("matplotlib is not installed, expected the plotting extra: install lukewarm[plot], or take --format plot")
        )


def _title(arguments: argparse.Namespace) -> str:
    driven = say("log {name}", name=arguments.log.name) if arguments.log else arguments.drive
    return " ".join([arguments.vehicle, *arguments.fault, driven])


def _rows(course: Trace) -> list[list[float]]:
    return [[float(f"{value:.{DIGITS}g}") for value in row] for row in course.rows.tolist()]


def _as_csv(course: Trace) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(course.columns)
    writer.writerows(_rows(course))
    return text.getvalue()


def _as_json(course: Trace) -> str:
    return json.dumps({"columns": course.columns, "rows": _rows(course)}, allow_nan=False) + "\n"


def _write_text(text: str, file: Path | None) -> None:
    if file is None:
        sys.stdout.write(text)
    else:
        _write_bytes(text.encode("utf-8"), file)


def _write_bytes(data: bytes, file: Path | None) -> None:
    if file is None:
        sys.stdout.buffer.write(data)
        return
    try:
        file.write_bytes(data)
    except OSError as error:
        raise WrongUse(
            say(
                "{file} cannot be written ({reason}), expected a file in a folder that is there",
                file=file,
                reason=error.strerror,
            )
        ) from None
