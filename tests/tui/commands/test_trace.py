"""``lukewarm trace`` at the command line: what it prints, and how it refuses."""

import json
import math
import sys
from pathlib import Path

import pytest

from sim.trace import COLUMNS
from tui.commands.command import main

LOG = "time_s,rpm,speed_kmh,ambient_C,coolant_C\n0,900,0,5,8\n30,1500,30,5,9\n60,2000,50,5,15\n90,2000,50,5,22\n"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = main(["trace", "--vehicle", "tern", *arguments])
    out, err = capsys.readouterr()
    return status, out, err


@pytest.fixture
def log(tmp_path: Path) -> Path:
    file = tmp_path / "drive.csv"
    file.write_text(LOG, encoding="utf-8")
    return file


def test_csv_and_json_hold_the_same_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    drive = ["--drive", "idle:60,road50:60", "--every", "30"]
    status, out, err = run(capsys, *drive)
    assert (status, err) == (0, "")
    header, *rows = [line.split(",") for line in out.splitlines()]
    status, out, err = run(capsys, *drive, "--format", "json")
    assert (status, err) == (0, "")
    document = json.loads(out)
    assert header == document["columns"] == list(COLUMNS)
    assert [[float(field) for field in row] for row in rows] == document["rows"]
    assert len(rows) == 5
    assert all(math.isfinite(value) for row in document["rows"] for value in row)


def test_a_fault_shows_in_proportion_to_its_severity(capsys: pytest.CaptureFixture[str]) -> None:
    warmth = {}
    for fault in ("thermostat-stuck-open:0", "thermostat-stuck-open:1", "thermostat-stuck-open", "none"):
        status, out, _ = run(
            capsys, "--fault", fault, "--drive", "road80:900", "--ambient", "-10", "--every", "900", "--format", "json"
        )
        assert status == 0
        document = json.loads(out)
        warmth[fault] = document["rows"][-1][document["columns"].index("engine_coolant_C")]
    assert warmth["thermostat-stuck-open:0"] == warmth["none"]
    assert warmth["thermostat-stuck-open:1"] < warmth["thermostat-stuck-open"] < warmth["none"]


def test_options_reach_the_vehicle(capsys: pytest.CaptureFixture[str]) -> None:
    def last(column: str, *arguments: str) -> float:
        status, out, _ = run(capsys, "--drive", "idle:600", "--every", "600", "--format", "json", *arguments)
        assert status == 0
        document = json.loads(out)
        return document["rows"][-1][document["columns"].index(column)]

    assert last("vent_C", "--heater", "0") < last("vent_C", "--heater", "100")
    assert last("air_kg_s", "--blower", "1") < last("air_kg_s", "--blower", "4")
    assert last("air_kg_s", "--altitude", "3000") < last("air_kg_s", "--altitude", "0")
    assert last("engine_coolant_C", "--ambient", "-20") < last("engine_coolant_C", "--ambient", "20")
    assert last("heater_flow_Lpm", "--mixture", "70", "--ambient", "-20") < last(
        "heater_flow_Lpm", "--mixture", "30", "--ambient", "-20"
    )


def test_a_log_is_driven_and_shown_beside_the_model(capsys: pytest.CaptureFixture[str], log: Path) -> None:
    status, out, err = run(capsys, "--log", str(log), "--every", "15", "--format", "json")
    assert (status, err) == (0, "")
    document = json.loads(out)
    by_name = dict(zip(document["columns"], zip(*document["rows"], strict=True), strict=True))
    assert by_name["logged_coolant_C"] == (8.0, 8.5, 9.0, 12.0, 15.0, 18.5, 22.0)
    assert by_name["engine_coolant_C"][0] == 8.0
    assert by_name["ambient_C"] == (5.0,) * 7
    assert by_name["rpm"][-1] == 2000.0


def test_curves_are_drawn_with_their_range_in_words(capsys: pytest.CaptureFixture[str], log: Path) -> None:
    status, out, _ = run(capsys, "--log", str(log), "--format", "plot")
    assert status == 0
    assert "logged_coolant_C [degC]: least 8 at 0 s, greatest 22 at 90 s, last 22" in out
    assert max(map(len, out.splitlines())) <= 80
    assert any("\u2800" < mark <= "\u28ff" for mark in out)


def test_a_picture_is_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    pytest.importorskip("matplotlib")
    file = tmp_path / "trace.png"
    status, out, err = run(capsys, "--drive", "idle:60", "--format", "png", "--output", str(file))
    assert (status, out, err) == (0, "", "")
    assert file.read_bytes().startswith(b"\x89PNG")


def test_a_picture_without_the_extra_is_refused(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.commands.trace.find_spec", lambda name: None)
    status, out, err = run(capsys, "--format", "png", "--output", "x.png")
    assert (status, out) == (2, "")
    assert "lukewarm[plot]" in err


WRONG_OPTIONS = [
    ("--heater", "101"),
    ("--heater", "nan"),
    ("--blower", "-1"),
    ("--mixture", "80"),
    ("--every", "0"),
    ("--ambient", "warm"),
    ("--altitude", "9000"),
    ("--fault", "thermostat-stuck-open:2"),
    ("--fault", "thermostat-stuck-open:"),
    ("--fault", "no-such-fault"),
    ("--vehicle", "no-such-vehicle"),
    ("--drive", "idle:10,dance:20"),
    ("--every", "0.1", "--drive", "idle:600000"),
    ("--format", "xml"),
    ("--log", "no-such-file.csv"),
    ("--log", "x.csv", "--drive", "idle:10"),
    ("--log", "x.csv", "--ambient", "10"),
    ("--output", "no-such-folder/x.csv"),
]


@pytest.mark.parametrize("arguments", WRONG_OPTIONS, ids=" ".join)
def test_wrong_use_is_refused_in_words(capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]) -> None:
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (2, "")
    assert "expected" in err
    assert "Traceback" not in err
    assert len(err.splitlines()) == 1


WRONG_LOGS = {
    "empty": ("", ":1:1: "),
    "a column missing": ("time_s,rpm,speed_kmh\n0,1,2\n", ":1:1: no column 'ambient_C'"),
    "a column twice": ("time_s,rpm,rpm,speed_kmh,ambient_C\n", ":1:12: the column 'rpm' again"),
    "one row": (LOG[: LOG.index("30,")], ":2:1: the file ends"),
    "words": (LOG.replace("1500", "fast"), ":3:4: 'fast', expected a number from 0 to 8000"),
    "not a number": (LOG.replace("1500", "nan"), ":3:4: 'nan'"),
    "beyond belief": (LOG.replace(",30,", ",300,"), ":3:9: speed_kmh 300, expected a number from 0 to 250"),
    "time standing": (LOG.replace("\n60,", "\n30,"), ":4:1: time_s 30 after 30"),
    "a field short": (LOG.replace(",5,15", ",5"), ":4:12: 4 fields, expected 5"),
    "a quotation mark": (LOG.replace("1500", '"1500"'), ":3:4: a quotation mark"),
    "a digit group": (LOG.replace("1500", "1_500"), ":3:4: '1_500'"),
}


@pytest.mark.parametrize("text, wrong", WRONG_LOGS.values(), ids=WRONG_LOGS.keys())
def test_a_wrong_log_is_refused_with_its_place(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, wrong: str
) -> None:
    file = tmp_path / "log.csv"
    file.write_text(text, encoding="utf-8")
    status, out, err = run(capsys, "--log", str(file))
    assert (status, out) == (2, "")
    assert f"log.csv{wrong}" in err
    assert "expected" in err


def test_a_log_that_is_no_text_is_refused(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes(b"\xff\xfe\x00t")
    status, _, err = run(capsys, "--log", str(file))
    assert status == 2
    assert "log.csv:1:1: bytes that are no UTF-8" in err


def test_matplotlib_is_not_loaded_for_rows(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    assert run(capsys, "--drive", "idle:60")[0] == 0
