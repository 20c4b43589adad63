"""The lists of mutants fit the code as it stands, and the runner tells what was caught from what was not."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

from tests.studies.mutants import ROOT, Mutant, WrongList, chosen, lists, main, mutated, study

KNOWN = lists()
EVERY = [mutant for mutants in KNOWN.values() for mutant in mutants]


@cache
def functions_of(file: str) -> set[str]:
    """Names of the functions of a test file."""
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    return {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


@pytest.mark.parametrize("file", sorted({mutant.file for mutant in EVERY}))
def test_a_mutant_changes_one_place_and_names_tests_that_exist(file: str) -> None:
    text = (ROOT / file).read_text(encoding="utf-8")
    meaning = compile(text, file, "exec")
    for mutant in EVERY:
        if mutant.file == file:
            assert compile(mutated(text, mutant), file, "exec") != meaning, mutant.name
            assert mutant.tests, mutant.name
            for test in mutant.tests:
                test_file, *names = test.split("::")
                assert {name.partition("[")[0] for name in names} <= functions_of(test_file), mutant.name


def test_each_mutant_has_a_name_of_its_own() -> None:
    names = [mutant.name for mutant in EVERY]
    assert len(set(names)) == len(names)


CODE = "def double(x):\n    return 2 * x\n\n\ndef half(x):\n    return x / 2\n"
TESTS = """from code_of_it import double, half


def test_double():
    assert double(3) == 6


def test_half():
    assert half(0) == 0
"""
CAUGHT = Mutant("code_of_it.py", "2 * x", "3 * x", "treble", ("test_it.py::test_double",))
MISSED = Mutant("code_of_it.py", "x / 2", "x / 3", "a third", ("test_it.py",))


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    root = tmp_path / "root"
    root.mkdir()
    (root / "code_of_it.py").write_text(CODE, encoding="utf-8")
    (root / "test_it.py").write_text(TESTS, encoding="utf-8")
    return root


def test_a_survivor_is_told_from_what_was_caught(tree: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert study([CAUGHT, MISSED], tree) == [MISSED]
    assert capsys.readouterr().out.splitlines()[1:] == [
        "caught    code_of_it.py: treble",
        "SURVIVED  code_of_it.py: a third",
        "caught 1 of 2, 50%",
    ]
    assert (tree / "code_of_it.py").read_text(encoding="utf-8") == CODE


def test_tests_that_do_not_pass_to_begin_with_catch_nothing(tree: Path) -> None:
    (tree / "code_of_it.py").write_text(CODE.replace("2 * x", "x"), encoding="utf-8")
    with pytest.raises(WrongList, match="do not pass as the tree stands"):
        study([MISSED], tree)


@pytest.mark.parametrize(("old", "found"), [("4 * x", 0), ("return", 2)])
def test_a_text_that_does_not_stand_there_once_is_refused(old: str, found: int) -> None:
    with pytest.raises(WrongList, match=f"stands there {found} times, expected once"):
        mutated(CODE, CAUGHT._replace(old=old))


def test_a_mutant_may_be_chosen_by_its_name_its_file_or_its_list() -> None:
    known = {"mutants_a": (CAUGHT,), "mutants_b": (MISSED, MISSED._replace(file="other.py", name="other"))}
    assert chosen(known, ["treble"]) == chosen(known, ["mutants_a"]) == [CAUGHT]
    assert chosen(known, ["code_of_it.py"]) == [CAUGHT, MISSED]
    assert len(chosen(known, [])) == 3
    with pytest.raises(WrongList, match="no mutant 'trebel', expected"):
        chosen(known, ["trebel"])


def test_the_command_names_them_and_refuses_what_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--list"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == len(EVERY)
    assert main(["--only", "no such mutant"]) == 2
    assert "expected" in capsys.readouterr().err
