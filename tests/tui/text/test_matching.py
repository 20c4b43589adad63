"""Short names and numbers, what changed since a look, and what a bare look tells."""

from __future__ import annotations

import time
from io import StringIO

import pytest

import tui.text.prompt
from grading.sessions.session import Session
from scenarios.actions import NotPossible
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue
from tui.text import plain
from tui.text.changes import Seen, changed, seen
from tui.text.matching import ending, meant, whole_verb
from tui.text.prompt import told_when_slow
from tui.text.text import TextJob

NAMES = {
    "gauge": "Dash temperature gauge",
    "gauge-on-the-road": "Gauge on a drive",
    "vent-temperature": "Air temperature at the vent",
    "coolant-scan": "Coolant temperature, scan tool",
}


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("gauge", "gauge"),
        ("gauge-on", "gauge-on-the-road"),
        ("vent", "vent-temperature"),
        ("air vent", "vent-temperature"),
        ("scan coolant", "coolant-scan"),
        ("1", "coolant-scan"),
        ("2", "gauge"),
        ("3", "3"),
        ("nothing of it", "nothing of it"),
    ],
)
def test_what_is_meant(typed: str, name: str) -> None:
    assert meant(typed, NAMES, ["coolant-scan", "gauge"]) == name


def test_an_unfinished_name_lists_what_it_may_be() -> None:
    with pytest.raises(NotPossible, match="expected one of vent-temperature, coolant-scan"):
        meant("temperature tool air", dict.fromkeys(("vent-temperature", "coolant-scan"), "temperature tool air"))
    with pytest.raises(NotPossible, match="expected one of gauge, gauge-on-the-road"):
        meant("gau", NAMES)
    with pytest.raises(NotPossible, match="expected one of repair, rev"):
        whole_verb("re", ["repair", "rev", "drive"])
    assert whole_verb("dr", ["repair", "rev", "drive"]) == "drive"
    assert whole_verb("x", ["repair"]) == "x"


def test_words_of_a_name_are_joined() -> None:
    assert ending(["coolant", "low", "likely"], 1, "usage") == ["coolant low", "likely"]
    with pytest.raises(NotPossible, match="usage"):
        ending(["likely"], 1, "usage")


def _job(catalogue: Catalogue, name: str = "cold-tern") -> TextJob:
    return TextJob(catalogue, Session(catalogue, catalogue.jobs[name], 1))


def test_short_names_do_what_the_whole_ones_do(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    assert [fault["number"] for fault in job.answer("faults")["faults"]] == [1, 2, 3]
    assert job.answer("suspect 1 likely")["readings"] == []
    assert job.session.suspects == {catalogue.faults_of(job.session.vehicle)[0].id: "likely"}
    job.answer("eng start")
    assert job.answer("check vent")["readings"][0]["check"] == "vent-temperature"
    job.answer("diagnose coolant low 90")
    assert job.session.diagnosis == ("coolant-low", 0.9)


def test_what_changed_since_the_last_look_is_told_once(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    assert job.answer("look")["changed"] == []
    job.answer("engine start")
    job.answer("check vent-temperature")
    told = job.answer("changed")["said"]
    assert "Engine: running." in told or "engine: running." in told
    assert "1 new reading." in told
    assert job.answer("changed")["said"] == ["nothing has changed"]
    assert changed(Seen(), seen(job.session))


def test_a_bare_look_takes_fewer_than_thirty_lines_in_every_job() -> None:
    whole = packaged_catalogue()
    for name in whole.jobs:
        if whole.jobs[name].days is not None:
            continue  # it arrives after a drive of days
        job = _job(whole, name)
        for line in ("look", "engine start", "go bay", "look", "go dash", "look", "go bench", "look"):
            answer = job.answer(line)
            if line == "look":
                assert len(plain.lines(answer, "si")) < 30


def test_a_look_elsewhere_lists_that_place_alone(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    answer = job.answer("look bay")
    assert {check["place"] for check in answer["checks"]} == {"engine bay"}
    assert (answer["repairs"], answer["faults"]) == ([], [])
    assert job.answer("repairs top")["repairs"][0]["id"] == "top-up"
    assert job.answer("repairs")["checks"] == []


def test_a_line_is_completed(catalogue: Catalogue) -> None:
    job = _job(catalogue)
    assert job.completions("dia") == ["diagnose "]
    assert job.completions("check vent") == ["check vent-temperature"]
    assert job.completions("skip repair top") == ["skip repair top-up"]
    assert job.completions("drive 1") == []


def test_work_that_takes_long_is_told_of_and_other_work_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tui.text.prompt, "SLOW", 0.01)
    sink = StringIO()
    with told_when_slow(sink):
        while not sink.getvalue():
            time.sleep(0.005)
    assert sink.getvalue() == "Working …\n"
    monkeypatch.setattr(tui.text.prompt, "SLOW", 60.0)
    quick = StringIO()
    with told_when_slow(quick):
        pass
    assert quick.getvalue() == ""
