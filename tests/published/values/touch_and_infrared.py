"""A hand and an infrared thermometer against figures worked out from textbook laws, and ISO 13732-1."""

from functools import partial

from sim.observation import responses, touch
from tests.published.value import PublishedValue

CONTACT = 1.0
"""Tolerance of contact temperature [K]: the source is rounded to a degree, its effusivities are recalled."""
BURN = 1.0
"""Tolerance of a burn threshold [K]: the source gives whole degrees."""
SHOWN = 0.5
"""Tolerance of an infrared reading [K]: the source is rounded to a degree."""


def _contact(material: str, expected: float) -> PublishedValue:
    return PublishedValue(
        key=f"touch and infrared/contact, {material}",
        what=f"skin of 33 °C on {material} of 80 °C",
        source="contact of two semi-infinite bodies, effusivities recalled",
        letter="M",
        expected=expected,
        unit="°C",
        tolerance=CONTACT,
        compute=partial(touch.contact_temperature, 80.0, 33.0, touch.EFFUSIVITY[material]),
    )


def _burn(time: float, expected: float, tolerance: float) -> PublishedValue:
    return PublishedValue(
        key=f"touch and infrared/burn, {time:g} s",
        what=f"burn threshold of bare metal, {time:g} s",
        source="ISO 13732-1",
        letter="M",
        expected=expected,
        unit="°C",
        tolerance=tolerance,
        compute=partial(touch.burn_threshold, time, True),
    )


def _shown(emissivity: float, expected: float) -> PublishedValue:
    return PublishedValue(
        key=f"touch and infrared/reading at {emissivity:.2f}",
        what=f"reading, surface 90 °C of emissivity {emissivity:.2f}, setting 0.95, surroundings 20 °C",
        source="balance of T^4, worked out apart from Lukewarm",
        letter="C",
        expected=expected,
        unit="°C",
        tolerance=SHOWN,
        compute=partial(responses.apparent_temperature, 90.0, emissivity, 0.95, 20.0),
    )


VALUES = [
    _contact("rubber", 52.0),
    _contact("aluminium", 77.0),
    _burn(1.0, 67.5, 2.5),  # the standard's band from 65 to 70
    _burn(60.0, 51.0, BURN),
    _burn(600.0, 48.0, BURN),
    *(_shown(e, t) for e, t in ((0.90, 87.0), (0.60, 69.0), (0.30, 47.0), (0.10, 30.0), (0.05, 25.0))),
]
