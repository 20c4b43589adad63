"""The JSON Schema agrees with the loader: on every packaged entry, and on thousands of damaged ones."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import scenarios
from scenarios.files.cross_references import names_of_physics
from scenarios.files.data_error import DataError
from scenarios.files.entry import Entry, LoadContext
from scenarios.files.layout import KINDS
from scenarios.files.loader import READERS, load_catalogue
from scenarios.files.schema import DIALECT, schema_of, whole_schema
from scenarios.files.strict_yaml import load, parse
from tests.packaged import packaged_catalogue

Run = Callable[..., tuple[int, str, str]]
Validators = dict[str, Draft202012Validator]
DATA = Path(scenarios.__file__).with_name("data")
MUTANTS = 60
"""Of each kind."""
STRANGE = (None, True, -1e9, 1e30, "", "Strange Text", "x" * 3000, [], [[]], {}, {"strange": 1}, ["strange", "strange"])


@pytest.fixture(scope="module")
def validators() -> Validators:
    catalogue = packaged_catalogue()
    return {kind: Draft202012Validator(schema_of(kind, catalogue)) for kind in KINDS}


def packaged(kind: str) -> list[Any]:
    """Every packaged entry of a kind, as plain values."""
    found: list[Any] = []
    for file in sorted((DATA / kind).iterdir()):
        plain: Any = load(file).plain()
        found += plain if isinstance(plain, list) else [plain]
    return found


def loader_accepts(kind: str, entry: Any) -> bool:
    """Whether the loader finds nothing wrong with an entry taken by itself."""
    context = LoadContext()
    known = names_of_physics()
    with context.problems:
        taken = Entry(parse(json.dumps(entry), "entry"), context)
        READERS[kind](taken)
        taken.done()
    unknown = [one for one in context.references if one.kind in known and one.name not in known[one.kind]]
    return not context.problems.errors and not unknown


def places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every container and key in a value."""
    if isinstance(value, dict | list):
        for key in list(value) if isinstance(value, dict) else range(len(value)):
            yield value, key
            yield from places(value[key])


def damaged(entry: Any, chance: random.Random) -> Any:
    """An entry with one thing changed: a value replaced, a key left out or added."""
    entry = copy.deepcopy(entry)
    holder, key = chance.choice(list(places(entry)))
    kind = chance.randrange(4)
    if kind == 0:
        del holder[key]
    elif kind == 1 and isinstance(holder, dict):
        holder["strange-key"] = 1
    else:
        holder[key] = chance.choice(STRANGE)
    return entry


@pytest.mark.parametrize("kind", KINDS)
def test_packaged_files_are_valid(kind: str, validators: Validators) -> None:
    for file in sorted((DATA / kind).iterdir()):
        errors = [error.message for error in validators[kind].iter_errors(load(file).plain())]
        assert not errors, (file.name, errors)


@pytest.mark.parametrize("kind", KINDS)
def test_damaged_entries_are_invalid_where_the_loader_refuses_them(kind: str, validators: Validators) -> None:
    chance, entries, refused = random.Random(kind), packaged(kind), 0
    for _ in range(MUTANTS):
        entry = damaged(chance.choice(entries), chance)
        accepted = loader_accepts(kind, entry)
        refused += not accepted
        assert validators[kind].is_valid(entry) == accepted, entry
        assert validators[kind].is_valid([entry]) == accepted
    assert refused > MUTANTS // 3


@pytest.mark.parametrize(
    ("kind", "old", "new"),
    [
        ("faults", '"to": 0.02', '"to": 7'),
        ("faults", '"to": 0.02', '"factor": 0.5, "to": 0.02'),
        ("faults", '"to": 0.02, ', ""),
        ("faults", '"valve_linkage"', '"valve_linkige"'),
        ("faults", '"rate": 3', '"rate": 0'),
        ("checks", '"valve stem travel"', '"valve stem trvel"'),
        ("checks", '"engine bay"', '"boot"'),
        ("jobs", '"faults": [{"fault": "cable-clip-slipped", "severity": 0.95}], ', ""),
        ("jobs", '"difficulty": 2', '"difficulty": 7'),
        ("jobs", '"Orchard lane"', r'"Orchard\nlane"'),
    ],
)
def test_common_slips_are_invalid(kind: str, old: str, new: str, starter: Path, validators: Validators) -> None:
    (file,) = (starter / kind).iterdir()
    whole: Any = load(file).plain()
    entry = whole[0] if isinstance(whole, list) else whole
    if kind == "faults":
        entry["changes"][0]["chance"] = 1.0
    text = json.dumps(entry)
    assert validators[kind].is_valid(json.loads(text)) and old in text, text
    assert not validators[kind].is_valid(json.loads(text.replace(old, new, 1)))
    assert not loader_accepts(kind, json.loads(text.replace(old, new, 1)))


def test_ids_and_meanings_are_offered(starter: Path) -> None:
    job = schema_of("jobs", load_catalogue(starter))["else"]
    assert "hatch" in job["properties"]["vehicle"]["anyOf"][0]["enum"]
    planted = job["properties"]["faults"]["items"]
    assert "cable-clip-slipped" in planted["properties"]["fault"]["anyOf"][0]["enum"]
    assert planted["required"] == ["fault"] and "faults" in job["required"]
    opens = schema_of("vehicles", packaged_catalogue())["else"]["properties"]["parameters"]["properties"]["opens_C"]
    assert opens == {
        "description": "thermostat begins to open [degC]", "default": 85.0,
        "type": "number", "minimum": -60.0, "maximum": 200.0,
    }  # fmt: skip


def test_the_command_writes_schemas_that_are_valid_themselves(tmp_path: Path, lukewarm: Run) -> None:
    status, output, _ = lukewarm("author", "schema")
    schema = json.loads(output)
    assert status == 0 and schema["$schema"] == DIALECT
    Draft202012Validator.check_schema(schema)
    (vehicle,) = packaged("vehicles")[:1]
    assert Draft202012Validator(schema).is_valid(vehicle) and not Draft202012Validator(schema).is_valid({"id": "x"})
    assert schema == json.loads(json.dumps(whole_schema(packaged_catalogue())))
    assert lukewarm("author", "schema", "--into", str(tmp_path / "schema"))[0] == 0
    assert {file.stem for file in (tmp_path / "schema").iterdir()} == set(KINDS)
    assert json.loads(lukewarm("author", "schema", "jobs")[1]) == json.loads(
        (tmp_path / "schema" / "jobs.json").read_text(encoding="utf-8")
    )
    assert lukewarm("author", "schema", "jobs", "--into", str(tmp_path))[0] == 2


def test_a_strange_value_is_no_surprise_to_the_loader() -> None:
    for kind in KINDS:
        for strange in STRANGE:
            try:
                assert not loader_accepts(kind, strange)
            except DataError as error:
                assert error.errors
