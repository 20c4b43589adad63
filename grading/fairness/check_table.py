"""Testability of a vehicle: which faults each check detects, which it separates, and which checks are redundant.

Vehicles with each possible fault go through every check, with its usual preparations starting at the vehicle's arrival.
Detection and isolation as in testability analysis (IEEE 1522, terms from memory): the share of faults, weighted by
their rates, that some check distinguishes from a sound vehicle, and from all but a given number of other faults.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np

from grading.observer.foresight import PredictedCheck, read_now, simulated
from grading.observer.information import OutcomeSampler
from grading.observer.particles import Particles
from grading.observer.usual_readings import DEVIATES, OUTSIDE
from grading.reference.preparation import Readiness, discounted_minutes, preparation
from scenarios.actions import Action, NotPossible
from scenarios.model import Catalogue, Check, Fault, Job, Vehicle
from scenarios.workshop import WALK_MINUTES
from sim.observation.instruments import INSTRUMENTS

VEHICLES = 24
"""Default number of vehicles of each fault."""
AMBIENT_C = 5.0
"""Default ambient temperature."""
SEPARATED = 0.8
"""Least total variation distance of a check's readings at which two faults count as separated: at equal priors, the
likelier one is then wrong at most once in ten."""
CLASSES = 24
"""Most classes into which the readings of an instrument are binned."""


@dataclass(frozen=True)
class CheckRow:
    """One check of a table.

    cold: whether it needs no running engine; minutes: with its preparations from the vehicle's arrival; bits: expected
    information [bit] with fault rates as prior; shows (faults,): share of vehicles with each fault that read outside
    the sound band; separates (faults, faults): whether it separates two faults.
    """

    check: Check
    cold: bool
    minutes: float
    bits: float
    shows: np.ndarray
    separates: np.ndarray


@dataclass(frozen=True)
class Testability:
    """Testability by a set of checks, as shares 0..1 of all faults weighted by rate.

    detected: separated from a sound vehicle; to_one, to_three: isolated to one fault, or to a group of at most three.
    """

    detected: float
    to_one: float
    to_three: float


@dataclass(frozen=True)
class CheckTable:
    """All checks of a vehicle against all faults it can have; the first of faults is that nothing is wrong."""

    vehicle: Vehicle
    faults: list[Fault]
    rows: list[CheckRow]

    def testability(self, rows: Sequence[CheckRow]) -> Testability:
        """Testability by some of the checks."""
        apart = _separated(rows, len(self.faults))
        rates = np.array([fault.rate for fault in self.faults])[1:]
        alike = len(self.faults) - 1 - apart[1:].sum(axis=1)  # nothing wrong included
        share = rates / rates.sum()
        return Testability(float(share @ apart[1:, 0]), float(share @ (alike == 0)), float(share @ (alike <= 2)))

    @property
    def cold(self) -> list[CheckRow]:
        """Checks that need no running engine."""
        return [row for row in self.rows if row.cold]

    @property
    def warm(self) -> list[CheckRow]:
        """Checks that need a running engine."""
        return [row for row in self.rows if not row.cold]

    def dispensable(self) -> list[CheckRow]:
        """Redundant checks, longest first: without all of them the others still separate the same faults."""
        every = _separated(self.rows, len(self.faults))
        left, out = list(self.rows), []
        for row in sorted(self.rows, key=lambda row: -row.minutes):
            others = [one for one in left if one is not row]
            if (_separated(others, len(self.faults)) == every).all():
                left, out = others, [*out, row]
        return out

    def alike(self, fault: int) -> list[Fault]:
        """Faults that no check separates from a fault (index)."""
        apart = _separated(self.rows, len(self.faults))[fault]
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
    rows = [_row(particles, faults, *predicted) for predicted in _predicted_checks(particles)]
    order = {check: k for k, check in enumerate(catalogue.checks)}
    return CheckTable(vehicle, faults, sorted(rows, key=lambda row: order[row.check.id]))


def _vehicles(catalogue: Catalogue, job: Job, faults: list[Fault], count: int) -> Particles:
    """At most count vehicles of each fault, weighted by its rate."""
    every = Particles.sample_prior(catalogue, job, "table")
    index = [next(k for k, one in enumerate(every.faults) if one.id == fault.id) for fault in faults]
    keep = np.concatenate([np.flatnonzero(every.label == k)[:count] for k in sorted(index)])
    few = every.copy(keep)
    rates = np.array([fault.rate for fault in few.faults])
    few.log_weight = np.log(rates[few.label])
    few.drawn = np.bincount(few.label, minlength=len(few.faults)).astype(float)
    return few


def _predicted_checks(particles: Particles) -> Iterator[tuple[PredictedCheck, tuple[Action, ...], float]]:
    """Readings, preparations and total minutes of every check that is possible on the vehicles as they arrive."""
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
    """Distribution of readings over classes for each fault (count, classes), classes in rising order."""
    tool, finite = INSTRUMENTS[instrument], np.isfinite(true)
    steps = np.full((len(DEVIATES), len(true)), np.iinfo(np.int64).max)  # no reading
    for k, deviate in enumerate(DEVIATES):
        steps[k, finite] = tool.read_all(true[finite], np.full(int(finite.sum()), deviate))
    found = np.unique(steps)
    if len(found) > CLASSES:
        found = np.unique(np.quantile(steps, np.linspace(0.0, 1.0, CLASSES), method="lower"))
    classes = np.clip(np.searchsorted(found, steps, side="right") - 1, 0, len(found) - 1)
    shares = np.zeros((count, len(found)))
    np.add.at(shares, (np.broadcast_to(label, classes.shape), classes), 1.0)
    return shares / np.maximum(shares.sum(axis=1, keepdims=True), 1.0)


def _usual(sound: np.ndarray) -> np.ndarray:
    """Classes (classes,) of the sound band, which holds nine in ten sound vehicles; sound: share of each class."""
    below = np.cumsum(sound) - sound
    above = 1.0 - below - sound
    return (sound > 0.0) & (below < 1.0 - OUTSIDE) & (above < 1.0 - OUTSIDE)


def _separated(rows: Sequence[CheckRow], faults: int) -> np.ndarray:
    """Pairs of faults (faults, faults) that at least one of the checks separates."""
    apart = np.zeros((faults, faults), bool)
    for row in rows:
        apart |= row.separates
    return apart
