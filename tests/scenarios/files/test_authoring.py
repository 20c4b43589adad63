"""The page on adding one's own: its example is taken out of it, loaded and played."""

import re
import shlex
from pathlib import Path

import numpy as np
import pytest

import grading.sessions.records
import scenarios
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.files.loader import load_catalogue
from scenarios.model import Catalogue
from tui.commands.command import main

PAGE = Path(scenarios.__file__).with_name("AUTHORING.md")


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    folder = tmp_path_factory.mktemp("workshop")
    found = re.findall(r"^```yaml (\S+)\n(.*?)^```$", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    assert {name.split("/")[0] for name, _ in found} == {"vehicles", "faults", "jobs"}
    for name, text in found:
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return load_catalogue(folder)


def play(catalogue: Catalogue, *actions: Action) -> Session:
    session = Session(catalogue, catalogue.jobs["bakery-round"], 1)
    for action in actions:
        outcome = session.do(action)
        assert outcome.refused is None, outcome.refused
    return session


WARM_UP = (
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
)


def test_the_example_is_played_from_complaint_to_a_warm_vent(catalogue: Catalogue) -> None:
    checks = ("vent-temperature", "valve-by-hand", "valve-movement")
    look = [Action("check", (checks[0],)), Action("check", (checks[2],)), Action("ignition", ("off",))]
    session = play(catalogue, *WARM_UP, *look, Action("check", (checks[1],)))
    shown = {reading.check: reading.shown for reading in session.readings}
    vent = float(session.workshop.fleet.algebraic["vent_C"][0])
    assert vent < 45.0
    assert shown["valve-movement"] == "does not move" and shown["valve-by-hand"] == "moves freely"
    mended = play(catalogue, Action("repair", ("adjust-valve-cable",)), *WARM_UP)
    assert float(mended.workshop.fleet.algebraic["vent_C"][0]) > 55.0


def test_every_packaged_fault_that_fits_can_be_had_by_the_new_vehicle(catalogue: Catalogue) -> None:
    vehicle = catalogue.vehicles["city-hatch"]
    faults = {fault.id for fault in catalogue.faults_of(vehicle)}
    hatch = {fault.id for fault in catalogue.faults_of(catalogue.vehicles["hatch"])}
    assert faults == hatch and "valve-cable-stretched" in faults
    assert np.isfinite(list(vehicle.parameters.values())).all()


def test_its_commands_do_what_it_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    data = tmp_path.with_name("data")
    monkeypatch.setattr(grading.sessions.records.platformdirs, "user_data_path", lambda *names, **options: data)
    monkeypatch.setattr("grading.reference.policy.MOST_CHECKS", 1)  # the reference's way is not what is tested here
    (block,) = re.findall(r"^```sh\n(.*?)^```$", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    told = {}
    for line in block.splitlines():
        program, *arguments = shlex.split(line)
        assert (program, main(arguments)) == ("lukewarm", 0), line
        told[line] = capsys.readouterr().out
    assert "nothing wrong" in told["lukewarm author check my-workshop"]
    assert "orchard-lane" in told["lukewarm --with my-workshop show jobs"]
    assert "cable-clip-slipped" in told["lukewarm --with my-workshop.zip show faults"]
    assert {"cards.html", "key.html", "my-workshop", "my-workshop.zip"} == {path.name for path in tmp_path.iterdir()}
