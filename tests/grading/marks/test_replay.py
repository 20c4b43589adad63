"""A record done again: what is believed before and after each step, what it was worth, and what was lost by it."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from grading.marks import replay as module
from grading.marks.replay import Step, replay
from grading.reference.options import CONFIRMS, Option
from grading.reference.policy import Advice
from scenarios.actions import Action
from scenarios.model import ReadingSpec
from scenarios.workshop import Look, Performed
from tests.grading.cases import Did, did, entries, marking

GAUGE = marking().checks["gauge"]
SEEN = {"gauge": 3}


@dataclass
class Belief:
    """A belief after so many actions that the vehicle felt."""

    felt: int = 0
    vehicles_failed: int = 0
    workshop: Any = field(default_factory=lambda: SimpleNamespace(control=lambda _name: 1.0, catalogue=marking()))

    def belief(self) -> np.ndarray:
        return np.array([float(self.felt)])

    def error(self) -> np.ndarray:
        return np.array([self.felt / 100.0])


class BeliefCache:
    """Beliefs that are told apart by how much was done."""

    def __init__(self, minutes: dict[int, float]) -> None:
        self.start, self.minutes = Belief(), minutes

    def after(self, now: Belief, action: Action, _steps: object, _noticed: object) -> tuple[Belief, Performed]:
        spec = ReadingSpec("gauge", "gauge needle", "dash gauge")
        return Belief(now.felt + 1), Performed(action, self.minutes[now.felt], readings=[Look(spec, np.zeros(1), 0.0)])


def replayed(
    *done: Did, look_ahead: bool = False, advice: list[Advice] | None = None, monkeypatch: pytest.MonkeyPatch
) -> tuple[list[Step], list[set[str]]]:
    """The steps, and the checks already done each time that the reference was asked; a check is expected to bring as
    many bits as the belief before it is old.
    """
    asked: list[set[str]] = []
    answers = iter(advice or [])

    def ask(_trail: object, _now: object, _readiness: object, known: set[str]) -> Advice:
        asked.append(set(known))
        return next(answers)

    monkeypatch.setattr(module, "advised", ask)
    monkeypatch.setattr(module, "expected_information", lambda now, _looks: (float(now.felt), 0.0))
    felt = [one.minutes for one in done if one.action.verb not in ("diagnose", "note", "suspect", "handback")]
    belief_cache: Any = BeliefCache(dict(enumerate(felt)))
    return replay(entries(*done), belief_cache, look_ahead), asked


def option(minutes: float, bits: float) -> Option:
    return Option(GAUGE, (), minutes, bits, 0.5)


def advice_of(rate: float, worth: bool = True) -> Advice:
    return Advice(option(1.0, rate), worth)


CHECK = did("check", "gauge", minutes=2.0, shown=SEEN)
DRIVE = did("drive", 15.0, minutes=15.0)
NOTE = did("note", "cause", "one two three")
SAID = did("diagnose", "coolant-low", 90.0)


@pytest.mark.parametrize(
    ("done", "moments"),
    [
        ((CHECK, SAID), [(0, 1), (1, 1)]),
        ((DRIVE, NOTE, CHECK, SAID), [(0, 1), (1, 1), (1, 2), (2, 2)]),  # a note teaches nothing
        ((CHECK, SAID, CHECK), [(0, 1), (1, 1)]),  # what follows the diagnosis proves the repair
        ((CHECK, SAID, CHECK, SAID, CHECK), [(0, 1), (1, 1), (1, 2), (2, 2)]),  # the last one
        ((CHECK, DRIVE), [(0, 1), (1, 2)]),  # where none was declared, all of it
        ((), []),
    ],
)
def test_each_step_has_the_belief_before_and_after_it_with_their_errors(
    done: tuple[Did, ...], moments: list[tuple[int, int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    steps, _ = replayed(*done, monkeypatch=monkeypatch)
    assert [(step.before[0], step.after[0]) for step in steps] == moments
    assert [(step.error_before[0], step.error[0]) for step in steps] == [(a / 100, b / 100) for a, b in moments]
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))


def test_only_a_check_that_was_read_could_bring_anything(monkeypatch: pytest.MonkeyPatch) -> None:
    steps, _ = replayed(DRIVE, CHECK, did("check", "gauge", minutes=2.0), DRIVE, SAID, monkeypatch=monkeypatch)
    assert [step.bits for step in steps] == [0.0, 1.0, 0.0, 0.0, 0.0]


def test_the_reference_is_asked_only_where_someone_looks_ahead(monkeypatch: pytest.MonkeyPatch) -> None:
    steps, asked = replayed(DRIVE, CHECK, SAID, monkeypatch=monkeypatch)
    assert asked == []
    assert [(step.best, step.worth, step.regret) for step in steps] == [(None, None, 0.0)] * 3


def test_it_is_asked_before_each_check_and_at_the_diagnosis(monkeypatch: pytest.MonkeyPatch) -> None:
    other = did("check", "road-gauge", minutes=2.0, shown=SEEN)
    advice = [advice_of(1.0), advice_of(1.0, worth=False), advice_of(1.0, worth=True)]
    steps, asked = replayed(DRIVE, CHECK, other, SAID, look_ahead=True, advice=advice, monkeypatch=monkeypatch)
    assert asked == [set(), {"gauge"}, {"gauge", "road-gauge"}]
    assert [step.worth for step in steps] == [None, True, False, True]
    assert [step.best for step in steps] == [None, *(one.best for one in advice)]


@pytest.mark.parametrize(
    ("done", "rate", "regret"),
    [
        # After a drive of 15 minutes a check of 2 brings 1 bit, for which the best way takes 1 / rate minutes.
        ((DRIVE, CHECK), 0.1, 7.0),
        ((DRIVE, CHECK), 0.05, 0.0),
        ((DRIVE, CHECK), 0.0, 17.0),  # nothing would have told anything
        ((did("wait", 100.0, minutes=100.0), CHECK), 0.5, 10.0),  # standing counts for a tenth
        ((did("go", "engine bay", minutes=0.5), CHECK), 1.0, 1.5),
    ],
)
def test_minutes_beyond_the_best_way_are_regretted(
    done: tuple[Did, ...], rate: float, regret: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps, _ = replayed(*done, look_ahead=True, advice=[advice_of(rate)], monkeypatch=monkeypatch)
    assert [step.regret for step in steps] == [0.0, pytest.approx(regret)]


def test_what_one_check_took_is_not_regretted_at_the_next(monkeypatch: pytest.MonkeyPatch) -> None:
    advice = [advice_of(1.0), advice_of(1.0)]
    steps, _ = replayed(DRIVE, CHECK, CHECK, look_ahead=True, advice=advice, monkeypatch=monkeypatch)
    assert [step.regret for step in steps] == [0.0, pytest.approx(16.0), 0.0]  # the second: 2 minutes for 2 bits


def test_readings_are_kept_in_words_and_progress_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    shares: list[float] = []
    record = entries(CHECK, SAID)
    record[0].data["readings"][0]["shown"] = "mid-scale"
    monkeypatch.setattr(module, "expected_information", lambda *_: (-0.1, 0.0))
    belief_cache: Any = BeliefCache({0: 2.0})
    steps = replay(record, belief_cache, False, shares.append)
    assert steps[0].shown == (("gauge", "mid-scale"),)
    assert steps[0].bits == 0.0  # never below nothing
    assert (steps[0].minute, steps[0].minutes, steps[1].minute) == (0.0, 2.0, 2.0)
    assert shares == [0.5, 1.0]


def test_where_nothing_was_declared_progress_is_that_of_the_whole_record(monkeypatch: pytest.MonkeyPatch) -> None:
    shares: list[float] = []
    record = entries(DRIVE, NOTE, DRIVE, DRIVE)
    del record[0].data["readings"]  # as of an action that has none
    belief_cache: Any = BeliefCache({0: 15.0, 1: 15.0, 2: 15.0})
    assert [step.shown for step in replay(record, belief_cache, False, shares.append)] == 4 * [()]
    assert shares == [0.25, 0.5, 0.75, 1.0]


@pytest.mark.parametrize(
    ("failed", "left"), [((False, False, False), None), ((False, True, False), [0, 2]), ((True, True, False), [2])]
)
def test_vehicles_that_cannot_be_calculated_tell_nothing_of_a_check(
    failed: tuple[bool, ...], left: list[int] | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a check could bring is asked of those vehicles alone that came to its end."""
    asked: list[Any] = []

    @dataclass
    class Fleet(Belief):
        kept: list[int] | None = None

        def copy(self, keep: np.ndarray) -> Fleet:
            return Fleet(self.felt, kept=keep.tolist())

    class Failing(BeliefCache):
        def after(self, now: Belief, action: Action, _steps: object, _noticed: object) -> tuple[Belief, Performed]:
            look = Look(ReadingSpec("gauge", "gauge needle", "dash gauge"), np.array([10.0, 11.0, 12.0]), 0.0)
            return Belief(now.felt + 1, sum(failed)), Performed(action, 2.0, readings=[look], failed=np.array(failed))

    def expected_information(now: Fleet, looks: list[tuple[str, np.ndarray]]) -> tuple[float, float]:
        asked.append((now.kept, [(name, true.tolist()) for name, true in looks]))
        return -0.5, 0.0

    monkeypatch.setattr(module, "expected_information", expected_information)
    belief_cache: Any = Failing({})
    belief_cache.start = Fleet()
    (step,) = replay(entries(CHECK), belief_cache, False)
    assert asked == [(left, [("dash gauge", [10.0 + k for k in (range(3) if left is None else left)])])]
    assert (step.bits, step.vehicles_failed) == (0.0, sum(failed))  # bits are never less than none


@pytest.mark.parametrize(
    ("best", "check", "minutes"),
    [
        (None, "gauge", 0.0),
        (Option(GAUGE, (), 4.0, 0.5, 0.9), "vent-temperature", 2.0),  # a quarter bit at 1/8 bit/min
        (Option(GAUGE, (), 4.0, 0.5, 0.9), "gauge", 2.0),
        (Option(GAUGE, (), 4.0, 0.0, 0.9), "vent-temperature", 0.0),
        # A part that is looked at before it is condemned tells nothing new, and is not regretted.
        (Option(GAUGE, (), 4.0, 0.0, 0.9, CONFIRMS), "gauge", 4.0),
    ],
)
def test_minutes_in_which_the_best_option_brings_as_much(best: Option | None, check: str, minutes: float) -> None:
    assert module._best_takes(best, check, 0.25) == pytest.approx(minutes)
