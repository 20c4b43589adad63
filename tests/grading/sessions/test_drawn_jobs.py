"""A job that was drawn by its number is read alone, and gives the catalogue that loading its folder would give."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import scenarios.files.own_folders
from grading.drawing.written import write_jobs
from grading.sessions.made_with import with_drawn
from grading.sessions.versions import catalogue_hash
from scenarios.files.data_error import DataError
from scenarios.files.drawn_jobs import drawn_jobs
from scenarios.files.loader import load_catalogue
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
NAME = "draw-blower-4711"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Drawn jobs of this test's own."""
    monkeypatch.setattr("platformdirs.user_data_path", lambda *names, **options: tmp_path)
    return scenarios.files.own_folders.drawn_folder(NAME)


def _write(folder: Path, **changed: object) -> None:
    job = CATALOGUE.jobs["first-frost"]
    faults = tuple(replace(one, severity=None) for one in job.faults)
    whole = replace(job, id=NAME, faults=faults, competences={}, history="Nothing known.")
    write_jobs(folder, [replace(whole, **changed)], "Drawn for a test.")  # pyright: ignore[reportArgumentType]


def test_the_catalogue_is_that_of_its_folder(folder: Path) -> None:
    _write(folder)
    found = with_drawn(CATALOGUE, NAME)
    whole: Catalogue = load_catalogue(folder)
    assert found == whole and list(found.jobs) == list(whole.jobs)
    assert catalogue_hash(found) == catalogue_hash(whole) != catalogue_hash(CATALOGUE)
    assert with_drawn(CATALOGUE, NAME) is found and with_drawn(found, NAME) is found


def test_a_file_that_changed_is_read_again(folder: Path) -> None:
    _write(folder)
    before = with_drawn(CATALOGUE, NAME)
    _write(folder, title="Another title than before")
    assert with_drawn(CATALOGUE, NAME).jobs[NAME].title != before.jobs[NAME].title


def test_what_is_wrong_with_it_is_told_when_it_is_opened(folder: Path) -> None:
    _write(folder, vehicle="no-such-vehicle")
    assert drawn_jobs(CATALOGUE, [NAME]) == {}
    with pytest.raises(DataError, match="no-such-vehicle"):
        with_drawn(CATALOGUE, NAME)
    assert with_drawn(CATALOGUE, "draw-1") is CATALOGUE and with_drawn(CATALOGUE, "first-frost") is CATALOGUE
