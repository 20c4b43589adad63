"""What sound vehicles show at the moment of a reading, and whether what was predicted of it came true."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.report.predictions import HIGHER, LOWER, SOUND, predictions, to_record
from grading.report.sound_band import Band, SoundVehicles, sound_bands
from grading.sessions.line_format import checked
from grading.sessions.modes import GUIDED, Mode
from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import Job
from tests.tui.small import small_catalogue

CATALOGUE = small_catalogue()
JOB = CATALOGUE.jobs["cold-tern"]
WARM = (
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
    Action("check", ("vent-temperature",)),
)


def _session(job: Job = JOB, seed: int = 1, mode: str = GUIDED) -> Session:
    return Session(CATALOGUE, job, seed, mode=Mode(mode))


def _played(session: Session, *actions: Action) -> list[RecordEntry]:
    for action in actions:
        assert session.do(action).refused is None, action
    return session.recorder.entries


def _last(entries: list[RecordEntry]) -> RecordEntry:
    return next(entry for entry in reversed(entries) if entry.kind == "action")


def test_sound_vehicles_of_other_seeds_read_within_the_band_nine_times_in_ten() -> None:
    sound = replace(JOB, faults=())
    bands = sound_bands(CATALOGUE, _played(_session(sound), *WARM))
    (band,) = bands[max(bands)]
    held = [band.holds(_last(_played(_session(sound, seed), *WARM)).steps[0]) for seed in range(2, 42)]
    assert 32 <= sum(held) < 40 or (sum(held) == 40 and band.steps[1] - band.steps[0] < 20)


def test_low_coolant_reads_below_the_band_of_warm_air() -> None:
    entries = _played(_session(), *WARM)
    (band,) = sound_bands(CATALOGUE, entries)[int(_last(entries).data["n"])]
    assert band.label == "vent temperature"
    assert _last(entries).steps[0] < band.steps[0]
    assert band.words.count("°C") == 2


def test_the_band_is_of_the_moment() -> None:
    bands = sound_bands(CATALOGUE, _played(_session(), *WARM[:3], WARM[4], *WARM[3:]))
    cold, warm = (
        bands[number][0] for number in sorted(bands) if bands[number] and bands[number][0].label.startswith("vent")
    )
    assert cold.steps[1] < warm.steps[0]


def test_a_repair_changes_no_sound_vehicle_but_takes_its_time() -> None:
    vehicles = SoundVehicles(CATALOGUE, JOB, 1)
    before = vehicles.workshop.fleet.parameters.copy()
    session = _session()
    vehicles.follow(_played(session, Action("repair", ("top-up",))))
    assert (vehicles.workshop.fleet.parameters == before).all()
    assert vehicles.workshop.minute == pytest.approx(session.minute)


def test_looking_ahead_changes_nothing_and_gives_the_band_that_then_comes() -> None:
    vehicles, session = SoundVehicles(CATALOGUE, JOB, 1), _session()
    vehicles.follow(_played(session, *WARM[:4]))
    minute = vehicles.workshop.minute
    foreseen = vehicles.foresee([WARM[4]])
    assert vehicles.workshop.minute == minute
    bands = vehicles.follow(_played(session, WARM[4]))
    assert bands[max(bands)] == foreseen


FIGURE = {"label": "a", "scale": "figures", "steps": [10, 20]}
WORDS = {"label": "a", "scale": "words", "steps": [1, 2]}
KINDS = {"label": "a", "scale": "kinds", "steps": [0, 3]}


def _record(band: dict[str, object], expects: str, step: int, *between: str, check: str = "c") -> list[RecordEntry]:
    def act(n: int, verb: str, arguments: list[object], readings: list[dict[str, object]]) -> RecordEntry:
        return RecordEntry("action", {"n": n, "verb": verb, "arguments": arguments, "readings": readings})

    made = RecordEntry("prediction", {"n": 1, "check": "c", "expects": expects, "bands": [band]})
    others = [act(2 + k, verb, ["x"], []) for k, verb in enumerate(between)]
    return [made, *others, act(9, "check", [check], [{"label": "a", "step": step}])]


@pytest.mark.parametrize(
    ("band", "expects", "step", "right"),
    [
        (FIGURE, SOUND, 10, True),
        (FIGURE, SOUND, 20, True),
        (FIGURE, SOUND, 21, False),
        (FIGURE, LOWER, 9, True),
        (FIGURE, LOWER, 10, False),
        (FIGURE, LOWER, 21, False),
        (FIGURE, HIGHER, 21, True),
        (FIGURE, HIGHER, 9, False),
        (WORDS, LOWER, 3, True),
        (WORDS, HIGHER, 0, True),
        (WORDS, SOUND, 2, True),
        (WORDS, LOWER, 2, False),
        (KINDS, SOUND, 3, True),
        (KINDS, SOUND, 1, False),
        (KINDS, HIGHER, 1, True),
    ],
)
def test_a_prediction_is_held_against_the_band_of_its_moment(
    band: dict[str, object], expects: str, step: int, right: bool
) -> None:
    (made,) = predictions(_record(band, expects, step))
    assert (made.check, made.expects, made.right, made.number) == ("c", expects, right, 9)


def test_the_band_of_a_replay_takes_the_place_of_the_recorded_one() -> None:
    entries = _record({"label": "gauge", "scale": "words", "steps": [0, 9]}, SOUND, 4)
    entries[-1].data["readings"] = [{"label": "gauge", "step": 4}]
    assert [made.right for made in predictions(entries)] == [True]
    for steps, right in (((0, 3), False), ((0, 4), True)):
        assert [made.right for made in predictions(entries, {9: [Band("gauge", "dash gauge", steps)]})] == [right]
    assert predictions(entries, {}) == predictions(entries, {9: []}) == []  # a replay that does not know says nothing


def test_a_prediction_lapses_where_something_else_is_done_first() -> None:
    assert len(predictions(_record(FIGURE, SOUND, 15, "engine", "ignition", "go", "suspect"))) == 1
    for verb in ("set", "drive", "wait", "repair", "check"):
        assert predictions(_record(FIGURE, SOUND, 15, verb)) == []
    assert predictions(_record(FIGURE, SOUND, 15, check="another")) == []


def test_a_prediction_is_a_line_of_its_own_kind() -> None:
    session = _session()
    session.predict("gauge", SOUND, to_record([Band("gauge", "dash gauge", (0, 3))]))
    entry = session.recorder.entries[-1]
    assert entry.kind == "prediction"
    assert checked({**entry.data, "kind": entry.kind}, 1)["bands"] == [
        {"label": "gauge", "scale": "words", "steps": [0, 3]}
    ]
    with pytest.raises(ValueError, match="expects"):
        checked({**entry.data, "kind": entry.kind, "expects": "warm"}, 1)


def test_an_exam_takes_no_prediction() -> None:
    session = Session(CATALOGUE, JOB, 1, mode=Mode("exam", 30.0, 0.0))
    session.predict("gauge", SOUND, [])
    assert [entry.kind for entry in session.recorder.entries] == ["job"]
