"""Whether two faults at once are found: ``python -m tests.studies.two_faults --vehicles N [--processes P]``.

An honest, full course on vehicles with two faults, drawn as the observer expects them: it looks for as long as the
reference would, cures what is likely, verifies, looks the vehicle over, and goes on until nothing is likely any more.
"""

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from grading.marks.grade import Grader
from grading.marks.work import first_cure
from grading.observer.prior import may_come_together, prior_of_pairs
from grading.reference.policy import advise
from grading.reference.preparation import WARM_UP_MINUTES
from scenarios.model import Catalogue, Job, Planted
from sim.vehicle.tolerances import uniform
from tests.packaged import packaged_catalogue
from tests.studies.strategies import Player

LIKELY = 0.5
ROUNDS, MOST_CHECKS = 6, 12
SHORT = 5.0
"""Minutes up to which a check belongs to looking a vehicle over."""


def drawn_job(catalogue: Catalogue, number: int) -> Job:
    """A job of the catalogue with two other faults, drawn by their rates and by the complaint."""
    jobs = list(catalogue.jobs.values())
    job = jobs[number % len(jobs)]
    faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
    pairs = [
        (i, j) for i in range(len(faults)) for j in range(i + 1, len(faults)) if may_come_together(faults[i], faults[j])
    ]
    reached = np.cumsum(prior_of_pairs(job, faults, pairs))
    found = pairs[min(int(np.searchsorted(reached / reached[-1], uniform("two faults", number))), len(pairs) - 1)]
    planted = tuple(Planted(faults[k].id, None) for k in found)
    return replace(job, id=f"two-{number}", faults=planted)


@dataclass(frozen=True)
class Found:
    """One vehicle: its faults; believed: most belief in each before it was cured, 0..1; cured: whether each was;
    minutes; pairs: how many were thought of.
    """

    number: int
    job: str
    faults: tuple[str, ...]
    believed: tuple[float, ...]
    cured: tuple[bool, ...]
    minutes: float
    pairs: int

    @property
    def both(self) -> bool:
        """Whether both were likely at some time, together or one after the other's repair."""
        return min(self.believed) >= LIKELY


def work_through(player: Player, truth: tuple[str, ...]) -> dict[str, float]:
    """Play to the end; the most that was believed in each of the faults, before the work that cured it."""
    catalogue, most = player.grader.catalogue, dict.fromkeys(truth, 0.0)
    index = {fault.id: k for k, fault in enumerate(player.belief.faults)}
    repaired: set[str] = set()

    def note() -> None:
        belief = player.belief.belief()
        work = [entry.action for entry in player.session.recorder.entries if entry.kind == "action"]
        for name in truth:
            if first_cure(catalogue, work, catalogue.faults[name]) is None:
                most[name] = max(most[name], float(belief[index[name]]))

    for _ in range(ROUNDS):
        for _ in range(MOST_CHECKS):
            note()
            advice = advise(player.belief, player.readiness, player.done)
            if advice.best is None or not advice.worth:
                break
            player.check(advice.best.check, let_cool=True)
        note()
        belief = player.belief.belief()
        likely = [k for k in np.argsort(-belief, kind="stable") if belief[k] >= LIKELY or k == int(belief.argmax())]
        wanted = [player.belief.faults[int(k)] for k in likely]
        todo = list(dict.fromkeys(cure for fault in wanted for cure in fault.cured_by[:1] if cure not in repaired))
        if not todo and not look_over(player):
            break
        for cure in todo:
            mend(player, cure)
            repaired.add(cure)
        if todo:
            verify(player)
            player.done.clear()
    note()
    return most


def look_over(player: Player) -> bool:
    """Every short check that has not been taken, those of a cold engine first; whether there was any."""
    order = sorted(player.checks(), key=lambda check: ("cold" not in check.best_when, check.minutes, check.id))
    short = [check for check in order if check.minutes <= SHORT]
    taken = [player.check(check, let_cool=True) for check in short]
    return any(taken)


def mend(player: Player, cure: str) -> None:
    """Do a repair with the observer following, the engine off and cold where the cap comes off."""
    repair = player.grader.catalogue.repairs[cure]
    player.do("ignition", "off")
    if repair.opens_cap and player.readiness.minutes_run > 0.0:
        player.do("wait", 420.0)
    player.do("repair", cure)


def verify(player: Player) -> None:
    """A warm run, air and heat at the vents: what shows whether the complaint is gone."""
    for verb, *arguments in (
        ("engine", "start"),
        ("set", "heater", 100.0),
        ("set", "blower", 2.0),
        ("drive", WARM_UP_MINUTES, 50.0),
        ("check", "vent-temperature"),
        ("check", "blower-each-speed"),
        ("check", "gauge"),
    ):
        player.do(str(verb), *arguments)


def played(numbers: list[int]) -> list[Found]:
    """An honest course on each of the vehicles."""
    catalogue, out = packaged_catalogue(), []
    for number in numbers:
        job = drawn_job(catalogue, number)
        player = Player.of(Grader(catalogue, job, number))
        truth = job.real_faults
        most = work_through(player, truth)
        work = [entry.action for entry in player.session.recorder.entries if entry.kind == "action"]
        cured = tuple(first_cure(catalogue, work, catalogue.faults[name]) is not None for name in truth)
        found = Found(
            number, job.vehicle, truth, tuple(most.values()), cured, player.session.minute, len(player.belief.pairs)
        )
        told = ", ".join(f"{name} {most[name]:.2f}" for name in truth)
        print(f"{number} {job.vehicle}: {told}; {'both' if found.both else 'NOT BOTH'}", file=sys.stderr, flush=True)
        out.append(found)
    return out


def main() -> None:
    """Run the study and print its figures."""
    parser = argparse.ArgumentParser(description="Whether two faults at once are found.")
    parser.add_argument("--vehicles", type=int, default=200)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--processes", type=int, default=1)
    asked = parser.parse_args()
    numbers = list(range(asked.first, asked.first + asked.vehicles))
    with ProcessPoolExecutor(asked.processes) as pool:
        parts = pool.map(played, [numbers[k :: asked.processes] for k in range(asked.processes)])
    found = [one for part in parts for one in part]
    both, cured = sum(one.both for one in found), sum(all(one.cured) for one in found)
    print(f"{len(found)} vehicles: both faults likely in {both} ({both / len(found):.0%}), both cured in {cured}")


if __name__ == "__main__":
    main()
