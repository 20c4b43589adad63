"""``lukewarm mark``: a folder of records as an assessor finds it, verified and marked."""

from __future__ import annotations

import csv
import json
import re
import time
from collections.abc import Callable, Iterator
from io import StringIO
from multiprocessing import active_children
from pathlib import Path

import pytest

import grading.report.marked
import tui.commands.processes.workers
from grading.marks.rubric import PACKAGED, load_rubric
from grading.marks.verdict import PASSED
from grading.report.explanation import MOST_LINES
from grading.report.marked import NOT_SOUND, SOUND, Marked, Marker, Opened
from grading.sessions.modes import EXAM, Mode
from grading.sessions.openings import begin
from grading.sessions.record import RecordEntry, as_bytes, read_record
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import choose
from scenarios.model import CRITERIA, Catalogue
from tests.language.pseudo import left_over, nobodys_language
from tests.tui.small import small_catalogue
from tui.commands.processes.marking import FEWEST, mark_all, shared_out
from tui.presentation.marking.mark_forms import as_csv, as_table, explained

Run = Callable[..., tuple[int, str, str]]
JOB = "cold-tern"
WELL = (
    Action("check", ("coolant-level-cold",)),
    Action("diagnose", ("coolant-low", 90.0)),
    Action("repair", ("top-up",)),
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
    Action("check", ("vent-temperature",)),
    Action("note", ("complaint", "no heat at the vents")),
    Action("handback"),
)
BADLY = (Action("diagnose", ("thermostat-stuck-open", 90.0)), Action("handback"))
NAMES = ("anna", "ben", "cem", "dora", "eva", "finn", "gus")
"""Of the records below, in the order of their files."""


def record(candidate: str | None, seed: int, actions: tuple[Action, ...], mode: Mode | None = None) -> bytes:
    session = Session(small_catalogue(), small_catalogue().jobs[JOB], seed, mode=mode, candidate=candidate)
    for action in actions:
        assert session.do(action).refused is None
    return as_bytes(session.recorder.entries)


def of_another_version(whole: bytes) -> bytes:
    return re.sub(rb'"engine": "[0-9a-f]+"', b'"engine": "' + b"0" * 32 + b'"', whole)


def of_format_1(whole: bytes) -> bytes:
    _, *actions = [json.loads(line) for line in whole.splitlines()]
    lines = [{"kind": "job", "format": 1, "job": JOB, "seed": 2}]
    lines += [{key: value for key, value in line.items() if key != "n"} for line in actions if line["kind"] == "action"]
    return "".join(json.dumps(line) + "\n" for line in lines).encode()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Records of all sorts, each named after its candidate."""
    well, badly = record("Anna Finch", 1, WELL), record(None, 2, BADLY)
    exam = Mode(EXAM, 30.0, 1.8e9)
    files = {
        "anna": well,
        "ben": badly,
        "cem": well.replace(b'"minutes": 15.0', b'"minutes": 14.0'),
        "dora": of_another_version(badly),
        "eva": record("Eva", 2, WELL[:1], exam),
        "finn": well.replace(b'"verb": "diagnose"', b'"verb": "guess"'),
        "gus": of_format_1(badly),
    }
    assert tuple(files) == NAMES and files["cem"] != well
    path = tmp_path_factory.mktemp("exam")
    for name, whole in files.items():
        (path / f"{name}.jsonl").write_bytes(whole)
    (path / "notes.txt").write_text("none of a record's business", encoding="utf-8")
    return path


def test_a_mixed_folder_on_one_process_and_on_two(lukewarm: Run, folder: Path) -> None:
    again = folder / "anna.jsonl"
    status, output, errors = lukewarm("mark", str(folder), str(again), "--format", "json", "--explain")
    assert (status, errors) == (1, "lukewarm: 7 records\n")
    rows = {Path(row["file"]).stem: row for row in json.loads(output)}
    assert tuple(rows) == NAMES
    assert {name: (row["verdict"], row["record"]) for name, row in rows.items()} == {
        "anna": ("passed", "sound"),
        "ben": ("failed", "sound"),
        "cem": ("not marked", "not sound"),
        "dora": ("failed", "another version"),
        "eva": ("not finished", "sound"),
        "finn": ("not marked", "unreadable"),
        "gus": ("failed", "another version"),
    }
    assert [row["candidate"] for row in rows.values()] == [
        "Anna Finch",
        "ben",
        "Anna Finch",
        "dora",
        "Eva",
        "finn",
        "gus",
    ]
    assert (rows["anna"]["seed"], rows["anna"]["mode"], rows["eva"]["mode"]) == (1, "free", "exam")
    assert rows["anna"]["total"] > 70.0 and set(rows["anna"]["criteria"]) == set(CRITERIA)
    assert rows["anna"]["critical"] == [] and rows["ben"]["critical"] != []
    assert rows["cem"]["problem"].startswith("line 4: minutes is 14.0, a replay gives 15.0")
    assert re.search(r"finn\.jsonl:3:1: .*verb", rows["finn"]["problem"])
    assert rows["cem"]["total"] is rows["eva"]["total"] is rows["finn"]["total"] is None
    assert {row["rubric"] for row in rows.values()} == {load_rubric().hash}
    assert len({tuple(row) for row in rows.values()}) == 1, "the same keys in every row"
    told = rows["anna"]["explanation"]
    assert 0 < len(told) <= MOST_LINES and "Top up and bleed. That cured it." in " ".join(told)
    told = rows["ben"]["explanation"]
    assert told[0].startswith("Critical error") and "What would have cured it: Top up and bleed." in " ".join(told)
    assert lukewarm("mark", str(folder), "--format", "json", "--explain", "--processes", "2")[:2] == (1, output)


def test_a_rubric_of_ones_own_decides_and_is_named(lukewarm: Run, folder: Path, tmp_path: Path) -> None:
    strict = tmp_path / "strict.yaml"
    strict.write_text(re.sub(r"\n  total: \d+", "\n  total: 100", PACKAGED.read_text("utf-8")), encoding="utf-8")
    status, output, _ = lukewarm("mark", str(folder / "anna.jsonl"), "--rubric", str(strict), "--format", "json")
    (row,) = json.loads(output)
    assert (status, row["verdict"], row["record"]) == (0, "failed", "sound")
    assert row["rubric"] == load_rubric(strict).hash != load_rubric().hash
    _, output, _ = lukewarm("debrief", str(folder / "anna.jsonl"), "--rubric", str(strict), "--format", "json")
    assert load_rubric(strict).hash in output and load_rubric().hash not in output
    mine = tmp_path / "mine.jsonl"
    typed = ("check coolant-level-cold", "diagnose coolant-low 90", "handback")
    asked = ("--rubric", str(strict), "--record", str(mine), "--candidate", "Zoë", "--format", "json")
    _, output, _ = lukewarm("text", JOB, *asked, lines=typed)
    assert json.loads(output.splitlines()[-1])["grade"]["rubric"] == load_rubric(strict).hash
    first = read_record(mine)[0].data
    assert (first["rubric"], first["candidate"]) == (load_rubric(strict).hash, "Zoë")


def test_a_record_of_another_version_is_in_order(lukewarm: Run, folder: Path) -> None:
    status, output, _ = lukewarm("mark", str(folder / "dora.jsonl"))
    assert status == 0 and "another version" in output and "not sound" not in output


def test_while_an_exam_is_open_here_its_job_stays_sealed(
    lukewarm: Run, folder: Path, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    begin(catalogue, catalogue.jobs[JOB], 1, mode=Mode(EXAM, 30.0, 1.8e9)).close()
    monkeypatch.setattr(Marker, "mark", None)  # the vehicle is not even looked at
    status, output, _ = lukewarm("mark", str(folder / "anna.jsonl"), "--format", "json", "--explain")
    (row,) = json.loads(output)
    assert (status, row["verdict"], row["record"], row["total"]) == (1, "not marked", "sealed", None)
    assert "coolant-low" not in output and row["explanation"] == []


def test_an_unfinished_record_gives_no_reading_away(catalogue: Catalogue, folder: Path, tmp_path: Path) -> None:
    file = tmp_path / "eva.jsonl"
    changed = json.loads((folder / "eva.jsonl").read_bytes().splitlines()[1])
    right = changed["readings"][0]["shown"]
    changed["readings"][0] |= {"step": changed["readings"][0]["step"] + 1, "shown": "a guess"}
    file.write_bytes((folder / "eva.jsonl").read_bytes().splitlines(True)[0] + json.dumps(changed).encode() + b"\n")
    marker = Marker(catalogue, load_rubric(), explains=True)
    opened = marker.open(file, frozenset())
    assert isinstance(opened, Opened)
    row = marker.mark(opened)
    assert (row.state, row.why) == (NOT_SOUND, "line 2: a replay gives something else")
    assert right not in str(row)


def test_an_explanation_has_no_english_left(catalogue: Catalogue, folder: Path) -> None:
    marker = Marker(catalogue, load_rubric(), explains=True)
    with nobodys_language():
        opened = marker.open(folder / "ben.jsonl", frozenset())
        assert isinstance(opened, Opened)
        row = marker.mark(opened)
        head, *told = explained(row)
        assert len(told) >= 5 and left_over("\n".join((*told, *row.critical, *row.reasons)), set()) == []
        assert left_over(head.replace(row.file, ""), {"ben", *JOB.split("-")}) == []


def test_an_error_in_one_record_costs_no_other(
    catalogue: Catalogue, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    marker = Marker(catalogue, load_rubric())
    opened = [marker.open(folder / f"{name}.jsonl", frozenset()) for name in ("ben", "eva")]
    monkeypatch.setattr(grading.report.marked, "Grader", lambda *_: 1 / 0)
    rows = dict(mark_all(marker, [one for one in opened if isinstance(one, Opened)], 1))
    assert [(rows[k].state, rows[k].in_order) for k in (0, 1)] == [("not verified", False), ("sound", True)]
    assert "ZeroDivisionError" in rows[0].why


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("{empty}",), "{empty}:1:1: there is no record in this folder"),
        (("{empty}/nobody.jsonl",), "{empty}/nobody.jsonl:1:1: there is no such file or folder"),
        (("{empty}/x*.jsonl",), "{empty}/x*.jsonl:1:1: no file has such a name"),
        (("{folder}", "--rubric", "{folder}/notes.txt"), "{folder}/notes.txt:1:1: "),
        (("{folder}", "--processes", "0"), "lukewarm: 0 processes, expected 1 to"),
        (("{folder}", "--output", "{empty}/none/marks.csv"), "cannot be written"),
        (("{folder}", "--candidate", "Anna"), "--candidate"),
        ((), "FILE|FOLDER"),
    ],
)
def test_wrong_use_is_refused_before_anything_is_marked(
    lukewarm: Run, folder: Path, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    places = {"empty": tmp_path.as_posix(), "folder": folder.as_posix()}
    status, output, errors = lukewarm("mark", *(argument.format(**places) for argument in arguments))
    assert (status, output) == (2, "")
    assert said.format(**places) in errors.replace("\\", "/") and "expected" in errors
    assert len(errors.splitlines()) == 1


def test_wildcards_are_resolved_and_candidates_go_with_a_job(lukewarm: Run, folder: Path) -> None:
    status, output, errors = lukewarm("mark", str(folder / "fi*.jsonl"), str(folder / "finn.jsonl"))
    assert (status, errors) == (1, "lukewarm: one record\n") and "unreadable" in output
    for name, said in (("\x1b[2J", "letters or digits"), ("x" * 201, "at most 200")):
        for command in ((), ("text", JOB)):
            status, output, errors = lukewarm("--candidate", name, *command)
            assert (status, output) == (2, "") and said in errors and "\x1b" not in errors


def test_no_process_outlives_ctrl_c(catalogue: Catalogue, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(futures: object) -> Iterator[object]:
        raise KeyboardInterrupt
        yield futures

    marker = Marker(catalogue, load_rubric())
    opened = [marker.open(folder / f"{name}.jsonl", frozenset()) for name in ("anna", "eva")]
    before = set(active_children())
    monkeypatch.setattr(tui.commands.processes.workers, "as_completed", stopped)
    with pytest.raises(KeyboardInterrupt):
        list(mark_all(marker, [one for one in opened if isinstance(one, Opened)], 2))
    until = time.monotonic() + 10.0  # a process that has ended is forgotten by a thread of its pool
    while set(active_children()) - before and time.monotonic() < until:
        time.sleep(0.01)
    assert set(active_children()) <= before


# -- rows ------------------------------------------------------------------------------------------------------------

ROW = Marked(
    file="exam/anna.jsonl",
    candidate='=HYPERLINK("x"), née\x1b[2J Finch',
    job="a-job-with-a-rather-long-name",
    seed=-3,
    mode="exam",
    verdict=PASSED,
    state=SOUND,
    why="",
    rubric="0123456789abcdef",
    total=82.4,
    criteria=dict.fromkeys(CRITERIA, 75.0),
    critical=("@once", "-twice"),
    hints=2,
    hint_marks=3.0,
    explanation=("first,", "+second"),
)
BARE = Marked("x.jsonl", "x", "", None, "", "not marked", "unreadable", "x.jsonl:1:1: no record", "0123456789abcdef")


def test_csv_is_read_back_and_holds_no_formula() -> None:
    text = as_csv([ROW, BARE], explains=True)
    assert text.count("\r\n") == 3 and not text.startswith("\ufeff")
    first, second = csv.DictReader(StringIO(text, newline=""))
    assert first["candidate"] == '\'=HYPERLINK("x"), née[2J Finch'
    assert (first["seed"], first["total"], first["diagnosis"], first["hints"]) == ("-3", "82.4", "75.0", "2")
    assert (first["critical"], first["explanation"], first["rubric"]) == (
        "'@once; -twice",
        "first,\n+second",
        "01234567",
    )
    assert (second["total"], second["safety"], second["problem"]) == ("", "", "x.jsonl:1:1: no record")
    assert "explanation" not in as_csv([ROW], explains=False)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("width", [76, 80, 120, None])
def test_a_table_fits_its_terminal_and_cuts_nothing(width: int | None, language: str) -> None:
    choose(language)
    text = as_table([ROW, BARE], width)
    assert "\x1b" not in text and "…" not in text
    if width is not None:
        assert max(map(len, text.splitlines())) <= width
    letters = "".join(text.split())
    for cell in (
        "82",
        "75",
        "critical error: @once; -twice" if language == "en" else "schwerer Fehler: @once",
        "01234567",
    ):
        assert "".join(cell.split()) in letters
    if width is None:
        assert ROW.job in text and "=HYPERLINK" in text


def test_records_of_one_vehicle_stay_together_unless_there_are_many() -> None:
    def opened(job: str, seed: int) -> Opened:
        return Opened(Path("x"), [RecordEntry("job", {"job": job, "seed": seed})])

    mixed = [opened(job, seed) for job in "ab" for seed in (1, 2) for _ in range(2)]
    for processes in (1, 2, 3, 9):
        shares = shared_out(mixed, processes)
        assert sorted(k for share in shares for k in share) == list(range(8)) and len(shares) == min(processes, 4)
        assert all(({k, k ^ 1} <= set(share)) for share in shares for k in share)
    alike = [opened("a", 1)] * (4 * FEWEST)
    assert [len(share) for share in shared_out(alike, 2)] == [2 * FEWEST] * 2
    assert [len(share) for share in shared_out(alike, 64)] == [FEWEST] * 4
    assert shared_out([], 4) == []
