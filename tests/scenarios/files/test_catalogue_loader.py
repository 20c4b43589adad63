"""The loader of the catalogue: what it reads, and where it says an error stands."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from scenarios.files.data_error import DataError
from scenarios.files.loader import load_catalogue

FAULT = """\
id: cable-stretched
name: Heater valve cable stretched
system: heater valve and core
part: heater valve cable
mode: stretched
rate: 2
rate_note: assumed
severity: [0.5, 1.0]
requires: [valve-cable]
changes:
  - parameter: valve_linkage
    to: 0.1
cured_by: [adjust-valve-cable]
explains: The cable slips.
prevents: Nothing known.
"""

CHECK = """\
id: look-at-cable
name: Look at the valve's cable
place: engine bay
minutes: 2
tool: eyes
requires: [valve-cable]
readings:
  - label: cable end
    quantity: valve stem travel
    instrument: eye on the stem
normal: It sits in its clip.
"""

JOB = """\
id: cold-quarry
title: Cold quarry
customer: Ada Finch, invented
complaint: No warmth.
complains_of: [cold]
comes_and_goes: false
vehicle: hatch
faults:
  - fault: valve-seized-shut
    severity: 0.9
ambient_C: 2
mileage_km: 1000
history: None known.
difficulty: 2
"""


def write(folder: Path, name: str, text: str) -> Path:
    """A data file in an instructor's folder."""
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")
    return file


def errors(folder: Path) -> list[str]:
    """What the loader says is wrong, a line each, the folder's own path taken off."""
    with pytest.raises(DataError) as raised:
        load_catalogue(folder)
    return [str(error).removeprefix(f"{folder}{os.sep}") for error in raised.value.errors]


def test_an_own_folder_adds_to_the_packaged_catalogue(tmp_path: Path) -> None:
    write(tmp_path, "faults/mine.yaml", FAULT)
    write(tmp_path, "checks/mine.yml", CHECK)
    write(tmp_path, "jobs/mine.yaml", JOB)
    write(tmp_path, "notes.txt", "left alone")
    catalogue = load_catalogue(tmp_path)
    fault = catalogue.faults["cable-stretched"]
    assert (fault.severity, fault.changes[0].parameter, fault.changes[0].to) == ((0.5, 1.0), "valve_linkage", 0.1)
    assert fault.relieved_by == () and fault.cured_in_passing == ()
    assert [vehicle.id for vehicle in catalogue.vehicles.values() if fault.fits(vehicle)] == ["hatch"]
    assert catalogue.checks["look-at-cable"] in catalogue.checks_of(catalogue.vehicles["hatch"])
    assert catalogue.jobs["cold-quarry"].faults[0].severity == 0.9
    assert set(load_catalogue().faults) == set(catalogue.faults) - {"cable-stretched"}


def test_one_file_may_hold_several_entries(tmp_path: Path) -> None:
    second = FAULT.replace("cable-stretched", "cable-frayed")
    both = "".join("- " + text.replace("\n", "\n  ").removesuffix("  ") for text in (FAULT, second))
    write(tmp_path, "faults/mine.yaml", both)
    assert {"cable-stretched", "cable-frayed"} <= load_catalogue(tmp_path).faults.keys()


@pytest.mark.parametrize(
    ("name", "text", "old", "new", "expected"),
    [
        ("faults", FAULT, "valve_linkage", "valve_linkige",
         "11:16: the text 'valve_linkige', expected one of n names (is 'valve_linkage' meant?)"),
        ("faults", FAULT, "to: 0.1", "to: 1.1", "12:9: 1.1, expected a number of at least 0 and at most 1"),
        ("faults", FAULT, "    to: 0.1\n", "",
         "11:5: a change with no goal, expected one of 'to', 'factor' and 'between'"),
        ("faults", FAULT, "to: 0.1", "between: [0.2, 0.1]",
         "12:20: 0.1, expected a number of at least 0.2 and at most 1"),
        ("faults", FAULT, "rate: 2", "rate: 2\nshows: [dripping]",
         "7:9: the text 'dripping', expected one of n names"),
        ("faults", FAULT, "to: 0.1", "factor: 3.0",
         "12:13: valve_linkage of 3 - at severity 1, expected one that stays within 0 to 1"),
        ("faults", FAULT, "[0.5, 1.0]", "[0.5, 1.5]", "8:17: 1.5, expected a number of at least 0.5 and at most 1"),
        ("faults", FAULT, "[0.5, 1.0]", "[0.5]", "8:11: a list of 1, expected 2"),
        ("faults", FAULT, "heater valve and core", "heater",
         "3:9: the text 'heater', expected one of 'blower', 'coolant', 'doors', 'electric heating', "
         "'engine temperature', 'flow', 'heater valve and core', 'nothing wrong', 'sensors and control'"),
        ("faults", FAULT, "[valve-cable]", "[valve-cabel]",
         "9:12: unknown equipment 'valve-cabel', expected one of n names (is 'valve-cable' meant?)"),
        ("faults", FAULT, "[adjust-valve-cable]", "[adjust-valve-cabel]",
         "13:12: unknown repair 'adjust-valve-cabel', expected one of n names (is 'adjust-valve-cable' meant?)"),
        ("faults", FAULT, "[adjust-valve-cable]", "[replace-blend-actuator]",
         "13:11: no repair that cures it on the vehicle 'hatch', expected at least one that exists there"),
        ("faults", FAULT, "[valve-cable]", "[valve-cable, valve-electric]",
         "9:11: a fault that no vehicle can have, expected equipment that some vehicle has"),
        ("faults", FAULT, "rate: 2", "rate: yes", "6:7: the text 'yes', expected a number"),
        ("faults", FAULT, "part: heater", "perts: heater", "4:1: unknown key 'perts', expected one of n names"
         " (is 'part' meant?)"),
        ("checks", CHECK, "valve stem travel", "valve stem trvel",
         "9:15: unknown quantity 'valve stem trvel', expected one of n names (is 'valve stem travel' meant?)"),
        ("checks", CHECK, "eye on the stem", "eye on the sten",
         "10:17: unknown instrument 'eye on the sten', expected one of n names (is 'eye on the stem' meant?)"),
        ("checks", CHECK, "normal:", "does: [bled]\nnormal:",
         "11:8: unknown operation 'bled', expected one of n names (is 'bleed' meant?)"),
        ("checks", CHECK, "normal:", "cautions: [hot-cup]\nnormal:",
         "11:12: unknown caution 'hot-cup', expected one of n names (is 'hot-cap' meant?)"),
        ("checks", CHECK, "    instrument: eye on the stem", "    instrument: eye on the stem\n    sets: {blower: 5}",
         "11:20: 5, expected a number of at least 0 and at most 4"),
        ("checks", CHECK, "engine bay", "boot",
         "3:8: the text 'boot', expected one of 'bench', \"driver's seat\", 'engine bay', 'on the road', "
         "'under the dash'"),
        ("checks", CHECK, "engine bay", "on the road",
         "1:1: drive_kmh of 0 for a check of place 'on the road', expected one above 0 on the road, none elsewhere"),
        ("checks", CHECK, "minutes: 2", "needs: [engine-hot]",
         "4:9: the text 'engine-hot', expected one of 'engine-off', 'engine-running', 'ignition-off', "
         "'ignition-on'"
         " (is 'engine-off' meant?)"),
        ("jobs", JOB, "vehicle: hatch", "vehicle: hutch",
         "7:10: unknown vehicle 'hutch', expected one of 'compact', 'diesel-wagon', 'electric', 'hatch', "
         "'hybrid', 'pickup', 'saloon', 'van' (is 'hatch' meant?)"),
        ("jobs", JOB, "valve-seized-shut", "blend-actuator-stripped",
         "9:5: the vehicle 'hatch' cannot have the fault 'blend-actuator-stripped', expected one of n names"),
        ("jobs", JOB, "severity: 0.9", "severity: 0.2",
         "9:5: the severity 0.2, expected one that the fault has, 0.75 to 1"),
        ("jobs", JOB, "valve-seized-shut\n    severity: 0.9", "none",
         "9:5: the fault 'none', expected an empty list where nothing is wrong"),
        ("jobs", JOB, "difficulty: 2", "difficulty: 2.5", "14:13: 2.5, expected a whole number"),
        ("jobs", JOB, "ambient_C: 2", "ambient_C: 200", "11:12: 200, expected a number of at least -40 and at most 50"),
    ],
)  # fmt: skip
def test_an_error_names_its_place(tmp_path: Path, name: str, text: str, old: str, new: str, expected: str) -> None:
    assert old in text
    file = write(tmp_path, f"{name}/mine.yaml", text.replace(old, new, 1))
    found = [re.sub(r"one of \d+ names", "one of n names", error) for error in errors(tmp_path)]
    assert f"{file.relative_to(tmp_path)}:{expected}" in found


def test_an_id_given_twice_names_both_places(tmp_path: Path) -> None:
    first = write(tmp_path, "faults/a.yaml", FAULT)
    write(tmp_path, "faults/b.yaml", "# mine\n" + FAULT)
    with pytest.raises(DataError) as raised:
        load_catalogue(tmp_path)
    second = first.with_name("b.yaml")
    wrong = f"the id 'cable-stretched' in faults again, first at {first}:1:5"
    assert str(raised.value) == f"{second}:2:5: {wrong}, expected each id once"


def test_an_id_of_the_package_cannot_be_taken(tmp_path: Path) -> None:
    write(tmp_path, "faults/a.yaml", FAULT.replace("cable-stretched", "coolant-low"))
    (found,) = errors(tmp_path)
    place = Path("faults", "a.yaml")
    assert found.startswith(f"{place}:1:5: the id 'coolant-low' in faults again, first at ")
    assert re.search(r"coolant.yaml:\d+:7, expected each id once$", found)


def test_everything_wrong_is_reported_at_once_in_order(tmp_path: Path) -> None:
    write(tmp_path, "jobs/mine.yaml", JOB.replace("hatch", "hutch").replace("difficulty: 2", "difficulty: 7"))
    bad = FAULT.replace("rate: 2", "rate: -2").replace("to: 0.1", "to: 7").replace("explains", "explain")
    write(tmp_path, "faults/mine.yaml", bad)
    places = [found.replace("\\", "/").split(": ")[0] for found in errors(tmp_path)]
    assert places == [
        "faults/mine.yaml:1:1",
        "faults/mine.yaml:6:7",
        "faults/mine.yaml:12:9",
        "faults/mine.yaml:14:1",
        "jobs/mine.yaml:7:10",
        "jobs/mine.yaml:14:13",
    ]


def test_what_hangs_on_a_file_that_cannot_be_read_is_not_called_unknown(tmp_path: Path) -> None:
    write(tmp_path, "faults/mine.yaml", FAULT.replace("id: cable-stretched", "id: [cable-stretched"))
    write(tmp_path, "jobs/mine.yaml", JOB.replace("valve-seized-shut", "cable-stretched"))
    (found,) = errors(tmp_path)
    assert found.startswith(f"{Path('faults', 'mine.yaml')}:2:") and "not YAML" in found


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("[cold]", "[cold, no air]",
         "5:22: the complaint 'no air', which 'valve-seized-shut' does not bring, expected one of 'cold', 'fogging'"),
        ("[cold]", "[]", "5:15: a list of 0, expected at least 1"),
        ("[cold]", "[warm]", "5:16: the text 'warm', expected one of n names (is 'too warm' meant?)"),
        ("complains_of: [cold]\n", "", "1:1: no key 'complains_of' in this mapping, expected one"),
        ("goes: false", "goes: true",
         "6:17: true, while 'valve-seized-shut' does not come and go, expected false"),
    ],
)  # fmt: skip
def test_a_complaint_must_be_one_that_the_fault_brings(tmp_path: Path, old: str, new: str, expected: str) -> None:
    file = write(tmp_path, "jobs/mine.yaml", JOB.replace(old, new))
    (found,) = errors(tmp_path)
    assert re.sub(r"one of \d+ names", "one of n names", found) == f"jobs{os.sep}{file.name}:{expected}"


def test_folders_that_would_silently_be_left_out_are_errors(tmp_path: Path) -> None:
    write(tmp_path, "fault/mine.yaml", FAULT)
    write(tmp_path, "job.yaml", JOB)
    folder, file = tmp_path / "fault", tmp_path / "job.yaml"
    with pytest.raises(DataError) as raised:
        load_catalogue(tmp_path)
    assert str(raised.value).splitlines() == [
        f"{folder}:1:1: an unknown folder 'fault', expected 'faults', if that is meant",
        f"{file}:1:1: a file beside the folders, expected one in vehicles, faults, checks, repairs, cautions, jobs",
    ]


def test_a_folder_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    nowhere = tmp_path / "nowhere"
    with pytest.raises(DataError) as raised:
        load_catalogue(nowhere)
    assert str(raised.value) == f"{nowhere}:1:1: no such folder, expected a folder of catalogue files"


def test_an_entry_must_be_a_mapping(tmp_path: Path) -> None:
    write(tmp_path, "faults/mine.yaml", "- just text\n")
    (found,) = errors(tmp_path)
    assert found.endswith("mine.yaml:1:3: the text 'just text', expected a mapping (lines of `key: value`)")


def test_the_packaged_catalogue_opens_without_the_compiled_physics() -> None:
    program = (
        "import sys\n"
        "from scenarios.files.loader import load_catalogue\n"
        "load_catalogue()\n"
        "print([name for name in ('numba', 'simpy', 'textual', 'sim.vehicle.rates') if name in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-P", "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
