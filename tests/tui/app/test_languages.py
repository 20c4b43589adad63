"""Every interface in another language than English: nothing left over, nothing that overflows, records the same."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.content import Content
from textual.pilot import Pilot

import scenarios.files.loader
from grading.report.debrief_page import page
from grading.sessions.record import as_bytes
from scenarios.language import _, choose
from scenarios.model import Catalogue
from tests.language.pseudo import left_over, nobodys_language
from tests.packaged import packaged_catalogue
from tests.tui.app.test_screens import TOUR, _write_marked_records
from tests.tui.first_job import steps
from tests.tui.graded import fixed_debrief, recorded
from tests.tui.pictures import JOB
from tests.tui.program import play, press, settle, still, text_of
from tui.app.app import Lukewarm
from tui.app.widgets.key_hints import KeyHint, KeyHints
from tui.app.widgets.pieces import Pieces
from tui.presentation.between_jobs.pick import PICKS
from tui.presentation.marking.graded_record import graded_record
from tui.presentation.settings import Settings
from tui.text.phrases import PHRASES

Run = Callable[..., tuple[int, str, str]]
SAID_SO_EVERYWHERE = {"km", "min", "bit", "kPa", "rpm", "psi"}
"""Signs of units are no words."""
KEYS = {"Enter", "Tab", "Esc", "Escape", "ctrl", "shift", "tab", "enter", "escape"}


def ids(catalogue: Catalogue) -> set[str]:
    """What is typed, and so stays as it is."""
    things = (catalogue.vehicles, catalogue.faults, catalogue.checks, catalogue.repairs, catalogue.jobs)
    names = [name for kind in things for name in kind] + [phrase.usage for phrase in PHRASES.values()]
    return {word for name in names for word in re.findall(r"[A-Za-z]+", name)}


def typed(lines: Iterable[str]) -> set[str]:
    """Words of what a person typed."""
    return {word for line in lines for word in re.findall(r"[A-Za-z]+", line)}


TEXT_JOB = (
    "look",
    "card",
    "readings",
    "help",
    "fly away",
    "check gauge",
    "ignition on",
    "check gauge",
    "cautions coolant-level-cold",
    "ignition off",
    "check coolant-level-cold",
    "go bay",
    "go nowhere",
    "suspect coolant-low likely",
    "mark 1 odd",
    "readings point",
    "compare 1 2",
    "units us",
    "units si",
    "undo",
    "undo",
    "undo",
    "hint",
    "diagnose coolant-low 95",
    "repair top-up",
    "set heater 100",
    "set heater 101",
    "set blower 2",
    "engine start",
    "rev 2000 1",
    "drive 15",
    "check vent-temperature",
    "readings",
    "write complaint kalt und nochmal kalt",
    "note zzz",
    "look",
    "handback",
)


def test_no_english_is_left_in_plain_text(lukewarm: Run, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tui.commands.command.speak", lambda code: None)
    with nobodys_language():
        status, output, errors = lukewarm("text", "cold-tern", "--mode", "guided", lines=TEXT_JOB)
    assert status == 0
    assert errors == ""
    said = [line for line in output.splitlines() if "jsonl" not in line]
    assert len(said) > 100
    allowed = ids(catalogue) | typed(TEXT_JOB) | SAID_SO_EVERYWHERE | KEYS | {"guided", "seat", "bay", "dash"}
    assert left_over("\n".join(said), allowed) == []


@pytest.mark.slow
def test_no_english_is_left_on_any_screen(catalogue: Catalogue, records: Path) -> None:
    _write_marked_records(records)
    typed_there = typed(["no heat here coolant was low"]) | {"tern", "old", "unit"}

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        for name, keys in TOUR:
            await press(pilot, *keys)
            found = left_over(await still(app, pilot), SAID_SO_EVERYWHERE | KEYS | typed_there)
            assert found == [], name

    with nobodys_language():
        play(catalogue, part, (120, 40))


def test_no_english_is_left_in_a_debrief(catalogue: Catalogue) -> None:
    allowed = SAID_SO_EVERYWHERE | KEYS | ids(catalogue) | {"as", "read", "line", "another", "indented", "section"}
    with nobodys_language():
        entries = recorded(catalogue)
        graded = graded_record(catalogue, as_bytes(entries), Path("record"))
        grade, sections = graded.grade, graded.sections()
        told = "\n".join(line for section in sections for line in section.lines)
        assert left_over(told, allowed) == []
        drawn = re.sub(r"(?s)<style>.*?</style>", "", page(catalogue, entries, grade, sections, graded.ways))
        labels = " ".join(re.findall(r'aria-label="([^"]*)"', drawn))
        assert left_over(unescape(re.sub(r"<[^>]*>", " ", drawn) + labels), allowed) == []
        debrief = fixed_debrief(catalogue)

        async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
            app.push_screen(debrief)
            await settle(pilot)
            for number in "123456":
                await press(pilot, number)
                assert left_over(await still(app, pilot), allowed) == [], number

        play(catalogue, part, (120, 40))


OPTION = re.compile(r"--[a-z]+|-h\b|\{[^}]*\}|\blukewarm( [a-z]+)?|\b[a-z]+_[A-Za-z]+\b|\[:")


@pytest.mark.parametrize("command", ["", "text", "show", "trace", "debrief", "mark", "serve"])
def test_no_english_is_left_in_the_help(lukewarm: Run, command: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tui.commands.command.speak", lambda code: None)
    monkeypatch.setattr("argparse._", _)
    with nobodys_language():
        output = lukewarm(*command.split(), "--help")[1]
    names = {
        "text",
        "show",
        "trace",
        "debrief",
        "mark",
        "serve",
        "author",
        "exam",
        "guided",
        "free",
        "ID",
        "SEVERITY",
        "PCT",
    }
    drive = {"idle", "road", "rev", "rest", "over"}  # "over": of --take-over, which is broken at its hyphen
    picks = {word for pick in PICKS for word in pick.split("-")}
    assert left_over(OPTION.sub(" ", output), names | drive | picks) == []


@pytest.fixture
def packaged(monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    """The jobs that everybody gets."""
    whole = packaged_catalogue()
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: whole)
    return whole


def _record(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


@pytest.mark.slow
def test_a_whole_job_in_german_leaves_the_same_record(lukewarm: Run, packaged: Catalogue, tmp_path: Path) -> None:
    commands = tuple(step.command for step in steps())
    told = {}
    for code in ("en", "de"):
        file = tmp_path / f"{code}.jsonl"
        status, told[code], errors = lukewarm("text", JOB, "--language", code, "--record", str(file), lines=commands)
        assert (status, errors) == (0, "")
    assert _record(tmp_path / "en.jsonl") == _record(tmp_path / "de.jsonl")
    for line in (
        "Notiert: Gebläsemotor tot: wahrscheinlich.",
        "Diagnose: Gebläsemotor: Wicklung offen oder Bürsten verbraucht, zu 95 % sicher.",
        "Erledigt: Gebläsemotor mit Rad ersetzen.",
        "Es dauerte 60 Minuten.",
        "Diagnose: 100, Gewicht 40.",
        "Sicherheit: kein Fehler.",
    ):
        assert line in told["de"]
    assert re.search(r"Spannung auf Stufe 4: 12,\d\d V\.", told["de"])
    assert "The " not in told["de"]

    for form in ("plain", "json", "html"):
        arguments = ("debrief", str(tmp_path / "de.jsonl"), "--language", "de", "--format", form)
        status, first, _ = lukewarm(*arguments)
        assert status == 0
        shown = json.dumps(json.loads(first), ensure_ascii=False) if form == "json" else first
        assert "Was defekt war" in shown
        assert "Gebläsemotor" in shown
        assert lukewarm(*arguments)[1] == first
        if form == "html":
            assert '<html lang="de">' in first


def _shape(value: Any) -> Any:
    """Keys and numbers of plain data, texts left out."""
    if isinstance(value, dict):
        return {key: _shape(item) for key, item in value.items() if key != "manual"}
    if isinstance(value, list):
        return [_shape(item) for item in value]
    return None if isinstance(value, str) else value


def test_keys_figures_and_ids_of_json_are_the_same_in_every_language(lukewarm: Run, packaged: Catalogue) -> None:
    lines = ("look", "card", "ignition on", "check gauge", "readings", "quit")
    found = {}
    for code in ("en", "de"):
        _, output, _ = lukewarm("text", JOB, "--language", code, "--format", "json", lines=lines)
        found[code] = [json.loads(line) for line in output.splitlines()]
    assert _shape(found["en"]) == _shape(found["de"])
    for name in ("checks", "repairs", "faults"):
        assert [item["id"] for item in found["en"][0][name]] == [item["id"] for item in found["de"][0][name]]
    pairs = list(zip(found["en"][0]["checks"], found["de"][0]["checks"], strict=True))
    assert all(one["place"] == other["place"] for one, other in pairs)
    assert sum(one["name"] != other["name"] for one, other in pairs) > 50
    assert found["de"][0]["place"] == "driver's seat"


def test_errors_in_german(lukewarm: Run, tmp_path: Path) -> None:
    bad = tmp_path / "bad.jsonl"
    bad.write_text("nonsense\n{}\n", encoding="utf-8")
    status, _, errors = lukewarm("debrief", str(bad), "--language", "de")
    assert (status, errors) == (2, f"{bad}:1:1: diese Zeile ist kein JSON; erwartet: ein JSON-Objekt je Zeile\n")
    status, _, errors = lukewarm("debrief", "--language", "de")
    assert status == 2
    assert errors.startswith("lukewarm: es fehlen die Argumente: ")
    status, _, errors = lukewarm("text", "no-such", "--language=de")
    assert (status, errors) == (
        2,
        "lukewarm: einen Auftrag 'no-such' gibt es nicht; erwartet: eins von 'cold-tern'; "
        "bei einem eigenen Auftrag gib seinen Ordner mit --with an\n",
    )


def test_a_language_that_is_not_there(lukewarm: Run) -> None:
    status, _, errors = lukewarm("show", "jobs", "--language", "xx")
    assert (status, errors) == (2, "lukewarm: there is no language 'xx', expected en, de, en_US\n")


def test_the_variable_chooses_and_the_argument_chooses_before_it(
    lukewarm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LUKEWARM_LANGUAGE", "de")
    assert "Schwierigkeit" in lukewarm("show", "jobs")[1]
    assert "difficulty" in lukewarm("--language", "en", "show", "jobs")[1]


GERMAN_TOUR = {
    "board",
    "board help",
    "workshop",
    "engine bay",
    "caution",
    "diagnosis",
    "declared beside it",
    "driving",
    "notebook",
    "hand back",
}


@pytest.mark.slow
def test_german_screens(catalogue: Catalogue, records: Path, snapshot: SnapshotAssertion) -> None:
    _write_marked_records(records)
    choose("de")

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        for name, keys in TOUR:
            await press(pilot, *keys)
            if name in GERMAN_TOUR:
                assert await still(app, pilot) == snapshot(name=name)

    play(catalogue, part)


def _overflowing(app: Lukewarm) -> list[str]:
    """Labels that do not fit: keys and what they do must be read whole."""
    width = app.size.width
    lines = [(line, Content.assemble(*line.pieces())) for line in app.screen.query(Pieces)]
    found = [said.plain for line, said in lines if said.rstrip().cell_length > line.content_size.width]
    for row in app.screen.query(KeyHints):
        if row.region.width:
            hints = [hint for hint in row.query(KeyHint) if hint.display]
            found += [f"{hint.key} {hint.does}" for hint in hints if hint.region.right > row.region.right]
    for kind in ("PlaceTab", "Knob", "Label"):
        found += [str(widget.render()) for widget in app.screen.query(kind) if widget.region.right > width]
    return found


@pytest.mark.slow
@pytest.mark.parametrize(
    ("size", "code"),
    [((80, 24), "de"), ((80, 24), "en"), ((120, 40), "en"), ((120, 40), "de")],
    ids=lambda value: f"{value[0]}x{value[1]}" if isinstance(value, tuple) else value,
)
def test_no_label_overflows(packaged: Catalogue, records: Path, size: tuple[int, int], code: str) -> None:
    choose(code)
    _write_marked_records(records)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert _overflowing(app) == []
        for name, keys in TOUR[1:]:
            await press(pilot, *keys)
            await still(app, pilot)
            assert _overflowing(app) == [], name
        for _turn in range(3):
            await press(pilot, "plus", "b", "v")
            assert _overflowing(app) == [], text_of(app)

    play(packaged, part, size, settings=Settings(mode="guided"))
