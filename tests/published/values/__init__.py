"""Every value from outside the project that Lukewarm is held against, in one list.

Each module of this folder holds a list `VALUES` of `PublishedValue`.
"""

from importlib import import_module
from pathlib import Path

from tests.published.value import PublishedValue

VALUES: list[PublishedValue] = [
    value
    for module in sorted(Path(__file__).parent.glob("[a-z]*.py"))
    for value in import_module(f"tests.published.values.{module.stem}").VALUES
]
