"""A job in plain text from the first line typed to the last: answers are written as they come."""

from __future__ import annotations

import json
import queue
import threading
from collections.abc import Callable, Iterable, Iterator
from typing import Literal, TextIO

from grading.sessions.modes import now
from grading.sessions.openings import time_is_up
from tui.text import answers, plain
from tui.text.answers import Answer
from tui.text.prompt import told_when_slow
from tui.text.text import TextJob
from tui.text.wrapping import write

Format = Literal["json", "plain"]
TIME_LEFT = "time left"
"""Stands for the line that a person would have typed."""


def converse(job: TextJob, source: Iterable[str], sink: TextIO, form: Format) -> None:
    """Answer every line of the source until the job is over, the lines end, or an exam's time runs out."""

    def tell(answer: Answer) -> None:
        answer = answers.displayed(answer, job.units)
        if form == "json":
            print(json.dumps(answer, allow_nan=False), file=sink, flush=True)
        else:
            write(plain.lines(answer, job.units), sink)

    def warn() -> None:
        if (warning := job.clock.warning(now())) is not None:
            tell({"command": TIME_LEFT, **answers.told(job.session, warning)})

    lines = _until_time_is_up(job, source, warn) if job.session.mode.exam else source
    for line in lines:
        if line.lstrip().startswith("#") or not (line.strip() or job.waits):
            continue
        with told_when_slow(sink if job.asks else None):
            answer = job.answer(line)
        tell(answer)
        if job.over:
            return
    if time_is_up(job.session):
        tell(job.time_is_up())


def _until_time_is_up(job: TextJob, source: Iterable[str], warn: Callable[[], None]) -> Iterator[str]:
    """The lines that come in time; warn: called where a warning may be due.

    They are read beside, for nothing else can break off waiting for a line.
    """
    typed: queue.SimpleQueue[str | None] = queue.SimpleQueue()

    def read() -> None:
        for line in source:
            typed.put(line)
        typed.put(None)

    threading.Thread(target=read, name="lines", daemon=True).start()
    while job.session.mode.left(now()) > 0.0:
        warn()
        try:
            line = typed.get(timeout=min(job.clock.until_next(now()), 3600.0))
        except queue.Empty:
            continue
        if line is None:
            return
        yield line
