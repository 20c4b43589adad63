"""Expected information of a check, against cases with known answers."""

from __future__ import annotations

import math
from typing import Any, cast

import numpy as np
import pytest

from grading.observer.information import TRIALS, Moment, expect
from grading.observer.particles import Hypotheses, entropy
from sim.observation.instruments import INSTRUMENTS, OFFSETS
from sim.observation.quantities import QUANTITIES
from tests.scenarios.workshops import a_check, controls, reading, workshop

VOLT = "multimeter"
KINDS = "ear at the belt"


def believed(label: list[int], shares: list[float]) -> Hypotheses:
    """Hypotheses with these fault labels and weights."""
    hypotheses = object.__new__(Hypotheses)
    faults = max(label) + 1
    hypotheses.faults, hypotheses.drawn = cast(Any, [None] * faults), np.ones(faults)
    hypotheses.label, hypotheses.log_weight = np.array(label), np.log(np.array(shares))
    hypotheses.offsets = np.zeros((len(label), len(OFFSETS), 2))
    return hypotheses


def told(label: list[int], shares: list[float], chances: list[list[float]]) -> tuple[float, float]:
    """Information [bit] and expected belief in the likeliest fault, from chances (outcomes, vehicles)."""
    return Moment(believed(label, shares)).told(np.array(chances))


def test_perfect_check_tells_one_bit() -> None:
    assert told([0, 1], [0.5, 0.5], [[1.0, 0.0], [0.0, 1.0]]) == (1.0, 1.0)


def test_uninformative_check_tells_nothing() -> None:
    bits, surest = told([0, 1, 1], [0.7, 0.1, 0.2], [[0.2, 0.2, 0.2], [0.9, 0.9, 0.9]])
    assert bits == pytest.approx(0.0, abs=1e-12)
    assert surest == pytest.approx(0.7)


def test_binary_symmetric_channel() -> None:
    """1 - H(e) bits (Shannon, textbook)."""
    e = 0.1
    bits, surest = told([0, 1], [0.5, 0.5], [[1.0 - e, e], [e, 1.0 - e]])
    assert bits == pytest.approx(1.0 + e * math.log2(e) + (1.0 - e) * math.log2(1.0 - e))
    assert surest == pytest.approx(1.0 - e)


def test_faults_are_groups_of_particles() -> None:
    """Faults 0, 2 and 5 of six; the outcome tells fault 2, of belief 1/2, from the others."""
    label, shares = [0, 0, 2, 2, 5], [0.1, 0.2, 0.25, 0.25, 0.2]
    bits, surest = told(label, shares, [[0.0, 0.0, 1.0, 1.0, 0.0], [1.0, 1.0, 0.0, 0.0, 1.0]])
    assert bits == pytest.approx(1.0)
    assert surest == pytest.approx(0.5 * 1.0 + 0.5 * 0.6)


def test_entropy_in_bits() -> None:
    assert entropy(np.array([0.5, 0.25, 0.25, 0.0])) == 1.5
    assert entropy(np.array([[1.0, 0.0], [0.5, 0.5]])).tolist() == [0.0, 1.0]


def test_outcomes_are_sampled_by_weight() -> None:
    """A vehicle with a third of the weight is the truth in a third of the trials."""
    volts = np.array([11.0, 12.0, 13.0])
    moment = Moment(believed([0, 1, 2], [1.0, 1.0, 1.0]))
    chances = moment.outcomes([(VOLT, volts)])
    assert chances.shape == (TRIALS, 3)
    assert chances.argmax(axis=1).tolist() == [0] * 8 + [1] * 8 + [2] * 8
    moment = Moment(believed([0, 1, 2], [1.0, 2.0, 1.0]))
    assert moment.outcomes([(VOLT, volts)]).argmax(axis=1).tolist() == [0] * 6 + [1] * 12 + [2] * 6


def test_outcome_chances_are_the_instruments_likelihood() -> None:
    """With an instrument of kinds, which is not blurred: a belt sound or squealing."""
    true, instrument = np.array([0.0, 1.0]), INSTRUMENTS[KINDS]
    rows = [instrument.likelihood(step, true).tolist() for step in (0, 1)]
    chances = Moment(believed([0, 1], [0.5, 0.5])).outcomes([(KINDS, true)]).tolist()
    assert all(row in rows for row in chances)
    assert chances.count(rows[0]) == pytest.approx(TRIALS / 2, abs=2)


def test_readings_of_a_check_are_independent() -> None:
    true = np.array([0.0, 1.0])
    moment = Moment(believed([0, 1], [0.5, 0.5]))
    one, two = moment.outcomes([(KINDS, true)]), moment.outcomes([(KINDS, true), (KINDS, 1.0 - true)])
    rows = [INSTRUMENTS[KINDS].likelihood(step, 1.0 - true) for step in (0, 1)]
    for single, both in zip(one, two, strict=True):
        assert any(both == pytest.approx(single * row) for row in rows)
    assert expect(believed([0, 1], [0.5, 0.5]), [(KINDS, true), (KINDS, 1.0 - true)]) == moment.told(two)


def test_known_offset_is_used() -> None:
    """A common offset changes nothing; offsets that cancel the difference between the vehicles leave no information."""
    name, true = "air probe", np.array([20.0, 60.0])

    def bits(*offsets: float) -> float:
        hypotheses = believed([0, 1], [0.5, 0.5])
        hypotheses.offsets[:, OFFSETS[name]] = np.column_stack([offsets, [1e-6, 1e-6]])
        return expect(hypotheses, [(name, true)])[0]

    assert bits(0.0, 0.0) == pytest.approx(1.0, abs=0.01)
    assert bits(8.0, 8.0) == pytest.approx(1.0, abs=0.01)
    assert bits(20.0, -20.0) == pytest.approx(0.0, abs=0.01)


def test_settings_are_tried_without_touching_the_fleet() -> None:
    low, full = {"blower": 1.0}, {"blower": 4.0}
    check = a_check(
        readings=(reading("blower air", sets=low), reading("blower air", sets=full), reading("blower air", sets=low))
    )
    shop = workshop()
    shop.world.set(ignition=1.0, blower=2.0)
    hypotheses = believed([0], [1.0])
    hypotheses.workshop = shop
    before, state = controls(shop), shop.fleet.algebraic.tobytes()
    moment = Moment(hypotheses)
    found = moment.looks(check)
    assert [name for name, _true in found] == [VOLT] * 3
    shown = [float(true[0]) for _name, true in found]
    for value, sets in zip(shown, (low, full, low), strict=True):
        shop.world.set(**sets)
        assert value == pytest.approx(float(QUANTITIES["blower air"](shop.fleet)[0]), rel=1e-9)
        shop.world.set(blower=2.0)
    assert shown[0] == shown[2] < shown[1]
    assert (controls(shop), shop.fleet.algebraic.tobytes()) == (before, state)
    assert moment._as_set(()) is shop.fleet
    assert moment._as_set((("blower", 1.0),)) is moment._as_set((("blower", 1.0),))
    assert moment._as_set((("blower", 1.0),)) is not moment._as_set((("blower", 4.0),))
