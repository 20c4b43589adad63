"""Text from files and people is made safe to show."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from tui.presentation.clean import clean


@given(st.text())
def test_nothing_unseen_comes_through(text: str) -> None:
    assert all(not unicodedata.category(mark).startswith("C") for mark in clean(text))


@given(st.text())
def test_cleaning_twice_changes_nothing(text: str) -> None:
    assert clean(clean(text)) == clean(text)


def test_what_can_be_read_stays() -> None:
    assert clean("Größe: 60 °C — ça va? 日本語") == "Größe: 60 °C — ça va? 日本語"
