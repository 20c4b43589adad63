"""Lukewarm against every published value, and the page that shows them."""

import re
from collections import Counter

import pytest

from tests.published.page import PAGE, render
from tests.published.value import PublishedValue
from tests.published.values import VALUES

LAST_DIGIT = 1.01
"""By how many units of its last shown digit a number of the page may differ [-]: another machine rounds its own way."""


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.key)
def test_value_is_met(value: PublishedValue) -> None:
    assert value.tolerance > 0.0
    assert value.compute() == pytest.approx(value.expected, rel=0.0, abs=value.tolerance)


def test_keys_are_unique_and_name_a_section() -> None:
    assert [key for key, count in Counter(value.key for value in VALUES).items() if count > 1] == []
    assert [value.key for value in VALUES if not re.fullmatch(r"[^/]+/[^/]+", value.key)] == []


NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?(?:e[-+]\d+)?")


def _last_digit(text: str) -> float:
    digits, _, exponent = text.partition("e")
    return 10.0 ** (int(exponent or 0) - len(digits.partition(".")[2]))


def test_page_is_up_to_date() -> None:
    committed, fresh = PAGE.read_text(encoding="utf-8"), render()
    # The deviation is a small difference of two large numbers, so it is left to `test_value_is_met`.
    column = re.compile(r"\| [-+][^|]*(?=\| ±)")
    committed, fresh = column.sub("", committed), column.sub("", fresh)
    hint = "run `python -m tests.published.page`"
    assert NUMBER.sub("#", committed) == NUMBER.sub("#", fresh), hint
    for old, new in zip(NUMBER.findall(committed), NUMBER.findall(fresh), strict=True):
        assert abs(float(old) - float(new)) <= LAST_DIGIT * max(_last_digit(old), _last_digit(new)), hint
