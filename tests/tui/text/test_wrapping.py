"""Lines in a terminal are broken between words; elsewhere they stay as they are."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tui.text.phrases import PHRASES
from tui.text.wrapping import HANGING, NARROWEST, wrapped, write

LONG = "The blower runs and the air stays cold whatever is set, so look at coolant, thermostat and blend-door first."


class Terminal(StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture(autouse=True)
def narrow(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")


def test_a_terminal_gets_lines_that_fit() -> None:
    sink = Terminal()
    write([LONG, "Short."], sink)
    told = sink.getvalue().splitlines()
    assert len(told) > 3 and max(map(len, told)) <= 40
    assert " ".join(told) == f"{LONG} Short."


def test_what_is_no_terminal_gets_lines_as_they_are() -> None:
    sink = StringIO()
    write([LONG, "  Short."], sink)
    assert sink.getvalue() == f"{LONG}\n  Short.\n"


@pytest.mark.parametrize("line", [f"  {LONG}", f"3. {LONG}", f"check ID: {LONG}"])
def test_entries_of_lists_hang(line: str) -> None:
    first, *others = wrapped(line, 40)
    start = len(line) - len(line.lstrip())
    assert others and all(part.startswith(" " * (start + HANGING)) for part in others)
    assert first.startswith(line[:8])


def test_paragraphs_do_not_hang() -> None:
    assert not any(part.startswith(" ") for part in wrapped(LONG, 40))


def test_ids_and_paths_stay_whole() -> None:
    path = str(Path.cwd().joinpath(*["a-folder-with-a-name"] * 4))
    assert path in wrapped(f"The record is kept: {path}", 40)


def test_phrases_of_help_fit() -> None:
    for phrase in PHRASES.values():
        parts = wrapped(f"{phrase.usage}: {phrase.does}.", 80)
        assert max(map(len, parts)) <= 80


@given(st.lists(st.text("abcé-.", min_size=1, max_size=15), min_size=1, max_size=40), st.integers(1, 120))
def test_no_word_is_lost_or_broken(words: list[str], columns: int) -> None:
    line = " ".join(words)
    parts = wrapped(line, columns)
    assert " ".join(parts).split() == line.split()
    longest = max(map(len, words)) + HANGING
    assert max(map(len, parts)) <= max(columns, NARROWEST, longest)
