"""Units on display. Inside all is in degrees Celsius and kilopascals; only what is shown is ever converted."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Literal

Units = Literal["si", "us"]

# Words, not compiled patterns: they are needed only where degrees Fahrenheit are shown.
_NUMBER = r"[-−]?\d+(?:[.,]\d+)?"
_BETWEEN = r" to | and | bis | und |–|-"  # in every language spoken
_CELSIUS = rf"({_NUMBER})(?:({_BETWEEN})({_NUMBER}))? ?°C"
_KILOPASCAL = rf"({_NUMBER})(?:({_BETWEEN})({_NUMBER}))? ?kPa\b"


def fahrenheit(celsius: float) -> float:
    """Temperature [degF] of one in [degC]. Source: definition.

    >>> fahrenheit(100.0)
    212.0
    """
    return celsius * 1.8 + 32.0


def psi(kilopascal: float) -> float:
    """Pressure [psi] of one in [kPa]. Source: definition of the pound-force per square inch, 6.894757 kPa.

    >>> psi(100.0)
    14.504
    """
    return kilopascal / 6.894757


def in_units(text: str, units: Units) -> str:
    """The text with its temperatures and pressures in these units.

    >>> in_units("60 to 70 °C, cap 110 kPa, -5 °C outside", "us")
    '140 to 158 °F, cap 16 psi, 23 °F outside'
    """
    if units == "si":
        return text
    text = re.sub(_CELSIUS, lambda found: _converted(found, fahrenheit, "°F"), text)
    return re.sub(_KILOPASCAL, lambda found: _converted(found, psi, "psi"), text)


def _converted(match: re.Match[str], law: Callable[[float], float], unit: str) -> str:
    first, between, second = match.groups()
    figures = [f"{law(float(figure.replace('−', '-').replace(',', '.'))):.0f}" for figure in (first, second) if figure]
    return (between or "").join(figures) + f" {unit}"


def temperature(celsius: float, units: Units) -> str:
    """A temperature [degC] in words.

    >>> temperature(-5.0, "us")
    '23 °F'
    """
    return in_units(f"{celsius:.0f} °C", units)
