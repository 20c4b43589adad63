"""``python -m tui.presentation.process.draw_ahead LANGUAGE [JOB]`` draws vehicles at low priority, beside an open job.

JOB: one that was just passed, for another with the same complaint.
"""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import suppress

from scenarios.language import choose, chosen
from tui.presentation.process.child_process import module_command


class _Ahead:
    process: subprocess.Popen[bytes] | None = None


def draw_ahead(passed: str = "") -> None:
    """Have those vehicles drawn in a process of its own that are not there yet; it ends by itself.

    passed: id of a job for which one with the same complaint is drawn first; what is under way makes room for it.
    """
    running = _Ahead.process is not None and _Ahead.process.poll() is None
    if running and not passed:
        return
    if running and _Ahead.process is not None:
        _Ahead.process.terminate()  # a vehicle is written whole or not at all
    _Ahead.process = subprocess.Popen(
        [*module_command("tui.presentation.process.draw_ahead"), chosen(), *([passed] if passed else [])],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def main(passed: str = "") -> None:
    """Draw what is lacking, one after the other."""
    from grading.drawing.by_number import drawn_by_number
    from grading.marks.rubric import load_rubric
    from grading.sessions.made_with import with_drawn
    from grading.sessions.records import kept_records
    from scenarios.files.own_folders import catalogue_in_use
    from scenarios.wrong_use import WrongUse
    from tui.presentation.between_jobs.another_vehicle import lacking, like
    from tui.presentation.between_jobs.numbers import today

    catalogue, rubric = catalogue_in_use(), load_rubric()
    records = kept_records()
    job = with_drawn(catalogue, passed).jobs.get(passed)
    if job is not None:
        with suppress(WrongUse):
            like(catalogue, job, rubric, {kept.job for kept in records})
    for number in lacking(catalogue, records, today()):
        with suppress(WrongUse):
            drawn_by_number(catalogue, number, rubric, chosen())


if __name__ == "__main__":
    from sim.solver.threads import use_threads

    if hasattr(os, "nice"):
        os.nice(15)
    use_threads(1)
    choose(sys.argv[1])
    main(*sys.argv[2:3])
