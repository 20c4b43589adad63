"""Hashes of what a record was made with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from grading.sessions.versions import catalogue_hash, engine_hash, program_version
from scenarios.model import Catalogue
from tests.grading.workbench import bench


def reversed_order(catalogue: Catalogue) -> Catalogue:
    """The same entries, in another order."""
    return replace(
        catalogue,
        faults=dict(reversed(catalogue.faults.items())),
        checks=dict(reversed(catalogue.checks.items())),
        repairs=dict(reversed(catalogue.repairs.items())),
    )


def test_equal_catalogues_have_equal_hashes() -> None:
    one, other = bench(), bench()
    told = catalogue_hash(one)
    assert len(told) == 32 and int(told, 16) >= 0
    assert catalogue_hash(one) == catalogue_hash(other) == catalogue_hash(reversed_order(other)) == told


@pytest.mark.parametrize("field", ["vehicles", "faults", "checks", "repairs", "jobs", "cautions"])
def test_whatever_is_changed_in_a_catalogue_changes_its_hash(field: str) -> None:
    whole = bench()
    entries = getattr(whole, field)
    key, entry = next(iter(entries.items()))
    word = "text" if field == "cautions" else "title" if field == "jobs" else "name"
    changed = replace(whole, **{field: entries | {key: replace(entry, **{word: "another, ü☃"})}})
    assert catalogue_hash(changed) != catalogue_hash(whole)


def test_words_of_equipment_have_no_order() -> None:
    whole = bench()
    (vehicle,) = whole.vehicles.values()
    words = [f"word {k}" for k in range(20)]
    hashes = {
        catalogue_hash(replace(whole, vehicles={vehicle.id: replace(vehicle, equipment=frozenset(given))}))
        for given in (words, reversed(words))
    }
    assert len(hashes) == 1


def test_a_catalogue_that_takes_the_place_of_another_in_memory_has_its_own_hash() -> None:
    whole = bench()
    told = set()
    for k in range(20):
        changed = replace(whole, jobs={"cold-tern": replace(whole.jobs["cold-tern"], title=str(k))})
        told.add(catalogue_hash(changed))
        del changed
    assert len(told) == 20


def test_engine_and_program_are_told() -> None:
    assert len(engine_hash()) == 32 and int(engine_hash(), 16) >= 0
    assert program_version()


@pytest.mark.parametrize(
    ("name", "matters"),
    [
        ("rates.py", True),
        ("instruments.py", True),
        ("workshop.py", True),
        ("actions.py", True),
        ("planting.py", True),
        ("daily_use.py", True),
        ("arrival.py", True),
        ("arrival_codes.py", True),
        ("consequences.py", True),
        ("watching.py", True),
        ("perception.py", True),
        ("session.py", True),
        ("openings.py", False),
        ("language.py", False),
    ],
)
def test_the_engine_is_all_that_decides_a_reading(monkeypatch: pytest.MonkeyPatch, name: str, matters: bool) -> None:
    read_bytes = Path.read_bytes

    def hash_where(change: Callable[[bytes], bytes]) -> str:
        def changed(path: Path) -> bytes:
            return change(read_bytes(path)) if path.name == name else read_bytes(path)

        with monkeypatch.context() as patch:
            patch.setattr(Path, "read_bytes", changed)
            return engine_hash.__wrapped__()

    assert (hash_where(lambda text: text + b"# changed") != engine_hash()) is matters
    assert hash_where(lambda text: text.replace(b"\n", b"\r\n")) == engine_hash()
