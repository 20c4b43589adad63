"""What each check is worth on a kind of vehicle: which faults it shows, which it separates, what could be left out.

Vehicles with every fault the kind can have go through every check, each with its usual preparations from the vehicle's
arrival. Detection and isolation are meant as in testability analysis (IEEE 1522, terms from memory): the share of
faults, weighted by how often they occur, that some check tells from a sound vehicle, and that is told from all but so
many others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from statistics import NormalDist

import numpy as np

from grading.observer.foresight import PredictedCheck, read_now, simulated
from grading.observer.information import OutcomeSampler
from grading.observer.particles import Particles
from grading.reference.preparation import Readiness, discounted_minutes, preparation
from scenarios.actions import Action, NotPossible
from scenarios.model import Catalogue, Check, Fault, Job, Vehicle
from scenarios.workshop import WALK_MINUTES
from sim.observation.instruments import INSTRUMENTS

VEHICLES = 24
"""Vehicles of each fault."""
AMBIENT_C = 5.0
"""Where nothing else is asked for."""
SEPARATED = 0.8
"""Total variation distance of a check's readings from which two faults count as separated: an even guess between them
is then wrong at most once in ten times."""
OUTSIDE = 0.05
"""Share of sound vehicles below the usual readings, and as many above."""
CLASSES = 24
"""Classes into which the readings of one instrument are sorted at most."""
_DEVIATES = [NormalDist().inv_cdf((k + 0.5) / 9.0) for k in range(9)]
"""What an instrument adds to a reading [its spread], nine equally likely cases."""


@dataclass(frozen=True)
class CheckRow:
    """One check of a table.

    cold: whether the engine need not run for it; minutes: with its preparations from the vehicle's arrival; bits:
    expected information [bit] where every fault is as likely as it is frequent; shows (faults,): share of vehicles with
    each fault that read otherwise than nine in ten sound ones; separates (faults, faults): whether it tells two faults
    apart.
    """

    check: Check
    cold: bool
    minutes: float
    bits: float
    shows: np.ndarray
    separates: np.ndarray


@dataclass(frozen=True)
class Testability:
    """Figures of a set of checks, as shares 0..1 of all faults by their rates.

    detected: told from a sound vehicle; to_one, to_three: told from every other fault, or from all but two.
    """

    detected: float
    to_one: float
    to_three: float


@dataclass(frozen=True)
class CheckTable:
    """All checks of a vehicle against all faults it can have; faults: the first is that nothing is wrong."""

    vehicle: Vehicle
    faults: list[Fault]
    rows: list[CheckRow]

    def testability(self, rows: Sequence[CheckRow]) -> Testability:
        """Figures of some of the checks."""
        apart = _together(rows, len(self.faults))
        rates = np.array([fault.rate for fault in self.faults])[1:]
        alike = len(self.faults) - 1 - apart[1:].sum(axis=1)  # nothing wrong included
        share = rates / rates.sum()
        return Testability(float(share @ apart[1:, 0]), float(share @ (alike == 0)), float(share @ (alike <= 2)))

    @property
    def cold(self) -> list[CheckRow]:
        """Checks for which the engine need not run."""
        return [row for row in self.rows if row.cold]

    @property
    def warm(self) -> list[CheckRow]:
        """Checks for which it must."""
        return [row for row in self.rows if not row.cold]

    def dispensable(self) -> list[CheckRow]:
        """Checks that could all be left out, the longest first, with no two faults separated less."""
        whole = _together(self.rows, len(self.faults))
        left, out = list(self.rows), []
        for row in sorted(self.rows, key=lambda row: -row.minutes):
            others = [one for one in left if one is not row]
            if (_together(others, len(self.faults)) == whole).all():
                left, out = others, [*out, row]
        return out

    def alike(self, fault: int) -> list[Fault]:
        """Faults that no check tells from one (index)."""
        apart = _together(self.rows, len(self.faults))[fault]
        return [one for k, one in enumerate(self.faults) if k != fault and not apart[k]]


def check_table(
    catalogue: Catalogue, vehicle: Vehicle, ambient: float = AMBIENT_C, count: int = VEHICLES
) -> CheckTable:
    """The table of a vehicle at an ambient temperature [degC]; count: vehicles of each fault. Raises PhysicsFailed."""
    faults = sorted(catalogue.faults_of(vehicle), key=lambda fault: bool(fault.changes))
    job = Job(
        id=f"table-{vehicle.id}",
        title="",
        customer="",
        complaint="",
        complains_of=("cold",),
        comes_and_goes=False,
        vehicle=vehicle.id,
        faults=(),
        ambient_C=ambient,
        altitude_m=0.0,
        mileage_km=100_000.0,
        history="",
        difficulty=1,
        warm_enough_C=45.0,
    )
    particles = _vehicles(catalogue, job, faults, count)
    rows = [_row(particles, faults, shown, before, minutes) for shown, before, minutes in _taken(particles)]
    order = {check: k for k, check in enumerate(catalogue.checks)}
    return CheckTable(vehicle, faults, sorted(rows, key=lambda row: order[row.check.id]))


def _vehicles(catalogue: Catalogue, job: Job, faults: list[Fault], count: int) -> Particles:
    """As many vehicles of each fault, labelled in the order of the faults and weighted by their rates."""
    every = Particles.sample_prior(catalogue, job, "table")
    index = [next(k for k, one in enumerate(every.faults) if one.id == fault.id) for fault in faults]
    keep = np.concatenate([np.flatnonzero(every.label == k)[:count] for k in sorted(index)])
    few = every.copy(keep)
    rates = np.array([fault.rate for fault in few.faults])
    few.log_weight = np.log(rates[few.label])
    few.drawn = np.bincount(few.label, minlength=len(few.faults)).astype(float)
    return few


def _taken(particles: Particles) -> Iterator[tuple[PredictedCheck, tuple[Action, ...], float]]:
    """Every check that can be taken on the vehicles as they arrive: its readings, its preparations and all minutes."""
    workshop = particles.workshop
    groups: dict[tuple[Action, ...], list[Check]] = {}
    for check in workshop.catalogue.checks_of(workshop.vehicle):
        before = preparation(workshop, check, Readiness()) if check.readings else None
        if before is not None:
            groups.setdefault(tuple(before), []).append(check)
    for before, checks in groups.items():
        moment = particles.copy()
        try:
            for action in before:
                moment.act(action)
        except NotPossible:
            continue
        spent = moment.workshop.minute - workshop.minute - discounted_minutes(before)
        at_once = [check for check in checks if not check.changes_meanwhile]
        shows = chain(
            read_now(OutcomeSampler(moment), at_once),
            simulated(moment, [check for check in checks if check.changes_meanwhile]),
        )
        for shown in shows:
            walk = WALK_MINUTES * (shown.check.place != moment.workshop.place)
            yield shown, before, spent + shown.check.minutes + walk


def _row(
    particles: Particles, faults: list[Fault], shown: PredictedCheck, before: tuple[Action, ...], minutes: float
) -> CheckRow:
    kept = ~shown.failed & (particles.log_weight > -np.inf)
    label, count = particles.label[kept], len(particles.faults)
    order = [next(k for k, one in enumerate(particles.faults) if one.id == fault.id) for fault in faults]
    outside, apart = np.zeros(len(faults)), np.zeros((len(faults), len(faults)))
    for name, true in shown.looks:
        shares = _shares(name, true[kept], label, count)[order]
        usual = _usual(shares[0])
        outside = np.maximum(outside, shares[:, ~usual].sum(axis=1))
        apart = np.maximum(apart, 0.5 * np.abs(shares[:, None, :] - shares[None, :, :]).sum(axis=2))
    sampler = OutcomeSampler(particles).without(shown.failed)
    bits, _ = sampler.expected_information(sampler.outcomes(shown.looks))
    check = shown.check
    runs = check.runs_engine or check.drive_kmh > 0.0 or any(action.verb in ("engine", "drive") for action in before)
    return CheckRow(check, not runs, minutes, max(bits, 0.0), outside, apart >= SEPARATED)


def _shares(instrument: str, true: np.ndarray, label: np.ndarray, count: int) -> np.ndarray:
    """Share of each class of readings among the vehicles of each fault (count, classes), classes in rising order."""
    tool, finite = INSTRUMENTS[instrument], np.isfinite(true)
    steps = np.full((len(_DEVIATES), len(true)), np.iinfo(np.int64).max)  # nothing is shown
    for k, deviate in enumerate(_DEVIATES):
        steps[k, finite] = tool.read_all(true[finite], np.full(int(finite.sum()), deviate))
    found = np.unique(steps)
    if len(found) > CLASSES:
        found = np.unique(np.quantile(steps, np.linspace(0.0, 1.0, CLASSES), method="lower"))
    classes = np.clip(np.searchsorted(found, steps, side="right") - 1, 0, len(found) - 1)
    shares = np.zeros((count, len(found)))
    np.add.at(shares, (np.broadcast_to(label, classes.shape), classes), 1.0)
    return shares / np.maximum(shares.sum(axis=1, keepdims=True), 1.0)


def _usual(sound: np.ndarray) -> np.ndarray:
    """Which classes (classes,) hold nine in ten sound vehicles; sound: share of each class."""
    below = np.cumsum(sound) - sound
    above = 1.0 - below - sound
    return (sound > 0.0) & (below < 1.0 - OUTSIDE) & (above < 1.0 - OUTSIDE)


def _together(rows: Sequence[CheckRow], faults: int) -> np.ndarray:
    """Which faults (faults, faults) some of the checks separate."""
    apart = np.zeros((faults, faults), bool)
    for row in rows:
        apart |= row.separates
    return apart
