"""What README.md says can be done: its first job is played as written, its pictures and its links are looked at."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest

import scenarios.files.loader
from tests.packaged import packaged_catalogue
from tests.tui.first_job import README, steps
from tests.tui.pictures import FOLDER, JOB, draw, words
from tui.commands.command import build_parser
from tui.presentation.clean import clean_line
from tui.text.plain import lines

Run = Callable[..., tuple[int, str, str]]

MOVES = 0.1
"""How far a figure of the page may be from today's [-]: it moves a little whenever the physics is tuned."""
_FIGURE = re.compile(r"\d+(?:\.\d+)?")


@pytest.fixture(autouse=True)
def packaged(monkeypatch: pytest.MonkeyPatch) -> None:
    """The jobs that everybody gets, not the small ones of the other tests."""
    whole = packaged_catalogue()
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: whole)


def alike(shown: str, told: str) -> bool:
    """Whether a line is told in these words, its figures near enough."""
    if _FIGURE.sub("#", shown) != _FIGURE.sub("#", told)[: len(_FIGURE.sub("#", shown))]:
        return False
    pairs = zip(_FIGURE.findall(shown), _FIGURE.findall(told), strict=False)
    return all(abs(float(a) - float(b)) <= MOVES * float(a) for a, b in pairs)


def test_the_first_job_goes_as_written_and_passes(lukewarm: Run) -> None:
    assert f"lukewarm text {JOB}\n" in README.read_text(encoding="utf-8")
    script = steps()
    assert 10 <= len(script) <= 20
    status, output, _ = lukewarm("text", JOB, "--format", "json", lines=tuple(step.command for step in script))
    assert status == 0
    answers = [json.loads(line) for line in output.splitlines()]
    assert len(answers) == len(script)
    for step, answer in zip(script, answers, strict=True):
        told = [clean_line(line) for line in lines(answer, "si")]
        for shown in step.shown:
            assert any(alike(shown, line) for line in told), (step.command, shown, told)
    assert answers[-1]["grade"]["passed"] is True
    assert answers[-1]["grade"]["safety"] == []


def test_the_pictures_show_the_program_as_it_is() -> None:
    for name, picture in draw().items():
        kept = (FOLDER / f"{name}.svg").read_text(encoding="utf-8")
        assert words(kept) == words(picture), f"python -m tests.tui.pictures draws {name}.svg anew"
        assert len(words(kept)) > 60
        assert not re.search(r"(?:src|href|url\()\W*https?:|<script|@import", kept)
        assert f"](tests/tui/pictures/{name}.svg)" in README.read_text(encoding="utf-8")


def test_its_links_and_commands_exist() -> None:
    page = README.read_text(encoding="utf-8")
    links = re.findall(r"\]\(([^)]+)\)", page)
    assert len(links) > 3
    assert not [link for link in links if not (README.parent / link).is_file()]
    usage = build_parser().format_help()
    named = set(re.findall(r"^\| `lukewarm ([a-z]+)", page, re.MULTILINE))
    assert named
    assert not [name for name in named if not re.search(rf"^    {name}\b", usage, re.MULTILINE)]
