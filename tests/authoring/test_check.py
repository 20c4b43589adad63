"""``lukewarm author check``: each planted defect is found at its place, and nothing else is."""

from __future__ import annotations

import os
import re
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import scenarios
from scenarios.authoring.check import MOST, SHOWN, check_folders
from scenarios.authoring.effects import MENDS, MENDS_CONTACT
from scenarios.authoring.equipment import EXCLUSIVE, FIGURES
from sim.fleet import Fleet
from sim.repairs import OPERATIONS
from sim.vehicle.parameters import PARAMETERS, healthy
from tests.packaged import packaged_catalogue

Run = Callable[..., tuple[int, str, str]]
DATA = Path(scenarios.__file__).with_name("data")
VEHICLE = """\
id: my-car
name: My car
about: Invented.
equipment: [heater-valve, valve-cable, blend-cable, resistor-pack, radiator-cap, overflow-bottle, electric-fan, petrol]
parameters:
  opens_C: 88
manual: {note: invented}
"""
JOB, FAULT = "jobs/my-job.yaml", "faults/my-faults.yaml"


def found(*folders: Path, alone: bool = False) -> list[str]:
    """What is found, each line with the first folder's path taken off."""
    errors = check_folders(list(folders), alone).errors
    return [str(error).removeprefix(f"{folders[0]}{os.sep}").replace("\\", "/") for error in errors]


def change(folder: Path, name: str, old: str, new: str) -> None:
    file = folder / name
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def with_vehicle(folder: Path, old: str = "", new: str = "") -> Path:
    (folder / "vehicles").mkdir()
    (folder / "vehicles" / "car.yaml").write_text(VEHICLE.replace(old, new, 1), encoding="utf-8")
    return folder


def test_nothing_is_wrong_with_what_is_packaged(lukewarm: Run, tmp_path: Path) -> None:
    count, jobs = len(packaged_catalogue().faults) - 1, len(packaged_catalogue().jobs)
    for arguments in ([], [str(DATA)]):
        status, output, errors = lukewarm("author", "check", *arguments)
        assert (status, errors) == (0, "")
        assert re.fullmatch(rf"{jobs} jobs, {count} faults, \d+ checks, .*: nothing wrong\n", output)
    shutil.copytree(DATA, tmp_path / "copy")
    assert lukewarm("author", "check", "--alone", str(tmp_path / "copy"))[1] == output
    assert "again, first at" in lukewarm("author", "check", str(tmp_path / "copy"))[2]


def test_nothing_is_wrong_with_the_first_folder_or_a_new_vehicle(starter: Path, lukewarm: Run) -> None:
    with_vehicle(starter)
    status, output, _ = lukewarm("author", "check", str(starter))
    assert status == 0
    assert output == "1 job, 1 fault, 1 check, 0 repairs, 0 cautions, 1 vehicle: nothing wrong\n"


SLIPS = [
    (JOB, "faults:\n  - {fault: cable-clip-slipped, severity: 0.95}\n", "",
     ["jobs/my-job.yaml:2:1: no key 'faults' in this mapping, expected one"]),
    (JOB, "title: Orchard lane", "title: Orchard lane #7",
     ["jobs/my-job.yaml:3:8: a text that ends before ' #', expected it in quotes, a comment on a line of its own"]),
    (JOB, "mileage_km: 143000", "mileage_km: 143.000",
     [":17:13: 143.000, which reads as 143, expected 143 or 143000, without a point between thousands"]),
    (JOB, "mileage_km: 143000", "mileage_km: 143.500",
     [":17:13: 143.500, which reads as 143.5, expected 143.5 or 143500, without a point between thousands"]),
    (FAULT, "rate: 3", "rate: 0", [":9:9: 0, expected a number of at least 0.001 and at most 1000"]),
    (FAULT, "cured_by: [adjust-valve-cable]", "cured_by: [adjust-valve-cable, replace-gauge]",
     [":18:34: the repair 'replace-gauge', which cures nothing of this fault, "
      "expected one that brings back some of valve_linkage"]),
    (FAULT, "to: 0.02", "to: 1.0",
     [":17:7: a change of 'valve_linkage' that changes nothing, expected a value that a sound vehicle does not have",
      ":18:14: the repair 'adjust-valve-cable', which cures nothing of this fault"]),
    (FAULT, "to: 0.02", "factor: 1", [":17:7: a change of 'valve_linkage' that changes nothing", ":18:14: "]),
    (FAULT, "to: 0.02", "between: [1, 1]", [":17:7: a change of 'valve_linkage' that changes nothing", ":18:14: "]),
    (FAULT, "severity: [0.9, 1.0]", "severity: [0, 0]",
     [":17:7: a change of 'valve_linkage' that changes nothing", ":18:14: ", ":15:5: the severity 0.95"]),
    (FAULT, "requires: [valve-cable]", "requires: [valve-cabel]",
     [":14:14: unknown equipment 'valve-cabel', expected one of n names (is 'valve-cable' meant?)"]),
    (FAULT, "requires: [valve-cable]", "requires: [valve-cable]\n  excludes: [blend-motor, valve-cable]",
     [":14:13: a fault that no vehicle can have", ":15:27: 'valve-cable', which is required too",
      ":15:5: the vehicle 'hatch' cannot have"]),
    (FAULT, "looked_at_by: [cable-clip-look]", "looked_at_by: [cable-clip-lok]",
     [":23:18: unknown check 'cable-clip-lok', expected one of n names (is 'cable-clip-look' meant?)"]),
]  # fmt: skip


@pytest.mark.parametrize(("name", "old", "new", "expected"), SLIPS)
def test_each_slip_is_found_where_it_stands(starter: Path, name: str, old: str, new: str, expected: list[str]) -> None:
    change(starter, name, old, new)
    errors = [re.sub(r"one of \d+ names", "one of n names", error) for error in found(starter)]
    assert len(errors) == len(expected), errors
    for error, part in zip(errors, expected, strict=True):
        assert part in error, errors


def test_a_comment_may_follow_what_is_no_free_text(starter: Path) -> None:
    change(starter, JOB, "vehicle: hatch", "vehicle: hatch  # the small one")
    change(starter, JOB, "difficulty: 2", "difficulty: 2  # of 5")
    change(starter, JOB, "title: Orchard lane", "title: 'Orchard lane #7'  # in quotes")
    change(starter, JOB, "complains_of: [lukewarm]", "complains_of: [lukewarm]  # one")
    assert found(starter) == []


def test_numbers_with_three_places_that_can_only_be_one_thing_are_taken(starter: Path) -> None:
    change(starter, JOB, "ambient_C: 1", "ambient_C: 1.125")
    change(starter, FAULT, "to: 0.02", "to: 0.025")
    assert found(starter) == []


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("[heater-valve,", "[heater-valv,",
         ["vehicles/car.yaml:4:13: the equipment 'heater-valv', which no fault, check, repair or caution asks for, "
          "expected one of n names (is 'heater-valve' meant?)"]),
        ("valve-cable,", "valve-cable, valve-electric,",
         ["car.yaml:4:40: 'valve-electric' beside 'valve-cable', expected one of them: they exclude each other",
          "car.yaml:4:40: valve_drive of 0 with 'valve-electric', expected 2"]),
        ("resistor-pack,", "blower-controller,",
         ["car.yaml:4:53: blower_electronic of 0 with 'blower-controller', expected 1"]),
        ("opens_C: 88", "valve_drive: 2", ["car.yaml:6:16: valve_drive of 2 with 'valve-cable', expected 0"]),
        ("opens_C: 88", "opens_C: 88.000",
         ["car.yaml:6:12: 88.000, which reads as 88, expected 88 or 88000, without a point between thousands"]),
        ("petrol]", "petrol, diesel]", ["'diesel' beside 'petrol'"]),
    ],
)  # fmt: skip
def test_equipment_that_cannot_be_is_found(starter: Path, old: str, new: str, expected: list[str]) -> None:
    errors = [re.sub(r"one of \d+ names", "one of n names", one) for one in found(with_vehicle(starter, old, new))]
    assert len(errors) == len(expected), errors
    assert all(part in error for part, error in zip(expected, errors, strict=True)), errors


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("jobs/late.YAML",
         "jobs/late.YAML:1:1: the file 'late.YAML', which is not read, expected a name that ends in .yaml"),
        ("jobs/late.yaml.txt", "jobs/late.yaml.txt:1:1: the file 'late.yaml.txt', which is not read"),
        ("jobs/more/late.yaml",
         "jobs/more:1:1: the folder 'more', which is not read, expected its files one folder higher"),
        ("job/late.yaml", "job:1:1: an unknown folder 'job', expected 'jobs', if that is meant"),
        ("Faults/late.yaml", "Faults:1:1: an unknown folder 'Faults', expected 'faults', if that is meant"),
        ("mine/jobs/late.yaml", "mine:1:1: YAML files in the folder 'mine', which is not read"),
        ("late.yml", "late.yml:1:1: a file beside the folders"),
        ("late.YML", "late.YML:1:1: a file beside the folders"),
    ],
)  # fmt: skip
def test_what_would_silently_not_be_read_is_found(starter: Path, name: str, expected: str) -> None:
    (starter / name).parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(starter / JOB, starter / name)
    (error,) = found(starter)
    assert error.startswith(expected)


def test_other_files_may_lie_beside_them(starter: Path) -> None:
    for name in (
        "README.md",
        "jobs/notes.txt",
        "jobs/old.yaml~",
        "jobs/old.yaml.bak",
        ".git/x.yaml",
        "schema/jobs.json",
    ):
        (starter / name).parent.mkdir(parents=True, exist_ok=True)
        (starter / name).write_text("anything: [", encoding="utf-8")
    assert found(starter) == []


@pytest.mark.skipif(sys.platform == "win32", reason="links want rights of their own there")
def test_links_that_leave_the_folder_are_found_and_not_read(starter: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    shutil.copytree(starter / "checks", outside)
    shutil.rmtree(starter / "checks")
    (starter / "checks").symlink_to(outside)
    (starter / "jobs" / "far.yaml").symlink_to(outside / "my-checks.yaml")
    (starter / "jobs" / "gone.yaml").symlink_to(tmp_path / "nowhere")
    (starter / "jobs" / "loop.yaml").symlink_to(starter / "jobs" / "loop.yaml")
    (starter / "jobs" / "same.yaml").symlink_to(starter / JOB)
    links = [error for error in found(starter) if "a link" in error]
    assert [error.split(", ")[0] for error in links] == [
        "checks:1:1: a link that leaves the folder",
        "jobs/far.yaml:1:1: a link that leaves the folder",
        "jobs/gone.yaml:1:1: a link that leads nowhere",
        "jobs/loop.yaml:1:1: a link that leads nowhere",
    ]


def test_unknown_names_are_told_though_another_file_does_not_parse(starter: Path) -> None:
    change(starter, FAULT, "name: Heater valve's cable", "name: [Heater valve's cable")
    change(starter, JOB, "vehicle: hatch", "vehicle: hutch")
    errors = found(starter)
    assert [error.split(": ")[0] for error in errors] == ["faults/my-faults.yaml:5:9", "jobs/my-job.yaml:12:10"]
    assert "not YAML" in errors[0] and "unknown vehicle 'hutch'" in errors[1]  # and the fault's id is taken as known
    (starter / FAULT).write_bytes(b"\xff\xfe\x00")
    assert [error.split(": ")[0] for error in found(starter)] == ["faults/my-faults.yaml:1:1", "jobs/my-job.yaml:12:10"]


def test_everything_is_told_at_once_and_the_rest_is_counted(starter: Path, lukewarm: Run) -> None:
    job = (starter / JOB).read_text(encoding="utf-8").replace("vehicle: hatch", "vehicle: hutch")
    for number in range(SHOWN + 7):
        (starter / "jobs" / f"job-{number}.yaml").write_text(
            job.replace("lane\n", f"lane-{number}\n"), encoding="utf-8"
        )
    status, output, errors = lukewarm("author", "check", str(starter))
    assert (status, output) == (2, "")
    lines = errors.splitlines()
    assert len(lines) == SHOWN + 1 and lines[-1] == "and 7 more"
    assert all(
        re.search(r"job-\d+\.yaml:12:10: unknown vehicle 'hutch', expected one of ", line) for line in lines[:-1]
    )
    many = "".join(f"- {{id: {number}}}\n" for number in range(MOST))
    (starter / "jobs" / "many.yaml").write_text(many, encoding="utf-8")
    assert re.fullmatch(r"and at least \d{3} more", lukewarm("author", "check", str(starter))[2].splitlines()[-1])


def test_folders_add_to_each_other(starter: Path, tmp_path: Path) -> None:
    cars = with_vehicle(tmp_path)
    change(starter, JOB, "vehicle: hatch", "vehicle: my-car")
    assert "unknown vehicle 'my-car'" in found(starter)[0]
    shutil.move(cars / "vehicles", tmp_path / "cars" / "vehicles")
    assert found(starter, tmp_path / "cars") == []
    assert check_folders([starter, tmp_path / "cars"]).counts["vehicles"] == 1


def test_no_vehicle_is_packaged_whose_parts_exclude_each_other() -> None:
    words = {word for vehicle in packaged_catalogue().vehicles.values() for word in vehicle.equipment}
    assert {word for group in EXCLUSIVE for word in group} <= words
    assert FIGURES.keys() <= words and {name for name, _value in FIGURES.values()} <= PARAMETERS.keys()


def test_what_operations_mend_is_what_they_change() -> None:
    """Each operation is done to a vehicle with everything wrong that it is said to mend, and again to a sound one."""
    assert MENDS.keys() == OPERATIONS.keys() and MENDS_CONTACT.keys() < MENDS.keys()
    wrong = {
        "missing_L": 1.5, "bottle_L": 0.1, "core_air_share": 0.6, "glycol": 0.1, "coolant_V": 0.5, "sludge": 0.9,
        "sealant": 0.5, "leak_hose": 0.005, "leak_pump": 0.005, "leak_core": 0.005, "blower_fuse": 0.0,
        "valve_least": 0.0, "has_valve": 1.0, "pump_drive": 0.5, "carpet_g": 900.0, "core_clear": 0.2,
    }  # fmt: skip
    state = {"missing_L", "bottle_L", "core_air_share", "rear_air_share", "carpet_g", "morning_kPa"}
    for name, operation in OPERATIONS.items():
        for parameter in MENDS[name] & wrong.keys():
            fleet = Fleet.cold(healthy(1, {parameter: wrong[parameter]}), 20.0)
            before = fleet.state.copy()
            operation(fleet)
            if parameter in state:
                assert not np.array_equal(fleet.state, before), (name, parameter)
            else:
                assert fleet.parameters[parameter][0] != wrong[parameter], (name, parameter)
    for name, which in MENDS_CONTACT.items():
        for contact in MENDS_CONTACT.values():
            fleet = Fleet.cold(healthy(1, {"contact_of": contact}), 20.0)
            OPERATIONS[name](fleet)
            assert (fleet.parameters["contact_of"][0] == 0.0) == (contact == which)
