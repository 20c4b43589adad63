"""Every value from outside the project that Lukewarm is held against, in one list.

A module beside this one whose name begins with `values_` and that holds a list `VALUES` is found by itself. It takes
`PublishedValue` from `tests.published.value`, for this module imports it.
"""

from importlib import import_module
from pathlib import Path

from tests.published.value import PublishedValue

VALUES: list[PublishedValue] = [
    value
    for module in sorted(Path(__file__).parent.glob("values_*.py"))
    for value in import_module(f"tests.published.{module.stem}").VALUES
]
