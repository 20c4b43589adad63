"""A data folder of each test's own."""

from __future__ import annotations

from pathlib import Path

import platformdirs
import pytest


@pytest.fixture(autouse=True)
def data_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Records, marks and notes of exams go here."""
    folder = tmp_path / "data"

    def user_data_path(name: str, appauthor: bool) -> Path:
        assert (name, appauthor) == ("lukewarm", False)  # all in one folder, without a maker's name
        return folder

    monkeypatch.setattr(platformdirs, "user_data_path", user_data_path)
    return folder
