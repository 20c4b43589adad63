"""What is wrong with a file is said in the language chosen, whatever is wrong."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from grading.marks.rubric import load_rubric
from grading.sessions.record import read_record
from scenarios.files.data_error import DataError
from scenarios.files.drive_log import load_drive_log
from scenarios.files.loader import load_catalogue
from scenarios.files.strict_yaml import parse
from tests.language.pseudo import left_over, nobodys_language

YAML = (
    "a: 1\na: 2",
    "a: &x 1",
    "a: !t 1",
    "- *x",
    "%YAML 1.2\n---\na: 1",
    "a: 1\n---\nb: 2",
    "",
    "a: .nan",
    "a: 1e999",
    "a: 99999999999999999999999999",
    "<<: 1",
    "1: 2",
    "a: [",
    "a: \x07",
    "\n".join(" " * k + "- " for k in range(40)) + "x",
)


@pytest.mark.parametrize("text", YAML)
def test_yaml(text: str) -> None:
    with nobodys_language(), pytest.raises(DataError) as raised:
        parse(text, "7.yaml")
    parsers_own = {
        "YAML",
        "while",
        "did",
        "not",
        "find",
        "expected",
        "node",
        "content",
        "parsing",
        "flow",
        "the",
        "but",
    }
    parsers_own |= {"found", "alias", "undefined", "composing", "block", "sequence", "stream", "end", "token", "got"}
    parsers_own |= {"mapping", "or"}
    assert left_over(_told(raised.value), parsers_own | {"KiB", "nan", "yaml"}) == []


def _told(error: DataError) -> str:
    """The messages, without what they repeat of the file."""
    with nobodys_language():
        told = str(error)
    return re.sub(r"\"[^\"]*\"|'[^']*'|`[^`]*`|U\+\w+|0x\w+|1e\d+|1\.8e308", "", told).replace("7.yaml", "")


ENTRIES = {
    "checks": "id: One\nname: ''\nplace: moon\nminutes: -1\ntool: 3\nreadings: 5\nopens_cap: maybe\nlength: 3\n",
    "faults": "id: one\nname: [1]\nsystem: moon\nrate: x\nseverity: [2]\nchanges: [{parameter: x, to: 1, factor: 2}]\n",
    "jobs": "- id: one\n  vehicle: none\n  difficulty: 2.5\n- id: one\n- 3\n",
    "vehicles": "id: one\nparameters: {jacket_L: 1e6, jacket: 2}\n",
}


@pytest.mark.parametrize("kind", ENTRIES)
def test_catalogue_files(tmp_path: Path, kind: str) -> None:
    (tmp_path / kind).mkdir()
    (tmp_path / kind / "7.yaml").write_text(ENTRIES[kind], encoding="utf-8")
    (tmp_path / "stray.yaml").write_text("a: 1", encoding="utf-8")
    (tmp_path / "fault").mkdir()
    with nobodys_language(), pytest.raises(DataError) as raised:
        load_catalogue(tmp_path)
    told = _told(raised.value).replace(str(tmp_path), "")
    assert len(told.splitlines()) > 3
    kinds = {"faults", "fault", "vehicles", "checks", "repairs", "cautions", "jobs", "stray", "yaml"}
    assert left_over(re.sub(r"\b\w+_\w+\b", "", told), kinds) == []


OTHER: tuple[tuple[Callable[[Path], object], str], ...] = (
    (read_record, "{}"),
    (read_record, '{"kind": "action"}\n'),
    (read_record, '{"kind": "job", "format": 9}\n{}\n'),
    (read_record, '{"kind": "job", "format": 1, "job": "x", "seed": 1, "mode": "moon"}\n{}\n'),
    (load_drive_log, "time_s,rpm\n1,2\n"),
    (load_drive_log, "time_s,rpm,speed_kmh,ambient_C\n1,2,x,4\n1,2\n0,9e9,1,1\n"),
    (load_rubric, "weights: {diagnosis: 100}\n"),
)


@pytest.mark.parametrize(("load", "text"), OTHER)
def test_records_and_logs(tmp_path: Path, load: Callable[[Path], object], text: str) -> None:
    file = tmp_path / "7"
    file.write_text(text, encoding="utf-8")
    with nobodys_language(), pytest.raises(DataError) as raised:
        load(file)
    told = _told(raised.value).replace(str(tmp_path), "")
    assert left_over(re.sub(r"\b\w+_\w+\b", "", told), {"rpm", "kind", "guided", "free", "exam"}) == []
