"""The working copy of the mutation study, and its report."""

from __future__ import annotations

from pathlib import Path

import pytest

import tests.studies.mutation as mutation
from tests.studies.mutation import Part, bring_up_to_date, changes, configure, report

SOURCE = '''"""A module."""


class Shop:
    def walk(self, place):
        if place > 1:
            return place
        return "home"


def _double(x):
    return 2 * x
'''
MADE = """class Shop:
    def xǁShopǁwalk__mutmut_orig(self, place):
        if place > 1:
            return place
        return "home"

    def xǁShopǁwalk__mutmut_1(self, place):
        if place >= 1:
            return place
        return "home"

    def xǁShopǁwalk__mutmut_2(self, place):
        if place > 1:
            return place
        return "XXhomeXX"


def x__double__mutmut_orig(x):
    return 2 * x


def x__double__mutmut_1(x):
    return 2 / x
"""


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of a small tree with files as mutmut generates them."""
    for name, text in {"root/sim/shop.py": SOURCE, "root/sim/data.yaml": "a: 1\n", "root/README.md": "words\n"}.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    monkeypatch.setattr(mutation, "ROOT", tmp_path / "root")
    monkeypatch.setattr(mutation, "COPIED", ("sim", "README.md"))
    assert bring_up_to_date(tmp_path / "copy")
    made = tmp_path / "copy" / "mutants" / "sim"
    made.mkdir(parents=True)
    (made / "shop.py").write_text(MADE, encoding="utf-8")
    (made / "data.yaml").write_text("a: 1\n", encoding="utf-8")
    return tmp_path / "copy"


def test_bring_up_to_date(copy: Path) -> None:
    root = mutation.ROOT
    assert not bring_up_to_date(copy)
    (root / "sim" / "data.yaml").write_text("a: 2\n", encoding="utf-8")
    (root / "sim" / "shop.py").write_text(SOURCE + "\n", encoding="utf-8")
    (root / "sim" / "__pycache__").mkdir()
    (root / "sim" / "__pycache__" / "shop.pyc").write_text("", encoding="utf-8")
    assert bring_up_to_date(copy)
    assert (copy / "sim" / "data.yaml").read_text(encoding="utf-8") == "a: 2\n"
    assert (copy / "mutants" / "sim" / "data.yaml").read_text(encoding="utf-8") == "a: 2\n"
    assert (copy / "mutants" / "sim" / "shop.py").read_text(encoding="utf-8") == MADE
    assert not (copy / "sim" / "__pycache__").exists()
    (root / "sim" / "data.yaml").unlink()
    assert bring_up_to_date(copy)
    assert not (copy / "sim" / "data.yaml").exists()
    assert not (copy / "mutants" / "sim" / "data.yaml").exists()
    assert not bring_up_to_date(copy)


def test_configure(copy: Path) -> None:
    part = Part(("sim/shop.py",), ("tests/a.py", "tests/b.py"), ("tests/b.py::test_slow",))
    assert configure(copy, part, part.tests)
    assert not configure(copy, part, part.tests)
    told = (copy / "setup.cfg").read_text(encoding="utf-8")
    assert "only_mutate =\n    sim/shop.py\n" in told
    assert f"pytest_add_cli_args_test_selection =\n    {mutation.COMPILES}\n    tests/a.py\n    tests/b.py\n" in told
    assert "    --deselect=tests/b.py::test_slow\n" in told
    assert configure(copy, part, ("tests/c.py",))


STATUSES = {
    "sim.shop.xǁShopǁwalk__mutmut_1": "survived",
    "sim.shop.xǁShopǁwalk__mutmut_2": "survived",
    "sim.shop.x__double__mutmut_1": "timeout",
}


def test_changes(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mutation, "statuses", lambda _copy: STATUSES)
    told = [(one.file, one.line, one.old, one.new, one.text, one.status) for one in changes(copy)]
    assert told == [
        ("sim/shop.py", 6, "if place > 1:", "if place >= 1:", False, "survived"),
        ("sim/shop.py", 8, 'return "home"', 'return "XXhomeXX"', True, "survived"),
        ("sim/shop.py", 12, "return 2 * x", "return 2 / x", False, "timeout"),
    ]


def test_report(copy: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(mutation, "statuses", lambda _copy: STATUSES)
    found = list(changes(copy))
    report("shop", found)
    assert capsys.readouterr().out == (
        "shop: 50.0 % of 2 changes noticed (1 by timeout), 1 survived\n"
        "shop: 0.0 % of 1 string literals noticed, 1 survived\n"
        "  survived: sim/shop.py:6 (survived, xǁShopǁwalk__mutmut_1)\n"
        "    - if place > 1:\n"
        "    + if place >= 1:\n"
        "  survived, string literals: sim/shop.py:8 (survived, xǁShopǁwalk__mutmut_2)\n"
        '    - return "home"\n'
        '    + return "XXhomeXX"\n'
    )
    monkeypatch.setattr(mutation, "statuses", lambda _copy: STATUSES | {"sim.shop.x__double__mutmut_1": "not checked"})
    report("shop", list(changes(copy)))
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "shop: 0.0 % of 1 changes noticed, 1 survived"
    assert said[2] == "shop: 1 of 3 not tried yet"
