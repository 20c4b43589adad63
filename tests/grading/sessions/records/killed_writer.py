"""The process that writes a record until it is killed."""

from __future__ import annotations

from multiprocessing.connection import Connection
from pathlib import Path

from grading.sessions.record import Recorder
from grading.sessions.session import Session
from scenarios.actions import Action
from tests.grading.workbench import bench

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
Session(CATALOGUE, JOB, 1)  # so that a process forked from this one has the laws compiled


def write_notes(path: Path, acknowledge: Connection) -> None:
    """Write numbered notes into a new record, sending each number once it is recorded; never ends by itself."""
    session = Session(CATALOGUE, JOB, 1, Recorder(path))
    acknowledge.send("begun")
    number = 0
    while True:
        session.do(Action("note", ("text", f"{number} " + "x" * (number % 700))))
        acknowledge.send(number)
        number += 1
