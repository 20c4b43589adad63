"""Turning words into what Textual draws: cleaned, in the chosen units, never read as markup."""

from __future__ import annotations

from textual.content import Content

from scenarios.language import decimal
from tui.presentation.clean import clean_line
from tui.presentation.units import Units, in_units


def words(text: str, units: Units = "si", style: str = "") -> Content:
    """One line of plain text in these units and a style of our own."""
    return Content.styled(clean_line(in_units(text, units)), style)


def lines(*contents: Content) -> Content:
    """Contents below one another."""
    return Content("\n").join(contents)


def clock(minute: float, first_hour: int = 8) -> str:
    """Time of day at a minute of a job, jobs beginning at eight.

    >>> clock(75.5)
    '09:15'
    """
    whole = int(minute) + first_hour * 60
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}"


def took(minutes: float) -> str:
    """Minutes, short.

    >>> took(0.5), took(12.0)
    ('½ min', '12 min')
    """
    text = f"{minutes:.1f} min".replace(".0 ", " ").replace("0.5 ", "½ ").replace(".5 ", "½ ")
    return decimal(text)
