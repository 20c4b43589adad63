"""Laws that run as plain Python at first, and are switched to machine code between two actions."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from sim.compile import compiled

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(not compiled(), reason="numba is not in use here")

PLAYED = """
import json, sys
from sim import compile as laws
switched_after = int(sys.argv[1])
if switched_after:
    laws._Plain.started = True  # as start_plain does where nothing has been compiled yet
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.files.loader import load_catalogue
catalogue = load_catalogue()
session = Session(catalogue, catalogue.jobs["quiet-dash"], 3)
ACTIONS = [
    Action("check", ("read-handbook",)),
    Action("ignition", ("on",)),
    Action("check", ("scan-coolant-temperature",)),
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("idle", (1.0,)),
    Action("check", ("gauge",)),
    Action("rev", (2000.0, 1.0)),
    Action("check", ("vent-temperature",)),
    Action("drive", (1.0, 50.0)),
    Action("check", ("scan-coolant-temperature",)),
]
seen = []
for number, action in enumerate(ACTIONS, 1):
    outcome = session.do(action)
    assert outcome.refused is None, (action, outcome.refused)
    seen.append([[r.label, r.step] for r in outcome.readings] + [[n.label, n.step] for n in outcome.noticed])
    if number == switched_after:
        plain = [law for law, _ in laws._Plain.waiting]
        laws.load()()
        held = {id(value) for module in list(sys.modules.values()) for value in list(vars(module).values())}
        assert plain and not [law for law in plain if id(law) in held]
print(json.dumps({"seen": seen, "compiled": laws.compiled()}))
"""


def _played(switched_after: int, **environment: str) -> dict[str, object]:
    """What twelve actions show; switched_after: how many of them are done as plain Python, 0 for none."""
    ran = subprocess.run(
        [sys.executable, "-c", PLAYED, str(switched_after)],
        env=os.environ | environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


@pytest.fixture(scope="module")
def machine() -> dict[str, object]:
    """What machine code shows."""
    played = _played(0)
    assert played["compiled"] and sum(map(len, played["seen"])) > 20  # type: ignore[arg-type]
    return played


def test_a_job_shows_the_same_whether_laws_are_switched_within_it_or_not(machine: dict[str, object]) -> None:
    assert _played(7) == machine


@pytest.mark.slow
def test_a_job_shows_the_same_without_a_compiler(machine: dict[str, object]) -> None:
    plain = _played(0, NUMBA_DISABLE_JIT="1")
    assert not plain["compiled"] and plain["seen"] == machine["seen"]
