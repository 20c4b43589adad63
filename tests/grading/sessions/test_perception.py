"""What is noticed without a reading: told by the law by which it is weighed, and a missing sign is evidence too."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

import numpy as np
import pytest

from grading.marks.replay import replay
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.sessions.perception import SENSES, Noticed, boiling_over, notice, sentences
from grading.sessions.session import NOTICES_AGAIN_MINUTES, Session
from scenarios.actions import Action
from scenarios.model import BAY, BENCH, DASH, ROAD, SEAT
from scenarios.workshop import Workshop
from sim.fleet import Fleet
from sim.observation.categories import Categories
from sim.observation.instruments import INSTRUMENTS
from sim.vehicle.states import OVERHEATING
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
    prior_particles = Particles.sample_prior(done.catalogue, done.job)
    sound = prior_particles.faults.index(done.catalogue.faults["none"])
    after = replay(done.recorder.entries, BeliefCache(prior_particles), False)[-1].after
    assert after[sound] < 0.5 * prior_particles.belief()[sound]


def test_the_same_is_not_noticed_twice_in_a_row() -> None:
    done = session(
        "none", Action("ignition", ("on",)), Action("set", ("heater", 50.0)), Action("set", ("heater", 90.0))
    )
    seen = [len(entry.data["noticed"]) for entry in done.recorder.entries if entry.kind == "action"]
    assert seen[1:] == [0, 0]


def test_what_is_noticed_stays_until_one_looks_again() -> None:
    done = session("none", *FIND[1:4], Action("idle", (0.5 * NOTICES_AGAIN_MINUTES,)))
    said = done.perceived()
    assert done.perceived() == said
    before = {label: done._noise_quantiles(label, sense.instrument) for label, sense in SENSES.items()}
    done.do(Action("set", ("blower", 2.0)))
    assert {label: done._noise_quantiles(label, sense.instrument) for label, sense in SENSES.items()} == before
    done.do(Action("idle", (NOTICES_AGAIN_MINUTES,)))
    after = {label: done._noise_quantiles(label, sense.instrument) for label, sense in SENSES.items()}
    assert all(after[label][0] != before[label][0] and after[label][1] == before[label][1] for label in SENSES)


def test_a_sign_that_is_missing_is_noticed_but_not_spoken_of() -> None:
    done = session("none", Action("ignition", ("on",)))
    missing = [seen["label"] for seen in done.recorder.entries[-1].data["noticed"] if seen["step"] == 0]
    assert "sweetness smelt" in missing
    assert not any("sweet" in line for line in done.perceived())


@pytest.mark.parametrize("label", ["gauge seen", "air felt", "warmth felt", "windscreen seen"])
def test_words_are_told_as_often_as_they_are_expected(label: str) -> None:
    """Shares of words over 1,000 draws of noise and offset lie within four standard errors of the law's chances."""
    done = session("none", *FIND[1:4], Action("drive", (4.0, 50.0)))
    rng = np.random.Generator(np.random.Philox(key=SEED))
    draws = rng.random((1000, 2))
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
    law = INSTRUMENTS[sense.likelihood_instrument]
    for step in range(len(cast(Any, law).words)):
        chance = float(law.likelihood(step, true)[0])
        assert abs(words.count(step) / len(words) - chance) < 4.0 * np.sqrt(chance * (1.0 - chance) / len(words)) + 2e-3


def test_a_hand_is_hard_or_soft_all_day() -> None:
    """Air felt again and again tells less than looks by other hands would: the offset of the hand is integrated."""
    catalogue, job = with_fault(bench(), "none")
    start = Particles.sample_prior(catalogue, job)
    for action in FIND[1:4]:
        start.act(action)
    for _ in range(3):
        start.act(Action("set", ("blower", 2.0)), [], [("air felt", 3)])
    known = start.offset_estimate("air by hand")
    assert known is not None
    offset = INSTRUMENTS["air by hand"].offset
    assert np.median(known.variance) < 0.9 * offset**2


# -- sentences ------------------------------------------------------------------------------------------------------

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
IGNITION, START, BLOW = Action("ignition", ("on",)), FIND[1], FIND[3]
LOWEST = Action("set", ("blower", 1.0))
RUNS, STOPPED = "The engine runs at about 740 rpm", "The engine is stopped"


def median(label: str, instrument: str) -> tuple[float, float]:
    """Neither noise nor offset."""
    return 0.5, 0.5


def true_of(label: str) -> dict[int, float]:
    """A true quantity for each step of a sense, as it is read without luck."""
    instrument = INSTRUMENTS[SENSES[label].instrument]
    if isinstance(instrument, Categories):
        return {k: float(k) for k in range(len(instrument.words))}
    range_of_all = np.concatenate([np.linspace(-20.0, 90.0, 221), np.linspace(0.0, 6.0, 601), np.arange(90.0, 160.0)])
    return {instrument.read(float(true), 0.5, 0.5): float(true) for true in range_of_all}


TRUE = {label: true_of(label) for label in SENSES}


@pytest.fixture
def senses(monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    """Steps that the senses find, by label; what is not named finds its first word."""
    steps: dict[str, int] = {}
    for label, sense in SENSES.items():

        def quantity(fleet: Fleet, label: str = label) -> np.ndarray:
            return np.array([TRUE[label][steps.get(label, 0)]])

        monkeypatch.setitem(SENSES, label, replace(sense, quantity=quantity))
    return steps


def workshop(place: str, *actions: Action) -> Workshop:
    found = play(CATALOGUE, JOB, *actions).workshop
    found.place = place
    return found


@pytest.mark.parametrize(
    ("place", "actions", "steps", "told"),
    [
        (SEAT, (), {}, [f"{STOPPED}."]),
        (SEAT, (IGNITION,), {}, [f"{STOPPED}, ignition at run.", "The temperature gauge is on its cold stop."]),
        (SEAT, (START,), {"gauge seen": 7}, [f"{RUNS}.", "The temperature gauge is in the red."]),
        (BAY, (START,), {"gauge seen": 7}, [f"{RUNS}."]),
        (DASH, (START, BLOW), {}, [f"{RUNS}; the blower is silent."]),
        (DASH, (START, BLOW), {"blower heard": 1}, [f"{RUNS}; the blower's motor whirs."]),
        (DASH, (START, BLOW), {"blower heard": 2}, [f"{RUNS}; the blower labours."]),
        (DASH, (IGNITION, BLOW), {"blower heard": 3}, [f"{STOPPED}, ignition at run; the blower runs evenly."]),
        (DASH, (START, BLOW), {"blower heard": 4}, [f"{RUNS}; the blower falters."]),
        (DASH, (START, LOWEST), {"blower heard": 3}, [f"{RUNS}; the blower runs evenly."]),
        (DASH, (BLOW,), {"blower heard": 4}, [f"{STOPPED}."]),
        (DASH, (), {"sweetness smelt": 1}, [f"{STOPPED}.", "The cabin smells faintly sweet."]),
        (DASH, (), {"sweetness smelt": 2}, [f"{STOPPED}.", "The cabin smells plainly sweet."]),
        (SEAT, (), {"windscreen seen": 1}, [f"{STOPPED}.", "The windscreen is misting at the edges."]),
        (SEAT, (), {"windscreen seen": 2}, [f"{STOPPED}.", "The windscreen is fogged."]),
        (BAY, (), {"windscreen seen": 2, "sweetness smelt": 2}, [f"{STOPPED}."]),
        (BAY, (), {"fan seen": 1}, [f"{STOPPED}.", "The radiator fan is turning slowly."]),
        (BAY, (), {"fan seen": 2}, [f"{STOPPED}.", "The radiator fan is turning fast."]),
        (BAY, (), {"boiling seen": 1}, [f"{STOPPED}.", "Coolant is boiling over: steam and a hiss from the cap."]),
        (BAY, (START,), {"belt heard": 1}, [f"{RUNS}.", "A belt squeals."]),
        (BAY, (), {"belt heard": 1}, [f"{STOPPED}."]),
        (DASH, (), {"fan seen": 2, "boiling seen": 1, "belt heard": 1}, [f"{STOPPED}."]),
        *(
            (place, (), {"heat smelt": 1}, [f"{STOPPED}.", "There is a smell of hot engine."])
            for place in (BENCH, ROAD)
        ),
    ],
)
def test_each_sense_has_its_sentence(
    senses: dict[str, int], place: str, actions: tuple[Action, ...], steps: dict[str, int], told: list[str]
) -> None:
    senses |= steps
    assert sentences(workshop(place, *actions), median) == told


@pytest.mark.parametrize(
    ("steps", "air"),
    [
        ({"air felt": 0, "warmth felt": 4, "outlet felt": 1}, "no air"),
        ({"air felt": 1}, "a breath of air, icy, mostly at the floor"),
        ({"air felt": 2, "warmth felt": 1}, "weak air, cool, mostly at the floor"),
        ({"air felt": 3, "warmth felt": 2, "outlet felt": 1}, "moderate air, lukewarm, mostly at the face"),
        ({"air felt": 4, "warmth felt": 3, "outlet felt": 2}, "strong air, warm, mostly at the screen"),
        ({"air felt": 5, "warmth felt": 4}, "very strong air, hot, mostly at the floor"),
    ],
)
def test_air_is_told_with_its_warmth_and_where_it_comes_out(
    senses: dict[str, int], steps: dict[str, int], air: str
) -> None:
    senses |= steps | {"gauge seen": 4, "blower heard": 3}
    assert sentences(workshop(SEAT, START, BLOW), median) == [
        f"{RUNS}; the blower runs evenly.",
        "The temperature gauge is mid-scale.",
        f"At the vents: {air}.",
    ]


def test_all_that_there_is_to_notice_comes_in_one_order(senses: dict[str, int]) -> None:
    senses |= dict.fromkeys(SENSES, 1)
    assert sentences(workshop(SEAT, START, BLOW), median) == [
        f"{RUNS}; the blower's motor whirs.",
        "The temperature gauge is just off cold.",
        "The temperature lamp is lit.",
        "The charge lamp is lit.",
        "The engine lamp is lit.",
        "At the vents: a breath of air, cool, mostly at the face.",
        "A belt squeals.",
        "Something gurgles faintly behind the dash.",
        "A vacuum line hisses faintly.",
        "The windscreen is misting at the edges.",
        "The cabin smells faintly sweet.",
        "There is a smell of hot engine.",
    ]
    assert sentences(workshop(BAY, START, BLOW), median) == [
        f"{RUNS}.",
        "A belt squeals.",
        "A vacuum line hisses faintly.",
        "The radiator fan is turning slowly.",
        "Coolant is boiling over: steam and a hiss from the cap.",
        "There is a smell of hot engine.",
    ]


@pytest.mark.parametrize(
    ("switches", "told"),
    [
        (("seized",), "The engine no longer turns: it has seized."),
        (("drained",), "The engine does not crank: the battery is flat."),
        (("seized", "drained"), "The engine no longer turns: it has seized."),
        ((), f"{RUNS}."),
    ],
)
def test_an_engine_that_does_not_turn_is_told(switches: tuple[str, ...], told: str) -> None:
    found = workshop(BENCH, START)
    for name in switches:
        found.fleet.switches[name][0] = 1.0
    assert sentences(found, median) == [told]


@pytest.mark.parametrize(("rpm", "told"), [(1234.0, 1230), (1236.0, 1240), (2996.0, 3000)])
def test_speed_is_told_in_tens(rpm: float, told: int) -> None:
    found = workshop(BENCH, START)
    found.fleet.algebraic["rpm"][0] = rpm
    assert sentences(found, median) == [f"The engine runs at about {told} rpm."]


def test_what_is_missing_is_noticed_where_there_is_something_to_notice(senses: dict[str, int]) -> None:
    asked: list[tuple[str, str]] = []

    def luck(label: str, instrument: str) -> tuple[float, float]:
        asked.append((label, instrument))
        return 0.5, 0.5

    senses["air felt"] = 1
    assert notice(workshop(SEAT, IGNITION, BLOW), luck) == [
        Noticed("gauge seen", 0, "on its cold stop"),
        Noticed("air felt", 1, "a breath of air"),
        Noticed("warmth felt", 0, "icy"),
        Noticed("outlet felt", 0, "mostly at the floor"),
        Noticed("blower heard", 0, "silent"),
        Noticed("windscreen seen", 0, "clear"),
        Noticed("sweetness smelt", 0, "nothing"),
        Noticed("heat smelt", 0, "nothing"),
    ]
    assert asked == [(label, SENSES[label].instrument) for label, _ in asked]
    senses["air felt"] = 0
    found = [one.label for one in notice(workshop(SEAT, IGNITION, BLOW), luck)]
    assert "air felt" in found and "warmth felt" not in found and "outlet felt" not in found


def test_luck_moves_what_is_noticed() -> None:
    found = workshop(SEAT, START, BLOW)

    def felt(noise: float, offset: float) -> int:
        return next(one.step for one in notice(found, lambda *names: (noise, offset)) if one.label == "air felt")

    assert felt(1e-6, 0.5) < felt(0.5, 0.5) < felt(1.0 - 1e-6, 0.5)
    assert felt(0.5, 1e-6) < felt(0.5, 1.0 - 1e-6)


def test_of_several_vehicles_the_first_is_noticed() -> None:
    one = workshop(SEAT, START, BLOW, Action("drive", (10.0, 50.0)))
    two = one.joined(workshop(SEAT, START, BLOW), np.array([0, 1]))
    other = one.joined(workshop(SEAT, START, BLOW), np.array([1, 0]))
    assert notice(two, median) == notice(one, median) != notice(other, median)


@pytest.mark.parametrize(
    ("liquid", "steam", "seen"), [(0.0, 0.0, 0.0), (0.002, 0.0, 1.0), (0.0, 0.0005, 1.0), (0.004, 0.0005, 2.0)]
)
def test_boiling_over_is_what_is_seen_more_of(liquid: float, steam: float, seen: float) -> None:
    """What can be seen: 2 g/s of coolant, 0.5 g/s of steam (ours)."""
    fleet = workshop(BAY).fleet
    fleet.algebraic["cap_liquid_kg_s"][0], fleet.algebraic["steam_kg_s"][0] = liquid, steam
    assert boiling_over(fleet) == pytest.approx([seen])


@pytest.mark.parametrize(("harm", "smell"), [(0.0, "nothing"), (500.0, "hot engine")])
def test_an_engine_that_was_overheated_smells_wherever_one_stands(harm: float, smell: str) -> None:
    found = workshop(BENCH)
    found.fleet.state[0, OVERHEATING] = harm
    assert notice(found, median) == [Noticed("heat smelt", int(harm > 0.0), smell)]
