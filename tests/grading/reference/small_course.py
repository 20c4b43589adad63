"""Actions, checks and options on the small catalogue, for the tests of the reference."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from grading.observer.particles import Particles
from grading.reference.options import Option
from scenarios.actions import Action
from scenarios.model import Catalogue, Job
from tests.grading.workbench import bench, with_fault

START, OFF, COOL = Action("engine", ("start",)), Action("ignition", ("off",)), Action("wait", (420.0,))
HOT, LOW, DRIVE = Action("set", ("heater", 100.0)), Action("set", ("blower", 1.0)), Action("drive", (15.0, 50.0))
WARM_UP = (HOT, LOW, START, DRIVE)
LEVEL, FEED, RETURN = "coolant-level-cold", "heater-feed-infrared", "heater-return-infrared"


def small(fault: str = "coolant-low") -> tuple[Catalogue, Job]:
    """The small catalogue without its road check, and a job with this fault."""
    catalogue = bench()
    checks = {name: check for name, check in catalogue.checks.items() if name != "road-gauge"}
    return with_fault(replace(catalogue, checks=checks), fault)


def cold(fault: str = "coolant-low") -> Particles:
    """The belief before anything is done."""
    return Particles.sample_prior(*small(fault))


def option(check: str = FEED, minutes: float = 1.0, bits: float = 1.0, confidence: float = 0.5, **more: Any) -> Option:
    """An option with given figures."""
    before = more.pop("before", ())
    return Option(replace(bench().checks[check], **more), before, minutes, bits, confidence)


class Scripted:
    """Returns given answers one after another and logs the arguments."""

    def __init__(self, *answers: Any) -> None:
        self.answers, self.asked = list(answers), []

    def __call__(self, *asked: Any, **named: Any) -> Any:
        self.asked.append((*asked, *named.items()))
        return self.answers.pop(0)
