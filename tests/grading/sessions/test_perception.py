"""What is noticed without a reading: told by the law by which it is weighed, and a missing sign is evidence too."""

from __future__ import annotations

from typing import Any, cast

import numpy as np
import pytest

from grading.marks.replay import replay
from grading.observer.cache import Trail
from grading.observer.particles import Hypotheses
from grading.sessions.perception import SENSES, notice
from grading.sessions.session import LOOKS_AGAIN, Session
from scenarios.actions import Action
from sim.observation.instruments import INSTRUMENTS
from tests.grading.workbench import FIND, SEED, bench, play, with_fault


def session(fault: str, *actions: Action) -> Session:
    return play(*with_fault(bench(), fault), *actions)


@pytest.mark.parametrize("label", SENSES)
def test_one_of_the_words_is_always_noticed(label: str) -> None:
    """Chances of all words of a sense sum to 1 for any vehicle, but for the floor that each has."""
    instrument = INSTRUMENTS[SENSES[label].instrument]
    true = np.array([0.0, 1.0, 2.0]) if label in ("blower heard", "belt heard") else np.linspace(-20.0, 90.0, 12)
    if label == "belt heard":
        true = true[:2]
    words = len(cast(Any, instrument).words)
    total = sum(instrument.likelihood(step, true) for step in range(words))
    assert total == pytest.approx(np.ones(len(true)), abs=2e-4 * words)


def test_what_is_noticed_counts_as_evidence() -> None:
    drive = FIND[1:5]
    done = session("coolant-low", *drive)
    felt = [seen["shown"] for e in done.recorder.entries if e.kind == "action" for seen in e.data["noticed"]]
    assert felt
    imagined = Hypotheses.imagine(done.catalogue, done.job)
    sound = imagined.faults.index(done.catalogue.faults["none"])
    after = replay(done.recorder.entries, Trail(imagined), False)[-1].after
    assert after[sound] < 0.5 * imagined.belief()[sound]


def test_the_same_is_not_noticed_twice_in_a_row() -> None:
    done = session(
        "none", Action("ignition", ("on",)), Action("set", ("heater", 50.0)), Action("set", ("heater", 90.0))
    )
    seen = [len(entry.data["noticed"]) for entry in done.recorder.entries if entry.kind == "action"]
    assert seen[1:] == [0, 0]


def test_what_is_noticed_stays_until_one_looks_again() -> None:
    done = session("none", *FIND[1:4], Action("idle", (0.5 * LOOKS_AGAIN,)))
    said = done.perceived()
    assert done.perceived() == said
    before = {label: done._luck(label, sense.instrument) for label, sense in SENSES.items()}
    done.do(Action("set", ("blower", 2.0)))
    assert {label: done._luck(label, sense.instrument) for label, sense in SENSES.items()} == before
    done.do(Action("idle", (LOOKS_AGAIN,)))
    after = {label: done._luck(label, sense.instrument) for label, sense in SENSES.items()}
    assert all(after[label][0] != before[label][0] and after[label][1] == before[label][1] for label in SENSES)


def test_a_sign_that_is_missing_is_noticed_but_not_spoken_of() -> None:
    done = session("none", Action("ignition", ("on",)))
    missing = [seen["label"] for seen in done.recorder.entries[-1].data["noticed"] if seen["step"] == 0]
    assert "sweetness smelt" in missing
    assert not any("sweet" in line for line in done.perceived())


@pytest.mark.parametrize("label", ["gauge seen", "air felt", "warmth felt", "windscreen seen"])
def test_words_are_told_as_often_as_they_are_expected(label: str) -> None:
    """Shares of words over 4,000 draws of noise and offset lie within four standard errors of the law's chances."""
    done = session("none", *FIND[1:4], Action("drive", (4.0, 50.0)))
    rng = np.random.Generator(np.random.Philox(key=SEED))
    draws = rng.random((4000, 2))
    words = [
        next(
            seen.step
            for seen in notice(done.workshop, lambda _label, _name, k=k: tuple(draws[k]))
            if seen.label == label
        )
        for k in range(len(draws))
    ]
    sense = SENSES[label]
    true = sense.quantity(done.workshop.fleet)
    law = INSTRUMENTS[sense.counts_by]
    for step in range(len(cast(Any, law).words)):
        chance = float(law.likelihood(step, true)[0])
        assert abs(words.count(step) / len(words) - chance) < 4.0 * np.sqrt(chance * (1.0 - chance) / len(words)) + 2e-3


def test_a_hand_is_hard_or_soft_all_day() -> None:
    """Air felt again and again tells less than looks by other hands would: the offset of the hand is integrated."""
    catalogue, job = with_fault(bench(), "none")
    start = Hypotheses.imagine(catalogue, job)
    for action in FIND[1:4]:
        start.act(action)
    for _ in range(3):
        start.act(Action("set", ("blower", 2.0)), [], [("air felt", 3)])
    known = start.known("air by hand")
    assert known is not None
    offset = INSTRUMENTS["air by hand"].offset
    assert np.median(known.variance) < 0.9 * offset**2
