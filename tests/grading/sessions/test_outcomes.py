"""What comes of an action: the outcome, what the person is told, and the line that the record holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from grading.sessions import session as sessions
from grading.sessions.modes import FREE, Mode
from grading.sessions.outcome import Reading, SafetyEvent
from grading.sessions.record import Entry, Recorder
from grading.sessions.session import HARM_K_MIN, LOOKS_AGAIN, SAMPLE_SECONDS, Session
from grading.sessions.versions import catalogue_hash, engine_hash, program_version
from scenarios.actions import Action
from scenarios.arrival import arriving_vehicle, job_weather, open_workshop
from scenarios.model import Planted, ReadingSpec
from scenarios.physics_failure import PhysicsFailed
from scenarios.planting import FaultInstance
from scenarios.workshop import Look, Performed
from sim.laws.air import standard_atmosphere_pressure
from sim.vehicle.states import OVERHEATING
from sim.vehicle.tolerances import uniform
from tests.grading.workbench import FIND, SEED, bench, play

CATALOGUE = bench()
JOB = CATALOGUE.jobs["cold-tern"]
START = FIND[1]
HANDBACK = Action("handback")
LEVEL = Action("check", ("coolant-level-cold",))
MISSING_HERE = [("fan seen", 0, "still"), ("boiling seen", 0, "nothing"), ("heat smelt", 0, "nothing")]


def begun(mode: Mode | None = None, **more: Any) -> Session:
    return Session(CATALOGUE, JOB, SEED, mode=mode, **more)


def performing(monkeypatch: pytest.MonkeyPatch, session: Session, performed: Callable[[Action], Performed]) -> None:
    """Let the vehicle do something else than its physics would."""
    monkeypatch.setattr(session.workshop, "perform", performed)


# -- the beginning --------------------------------------------------------------------------------------------------


def test_a_job_begins_with_nothing_done() -> None:
    session = begun()
    assert (session.minute, session.finished, session.closed_because, session.diagnosis) == (0.0, False, "", None)
    assert (session.readings, session.safety, session.suspects, session.repairs) == ([], [], {}, [])
    assert (session.mode, session.seed, session.vehicle.id) == (Mode(FREE), SEED, "tern")
    assert session.workshop.world.sample_every == SAMPLE_SECONDS


@pytest.mark.parametrize(
    ("more", "held"),
    [
        ({}, {"rubric": "", "mode": "free"}),
        ({"candidate": "Zoë", "rubric": "r"}, {"rubric": "r", "mode": "free", "candidate": "Zoë"}),
        ({"mode": Mode("exam", 20.0, 5.0)}, {"rubric": "", "mode": "exam", "minutes": 20.0, "begun": 5.0}),
    ],
)
def test_the_first_line_holds_what_the_job_began_with(more: dict[str, Any], held: dict[str, Any]) -> None:
    session = begun(**more)
    versions = {"program": program_version(), "engine": engine_hash(), "catalogue": catalogue_hash(CATALOGUE)}
    first = {"n": 0, "format": 2, "job": "cold-tern", "seed": SEED, **versions, **held}
    assert session.recorder.entries == [Entry("job", first)]
    recorder = Recorder(None)
    again = Session.of_record(CATALOGUE, JOB, session.recorder.entries, recorder)
    assert again.recorder is recorder and recorder.entries == session.recorder.entries
    assert (again.mode, again.seed) == (session.mode, session.seed)


def test_a_first_line_without_a_rubric_has_none() -> None:
    first = {key: value for key, value in begun().recorder.entries[0].data.items() if key != "rubric"}
    again = Session.of_record(CATALOGUE, JOB, [Entry("job", first)], Recorder(None))
    assert again.recorder.entries[0].data["rubric"] == ""


def test_a_job_has_its_weather_and_its_air() -> None:
    job = replace(JOB, ambient_C=-7.0, altitude_m=2000.0)
    parameters, good = arriving_vehicle(CATALOGUE, job, SEED)
    workshop = open_workshop(CATALOGUE, job, parameters, good)
    assert job_weather(job).mean == workshop.world.weather.mean == -7.0
    assert workshop.fleet.controls["atmosphere_kPa"][0] == standard_atmosphere_pressure(2000.0)
    assert (workshop.vehicle.id, workshop.world.sample_every) == ("tern", None)
    assert workshop.catalogue is CATALOGUE and workshop.good is good
    assert open_workshop(CATALOGUE, job, parameters, good, 5.0).world.sample_every == 5.0


def test_faults_strike_as_the_job_says_or_by_lot(monkeypatch: pytest.MonkeyPatch) -> None:
    fault = replace(CATALOGUE.faults["coolant-low"], severity=(0.2, 0.6))
    stuck = CATALOGUE.faults["thermostat-stuck-open"]
    catalogue = replace(CATALOGUE, faults=CATALOGUE.faults | {fault.id: fault})
    job = replace(JOB, faults=(Planted(fault.id, None, 9), Planted(stuck.id, 0.0)), ambient_C=-7.0, altitude_m=2000.0)
    asked: list[tuple[Any, ...]] = []
    monkeypatch.setattr("scenarios.arrival.strike", lambda *given: asked.append(given) or "struck")
    struck, good = arriving_vehicle(catalogue, job, SEED)
    key = f"vehicle:cold-tern:{SEED}"
    drawn = 0.2 + (0.6 - 0.2) * uniform(key, fault.id, "severity")
    assert struck == "struck"
    assert asked == [
        (
            good,
            [
                FaultInstance(fault, drawn, uniform(key, fault.id, "luck"), 9),
                FaultInstance(stuck, 0.0, uniform(key, stuck.id, "luck"), None),
            ],
            -7.0,
            standard_atmosphere_pressure(2000.0),
        )
    ]


def test_a_vehicle_belongs_to_its_job_and_seed() -> None:
    other = replace(JOB, id="warm-tern")
    one, again, seed, job = (
        arriving_vehicle(CATALOGUE, job, seed)[1].tobytes() for job, seed in ((JOB, 1), (JOB, 1), (JOB, 2), (other, 1))
    )
    assert one == again
    assert len({one, seed, job}) == 3


def test_a_vehicle_that_cannot_be_calculated_is_told_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr(sessions, "require_solved", lambda fleet, when: asked.append(when))
    begun()
    assert asked == ["in the job"]


# -- readings -------------------------------------------------------------------------------------------------------


def test_a_check_is_recorded_with_all_that_came_of_it() -> None:
    session = begun()
    outcome = session.do(LEVEL)
    reading = Reading(1, 1.5, "coolant-level-cold", "coolant level cold", "eye", 3, "no coolant to be seen")
    assert (outcome.action, outcome.minutes, outcome.refused, outcome.failure) == (LEVEL, 1.5, None, None)
    assert outcome.readings == session.readings == [reading]
    assert [(one.label, one.step, one.shown) for one in outcome.noticed] == MISSING_HERE
    assert (outcome.said, outcome.safety) == ([], [])
    assert session.recorder.entries[1:] == [
        Entry(
            "action",
            {
                "n": 1,
                "verb": "check",
                "arguments": ["coolant-level-cold"],
                "minute": 0.0,
                "minutes": 1.5,
                "readings": [
                    {
                        "label": "coolant level cold",
                        "instrument": "eye",
                        "step": 3,
                        "shown": "no coolant to be seen",
                        "minute": 1.5,
                    }
                ],
                "noticed": [{"label": label, "step": step, "shown": shown} for label, step, shown in MISSING_HERE],
                "safety": [],
            },
        )
    ]


def test_minutes_are_recorded_to_thousandths() -> None:
    session = play(CATALOGUE, JOB, START, Action("idle", (0.12345,)))
    outcome = session.do(Action("idle", (0.12345,)))
    held = session.recorder.entries[-1].data
    assert outcome.minutes == pytest.approx(0.12345)
    assert (held["minute"], held["minutes"], held["readings"][0]["minute"]) == (0.123, 0.123, 0.247)
    assert held["arguments"] == [0.12345]


def test_each_reading_has_noise_of_its_own_and_each_instrument_one_offset(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keyed by job, seed, check, reading and repetition: a record stays what it is whatever else is read."""
    keys: list[tuple[Any, ...]] = []
    monkeypatch.setattr(sessions, "uniform", lambda *key: keys.append(key) or uniform(*key))
    feed, gauge = Action("check", ("heater-feed-infrared",)), Action("idle", (1.0,))
    session = play(CATALOGUE, JOB, START, feed, gauge, feed, gauge)
    label = ("heater-feed-infrared", "heater feed infrared")
    assert [key for key in keys if key[0] == "reading"] == [
        ("reading", "cold-tern", SEED, *label, 0),
        ("reading", "cold-tern", SEED, "idle", "gauge on the way", 0),
        ("reading", "cold-tern", SEED, *label, 1),
        ("reading", "cold-tern", SEED, "idle", "gauge on the way", 1),
    ]
    assert ("offset", "cold-tern", SEED, "infrared thermometer") in keys
    assert ("sense", "cold-tern", SEED, "heat smelt", 0) in keys and (
        "offset",
        "cold-tern",
        SEED,
        "nose for heat",
    ) in keys
    assert [(one.number, one.check) for one in session.readings] == [
        (1, label[0]),
        (2, "idle"),
        (3, label[0]),
        (4, "idle"),
    ]


@pytest.mark.parametrize(("minutes", "again"), [(LOOKS_AGAIN - 0.1, False), (LOOKS_AGAIN, True)])
def test_what_stayed_the_same_is_noticed_anew_after_a_while(minutes: float, again: bool) -> None:
    session = play(CATALOGUE, JOB, LEVEL)
    outcome = session.do(Action("wait", (minutes,)))
    assert [(one.label, one.step, one.shown) for one in outcome.noticed] == (MISSING_HERE if again else [])


def test_what_was_noticed_elsewhere_is_not_told_twice() -> None:
    session = play(CATALOGUE, JOB, LEVEL)
    seat, bay = (Action("go", (place,)) for place in ("driver's seat", "engine bay"))
    labels = [[one.label for one in session.do(action).noticed] for action in (seat, bay, seat)]
    assert labels == [["windscreen seen", "sweetness smelt"], [], []]


# -- harm and danger ------------------------------------------------------------------------------------------------

SCALD = SafetyEvent(0.0, "opened the cap under pressure: scalded by hot coolant", True)
UNSAFE = SafetyEvent(0.0, "opened the cap while the coolant was hot", True)
BURNT = "Hot coolant shoots out of the neck over your hands and face. You are burnt."
STEAM = "Steam comes off the neck. It did not spit this time. It could have."


@pytest.mark.parametrize(
    ("scalded", "unsafe", "safety", "said", "read"),
    [
        (None, None, [], [], True),
        (False, False, [], [], True),
        (False, True, [UNSAFE], [STEAM], True),
        (True, True, [SCALD], [BURNT], False),
        (True, False, [SCALD], [BURNT], False),
        (None, True, [UNSAFE], [STEAM], True),
        (True, None, [SCALD], [BURNT], False),
        (False, None, [], [], True),
    ],
)
def test_a_cap_that_is_opened_hot_burns_or_could_have(
    monkeypatch: pytest.MonkeyPatch,
    scalded: bool | None,
    unsafe: bool | None,
    safety: list[SafetyEvent],
    said: list[str],
    read: bool,
) -> None:
    session = begun()
    look = Look(ReadingSpec("level", "neck shortfall", "eye on the neck"), np.array([2.0]), 0.5)

    def performed(action: Action) -> Performed:
        flags = [None if flag is None else np.array([flag, not flag]) for flag in (scalded, unsafe)]
        return Performed(action, 0.5, readings=[look], scalded=flags[0], unsafe=flags[1])

    performing(monkeypatch, session, performed)
    outcome = session.do(LEVEL)
    assert (outcome.safety, outcome.said, len(outcome.readings)) == (safety, said, int(read))
    assert session.safety == safety
    assert session.recorder.entries[1].data["safety"] == [
        {"what": event.what, "critical": event.critical} for event in safety
    ]


@pytest.mark.parametrize(
    ("before", "after", "harmed"),
    [
        (0.0, HARM_K_MIN - 0.1, False),
        (0.0, HARM_K_MIN, True),
        (HARM_K_MIN - 0.1, HARM_K_MIN + 1.0, True),
        (HARM_K_MIN, HARM_K_MIN + 1.0, False),
    ],
)
def test_an_engine_is_harmed_once(monkeypatch: pytest.MonkeyPatch, before: float, after: float, harmed: bool) -> None:
    session = begun()
    session.workshop.fleet.state[0, OVERHEATING] = before

    def performed(action: Action) -> Performed:
        session.workshop.fleet.state[0, OVERHEATING] = after
        return Performed(action, 4.0, broken_off=True)

    performing(monkeypatch, session, performed)
    outcome = session.do(Action("idle", (4.0,)))
    event = SafetyEvent(0.0, "ran the engine while it overheated: it is harmed", False)
    told = "The engine is badly overheated. Running it on ruins its head gasket."
    assert outcome.safety == session.safety == ([event] if harmed else [])
    assert outcome.said == [*([told] if harmed else []), "The needle went into the red. You stopped at once."]


def test_a_drive_that_is_broken_off_is_recorded_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    session = begun()
    shorter = Action("drive", (3.5, 50.0))
    performing(monkeypatch, session, lambda action: Performed(shorter, 3.5, broken_off=True))
    assert session.do(Action("drive", (15.0, 50.0))).action == shorter
    held = session.recorder.entries[1].data
    assert (held["arguments"], held["minutes"]) == ([3.5, 50.0], 3.5)


def test_safety_errors_add_up() -> None:
    session = play(CATALOGUE, JOB, *FIND[:5], Action("ignition", ("off",)), LEVEL)
    session.do(Action("repair", ("top-up",)))
    assert [(event.what, event.critical) for event in session.safety] == [(SCALD.what, True), (UNSAFE.what, True)]
    assert session.repairs == ["top-up"]


def test_a_repair_is_told_by_its_name() -> None:
    session = begun()
    assert session.do(Action("repair", ("top-up",))).said == ["done: Top up and bleed"]
    assert session.do(Action("repair", ("renew-thermostat",))).said == ["done: Renew the thermostat"]
    assert session.repairs == ["top-up", "renew-thermostat"]


def test_what_cannot_be_calculated_is_not_done(monkeypatch: pytest.MonkeyPatch) -> None:
    session = play(CATALOGUE, JOB, START, Action("idle", (1.0,)))
    entries, samples = list(session.recorder.entries), len(session.workshop.world.samples)
    state = session.workshop.fleet.state.copy()

    def failed(fleet: Any, when: str) -> None:
        raise PhysicsFailed(f"it cannot be calculated {when}")

    with monkeypatch.context() as patch:
        patch.setattr(sessions, "require_solved", failed)
        outcome = session.do(Action("idle", (2.0,)))
    assert outcome.refused == str(outcome.failure) == "it cannot be calculated in the job"
    assert isinstance(outcome.failure, PhysicsFailed)
    assert (session.minute, session.recorder.entries) == (1.0, entries)
    assert np.array_equal(session.workshop.fleet.state, state)
    assert (len(session.workshop.world.samples), session.workshop.world.sample_every) == (samples, SAMPLE_SECONDS)
    assert session.do(Action("idle", (2.0,))).refused is None
    assert session.minute == 3.0
