"""Every public law of physics states its units and its source."""

import ast
import re
from pathlib import Path

import pytest

import sim

FOLDER = Path(sim.__file__).parent
UNIT = re.compile(r"\[[^\[\]]+\]")
SOURCE = re.compile(r"\bSource:|\bsource as `")
"""A source, or the law that states it."""


def _is_jit(decorator: ast.expr) -> bool:
    return isinstance(decorator, ast.Name) and decorator.id == "jit"


def shortfalls(source: str) -> list[str]:
    """What the docstrings of the public laws in `source` lack."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if (
            isinstance(node, ast.FunctionDef)
            and not node.name.startswith("_")
            and any(map(_is_jit, node.decorator_list))
        ):
            text = ast.get_docstring(node) or ""
            # One that returns nothing fills a record, whose fields state their units where the record is defined.
            returns_nothing = isinstance(node.returns, ast.Constant) and node.returns.value is None
            if not returns_nothing and not UNIT.search(text):
                found.append(f"{node.name}: no unit in [brackets]")
            if not SOURCE.search(text):
                found.append(f"{node.name}: no 'Source:'")
    return found


@pytest.mark.parametrize("module", sorted(FOLDER.rglob("*.py")), ids=lambda path: path.relative_to(FOLDER).as_posix())
def test_public_laws_state_unit_and_source(module: Path) -> None:
    assert shortfalls(module.read_text(encoding="utf-8")) == []


def test_a_law_without_them_is_found() -> None:
    bare = '@jit\ndef flow(x: float) -> float:\n    """Flow."""\n    return x\n'
    assert shortfalls(bare) == ["flow: no unit in [brackets]", "flow: no 'Source:'"]
    assert shortfalls(bare.replace("Flow.", "Flow [L/min]. Source: none.")) == []
    assert shortfalls(bare.replace("Flow.", "Flow [L/min]; source as `leak`.")) == []
    assert shortfalls(bare.replace("-> float", "-> None")) == ["flow: no 'Source:'"]
    assert shortfalls(bare.replace("flow", "_flow")) == []
