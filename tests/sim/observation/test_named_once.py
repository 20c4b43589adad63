"""Numbers that several parts of the program must agree on have one name each."""

from __future__ import annotations

import ast
import tokenize
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.observation.instruments import INSTRUMENTS, RED_FROM
from sim.observation.likelihood import Words

ROOT = Path(__file__).parents[3]
PACKAGES = ("sim", "scenarios", "grading", "tui")


def sources() -> Iterator[Path]:
    for package in PACKAGES:
        yield from sorted((ROOT / package).rglob("*.py"))


def test_where_the_red_begins_is_written_once() -> None:
    found = []
    for path in sources():
        with path.open("rb") as file:
            found += [path.name for token in tokenize.tokenize(file.readline) if token.string == str(RED_FROM)]
    assert found == ["instruments.py"]


@pytest.mark.parametrize("name", ["dash gauge", "glance at the gauge"])
def test_every_look_at_the_gauge_finds_the_red_there(name: str) -> None:
    gauge = INSTRUMENTS[name]
    assert isinstance(gauge, Words)
    assert gauge.words[-1] == "in the red"
    assert [gauge.show(gauge.step(RED_FROM + off)) == "in the red" for off in (-1e-9, 0.0)] == [False, True]


def _names_contact(node: ast.expr) -> bool:
    """Whether an expression is ``p.contact_of`` or ``p["contact_of"]``."""
    if isinstance(node, ast.Attribute):
        return node.attr == "contact_of"
    return isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Constant) and node.slice.value == "contact_of"


def test_what_a_loose_contact_sits_in_is_asked_by_name() -> None:
    """Only whether there is one at all is asked by number: half of the first, and none."""
    asked = []
    for path in sources():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Compare) and _names_contact(node.left):
                values = [other.value for other in node.comparators if isinstance(other, ast.Constant)]
                asked += [(path.name, value) for value in values if value != 0.5]
    assert asked == []
