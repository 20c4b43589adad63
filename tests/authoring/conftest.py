"""The command with the whole catalogue; records and settings of each test's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from scenarios.authoring.new_folder import new_folder
from tests.tui.conftest import lukewarm, records

__all__ = ["lukewarm", "records", "starter"]


@pytest.fixture
def starter(tmp_path: Path) -> Path:
    """The folder that ``lukewarm author new`` writes."""
    new_folder(tmp_path / "mine", "en")
    return tmp_path / "mine"
