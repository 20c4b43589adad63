"""The rubric that a person named on the command line."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from scenarios.language import _

if TYPE_CHECKING:  # else only once it is read
    from grading.marks.rubric import Rubric


def add_rubric(parser: argparse.ArgumentParser) -> None:
    """Add ``--rubric FILE``."""
    parser.add_argument(
        "--rubric", type=Path, metavar=_("FILE"), help=_("weights and pass marks of your own, as a YAML file")
    )


def read_rubric(arguments: argparse.Namespace) -> Rubric:
    """The rubric named, or the packaged one. Raises DataError with its place."""
    from grading.marks.rubric import load_rubric

    return load_rubric() if arguments.rubric is None else load_rubric(arguments.rubric)
