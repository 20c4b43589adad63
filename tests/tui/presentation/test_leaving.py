"""Leaving: at once, whatever is still being worked out, and with all of it written down that was begun."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

from grading.sessions.record import read_record

ROOT = Path(__file__).parents[3]


def test_nobody_is_waited_for_but_what_is_being_written() -> None:
    program = """
import sys, threading, time
from tui.presentation.process.leaving import leave, unbroken

def write():
    with unbroken():
        begun.set()
        time.sleep(0.3)
        print("written")

begun = threading.Event()
threading.Thread(target=time.sleep, args=(60,)).start()
threading.Thread(target=write).start()
begun.wait()
leave(3)
"""
    started = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-P", "-c", program], capture_output=True, text=True, timeout=50.0, check=False
    )
    assert (done.returncode, done.stdout) == (3, "written\n")
    assert time.monotonic() - started < 30.0


LEFT_AT_WORK = """
import sys
import threading
from pathlib import Path

import tui.app.ready_catalogue, grading.sessions.records
from scenarios.actions import Action
from tests.tui.program import Ready, press, settle
from tests.tui.small import small_catalogue
from tui.app import app as program
from tui.app.notices import Shelf

home = Path(sys.argv[1])
grading.sessions.records.platformdirs.user_data_path = lambda *names, **options: home
grading.sessions.records.platformdirs.user_config_path = lambda *names, **options: home
tui.app.ready_catalogue.ready_catalogue = lambda: Shelf.of(small_catalogue())

class Left(program.Lukewarm):
    def __init__(self, shelf, candidate=None):
        super().__init__(shelf, Ready(), candidate=candidate)

    async def run_async(self, **options):
        await super().run_async(headless=True, auto_pilot=self.part)

    async def part(self, pilot):
        await settle(pilot)
        await press(pilot, "enter", "e")
        do, begun = self.screen.session.do, threading.Event()

        def noted(action):
            begun.set()
            return do(action)

        self.screen.session.do = noted
        self.screen.perform(Action("drive", (240.0, 50.0)))
        while not begun.is_set():
            await pilot.pause(0.001)
        self.exit(return_code=4)

program.Lukewarm = Left
program.run_program()
"""


def test_a_drive_that_is_at_work_comes_into_the_record(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LEFT_AT_WORK, str(tmp_path)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 4, done.stderr
    (record,) = tmp_path.glob("records/*.jsonl")
    actions = [entry.action for entry in read_record(record) if entry.kind == "action"]
    assert [action.verb for action in actions] == ["engine", "drive"]
    assert actions[1].arguments == (240.0, 50.0)
