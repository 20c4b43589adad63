"""A candidate named at the start stands in the record of every job that is begun."""

from __future__ import annotations

from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

import tui.app.app
from grading.sessions.record import read_record
from scenarios.model import Catalogue
from tests.tui.program import play, settle
from tui.app.app import Lukewarm
from tui.commands.command import main


def test_a_job_begun_in_the_program_bears_the_name(catalogue: Catalogue, records: Path) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.candidate = "Ada Finch"
        app.open_job("cold-tern", None, 1)
        await settle(pilot)

    play(catalogue, part)
    (path,) = records.glob("*.jsonl")
    assert read_record(path)[0].data["candidate"] == "Ada Finch"


class _Terminal(StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("arguments", "name"), [([], None), (["--candidate", "Ada Finch"], "Ada Finch")])
def test_the_command_line_hands_the_name_over(
    monkeypatch: pytest.MonkeyPatch, arguments: list[str], name: str | None
) -> None:
    opened: list[str | None] = []
    monkeypatch.setattr("sys.stdin", _Terminal())
    monkeypatch.setattr("sys.stdout", _Terminal())
    monkeypatch.setattr(tui.app.app, "run_program", opened.append)
    assert main(arguments) == 0
    assert opened == [name]
