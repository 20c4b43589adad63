"""``python -m tui.presentation.process.draw_ahead LANGUAGE`` draws one vehicle at low priority, beside an open job."""

from __future__ import annotations

import os
import sys

from grading.drawing.by_number import drawn_by_number
from grading.marks.rubric import load_rubric
from scenarios.files.own_folders import catalogue_in_use
from scenarios.language import choose, chosen
from sim.solver.threads import use_threads
from tui.presentation.another_vehicle import random_number

if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(15)
    use_threads(1)
    choose(sys.argv[1])
    drawn_by_number(catalogue_in_use(), random_number(), load_rubric(), chosen())
