"""``lukewarm debrief RECORD``: a finished job explained step by step."""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scenarios.language import N_, _
from tui.commands.rubric_file import add_rubric, read_rubric
from tui.presentation.clean import clean, clean_line
from tui.presentation.process.console import DONE, complain
from tui.presentation.units import in_units

if TYPE_CHECKING:
    from scenarios.model import Catalogue

_EXAMPLE = N_("""\
example:
  lukewarm debrief my-job.jsonl
  lukewarm debrief my-job.jsonl --format html --output debrief.html
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "debrief",
        help=_("explain a finished job"),
        description=_("Explain a finished job: what was wrong, what each step was worth, what the reference did."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("record", type=Path, metavar=_("RECORD"), help=_("a record whose keys were handed back"))
    parser.add_argument(
        "--format",
        choices=("plain", "json", "html"),
        default="plain",
        help=_("sentences, one object, or a page to read"),
    )
    add_rubric(parser)
    parser.add_argument("--output", type=Path, metavar=_("FILE"), help=_("write there instead of on standard output"))
    parser.add_argument("--units", choices=("si", "us"), default="si", help=_("us shows degrees Fahrenheit and psi"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Grade the record afresh and print the debrief."""
    from scenarios.files.own_folders import catalogue_in_use

    text = _told(catalogue_in_use(), arguments)
    if arguments.output is None:
        print(text, end="")
    else:
        arguments.output.write_text(text, encoding="utf-8", newline="\n")
    return DONE


def _told(catalogue: Catalogue, arguments: argparse.Namespace) -> str:
    from grading.report.debrief_page import debrief_data, page
    from grading.report.section import Section
    from grading.sessions.record import read_bytes
    from tui.commands.course_words import course_data, course_section
    from tui.presentation.between_jobs import numbers
    from tui.presentation.curves.truth import true_course
    from tui.presentation.marking.graded_record import graded_record

    rubric = read_rubric(arguments)
    graded = graded_record(catalogue, read_bytes(arguments.record), arguments.record, rubric=rubric)
    for remark in graded.remarks():
        complain(f"lukewarm: {remark}")
    catalogue, entries, grade, sections = graded.catalogue, graded.entries, graded.grade, graded.sections()
    course = true_course(catalogue, entries)
    if number := numbers.told(grade.job.id):
        sections.insert(1, Section(N_("The vehicle's number"), [number]))
    sections.append(course_section(catalogue, grade, course))
    if arguments.format == "json":
        told = debrief_data(catalogue, grade, sections) | {"course": course_data(course)}
        return json.dumps(told, allow_nan=False) + "\n"
    sections = [
        replace(section, lines=[in_units(line, arguments.units) for line in section.lines]) for section in sections
    ]
    if arguments.format == "html":
        return page(catalogue, entries, grade, sections, graded.ways)
    lines: list[str] = []
    for section in sections:
        lines += [clean(_(section.title)), *(clean_line(line) for line in section.lines), ""]
    return "\n".join([*lines, ""])
