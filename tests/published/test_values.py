"""Lukewarm against every published value, and the page that shows them."""

import math
import re
from collections import Counter

import pytest

from tests.published.page import PAGE, render
from tests.published.value import PublishedValue
from tests.published.values import VALUES

SHOWN = 0.1
"""Share of a value's tolerance by which the page's figure may differ [-]: another machine rounds its own way."""


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.key)
def test_value_is_met(value: PublishedValue) -> None:
    assert value.tolerance > 0.0
    assert value.compute() == pytest.approx(value.expected, rel=0.0, abs=value.tolerance)


def test_keys_are_unique_and_name_a_section() -> None:
    assert [key for key, count in Counter(value.key for value in VALUES).items() if count > 1] == []
    assert [value.key for value in VALUES if not re.fullmatch(r"[^/]+/[^/]+", value.key)] == []


def _apart(page: str) -> tuple[list[str], list[float]]:
    """The page without what the model gives, and what it gives, row by row."""
    kept, given = [], []
    for line in page.splitlines():
        cells = line.split(" | ")
        if len(cells) == 8 and cells[7].startswith("±"):
            given.append(float(cells[5]))
            line = " | ".join([*cells[:5], cells[7]])
        kept.append(line)
    return kept, given


def test_page_is_up_to_date() -> None:
    hint = "run `python -m tests.published.page`"
    (kept, given), (fresh_kept, fresh) = _apart(PAGE.read_text(encoding="utf-8")), _apart(render())
    assert kept == fresh_kept, hint
    in_order = sorted(VALUES, key=lambda value: value.key.split("/", maxsplit=1)[0])
    for value, old, new in zip(in_order, given, fresh, strict=True):
        rounding = 10.0 ** (math.floor(math.log10(max(abs(new), 1e-9))) - 3)
        assert abs(old - new) <= max(SHOWN * value.tolerance, 1.01 * rounding), f"{value.key}: {hint}"
