"""The catalogue that is kept ready made is the one that the files give."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

import scenarios.files.loader
import tui.app.ready_catalogue
from scenarios.model import Catalogue
from tui.app.notices import notices_of
from tui.app.ready_catalogue import ready_catalogue


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of this test's own."""
    folder = tmp_path / "cache"
    monkeypatch.setattr(tui.app.ready_catalogue.platformdirs, "user_cache_dir", lambda *names, **options: str(folder))
    return folder


def test_it_is_made_once_and_then_only_read(cache: Path, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    assert ready_catalogue().catalogue == catalogue

    def never(*folders: Path) -> Catalogue:
        raise AssertionError("it was parsed again")

    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", never)
    assert ready_catalogue().catalogue == catalogue
    (kept,) = cache.iterdir()
    kept.write_bytes(b"\x80 no longer what it was")
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: catalogue)
    assert ready_catalogue().catalogue == catalogue


def test_other_files_are_parsed_anew(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ready_catalogue()
    (kept,) = cache.iterdir()
    before = kept.read_bytes()
    monkeypatch.setattr(tui.app.ready_catalogue, "_version", lambda: "another")
    ready_catalogue()
    assert pickle.loads(kept.read_bytes())[0] == "another" != pickle.loads(before)[0]
    (_,) = cache.iterdir()


def test_a_folder_that_cannot_be_written_to_is_done_without(cache: Path, catalogue: Catalogue) -> None:
    cache.write_text("no folder", encoding="utf-8")
    assert ready_catalogue().catalogue == catalogue


def test_the_notices_are_those_of_the_catalogue_whose_rest_may_be_unreadable(cache: Path, catalogue: Catalogue) -> None:
    assert ready_catalogue().notices == notices_of(catalogue)
    (kept,) = cache.iterdir()
    version, notices, _packed = pickle.loads(kept.read_bytes())
    kept.write_bytes(pickle.dumps((version, notices, b"no catalogue")))
    shelf = ready_catalogue()
    assert shelf.notices == notices_of(catalogue)
    assert shelf.catalogue == catalogue
