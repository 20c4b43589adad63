"""Every test of the interfaces sees the small catalogue and keeps its records to itself."""

from __future__ import annotations

from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest

import grading.sessions.records
import scenarios.files.loader
import tui.presentation.process.draw_ahead
from scenarios.model import Catalogue
from tests.tui.small import small_catalogue
from tui.commands.command import main


@pytest.fixture(autouse=True)
def catalogue(monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    """The small catalogue, for whoever loads one."""
    small = small_catalogue()
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: small)
    return small


@pytest.fixture(autouse=True)
def records(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A records folder and settings of this test's own."""
    folder = tmp_path / "records"
    monkeypatch.setattr(grading.sessions.records.platformdirs, "user_data_path", lambda *names, **options: tmp_path)
    monkeypatch.setattr(grading.sessions.records.platformdirs, "user_config_path", lambda *names, **options: tmp_path)
    return folder


@pytest.fixture(autouse=True)
def nothing_is_drawn_ahead(monkeypatch: pytest.MonkeyPatch) -> None:
    """No test leaves a process behind that draws the next vehicle or prepares marks."""
    monkeypatch.setattr("tui.app.app.Lukewarm.mark_ahead", lambda app, path: None)
    monkeypatch.setattr(tui.presentation.process.draw_ahead, "draw_ahead", lambda passed="": None)


@pytest.fixture
def lukewarm(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., tuple[int, str, str]]:
    """Run the command with lines on standard input; gives exit status, output and errors."""

    def run(*arguments: str, lines: tuple[str, ...] = ()) -> tuple[int, str, str]:
        monkeypatch.setattr("sys.stdin", StringIO("".join(f"{line}\n" for line in lines)))
        status = main(list(arguments))
        captured = capsys.readouterr()
        return status, captured.out, captured.err

    return run
