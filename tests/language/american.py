"""American English: word for word from a table, from which ``tests.language.update`` makes the texts that differ.

A word here is bounded by anything but letters and hyphens, and keeps its capital. Longer entries come first. What a
table cannot say stands in ``lukewarm.po`` with the comment ``# by hand`` above it, and is kept.
"""

from __future__ import annotations

import re

BY_HAND = "by hand"
"""Translator's comment of an entry that no table makes."""

TABLE = {
    # the vehicle
    "bonnet": "hood",
    "windscreen": "windshield",
    "petrol": "gasoline",
    "saloon": "sedan",
    "an estate with": "a wagon with",
    "tyre": "tire",
    "tyres": "tires",
    "left wing": "left fender",
    "right wing": "right fender",
    "headlamp": "headlight",
    "bulkhead": "firewall",
    "scuttle": "cowl",
    "foot well": "footwell",
    "foot wells": "footwells",
    "handbrake": "parking brake",
    "rev counter": "tachometer",
    "engine lamp": "check engine light",
    "charge lamp": "charge light",
    "temperature lamp": "temperature light",
    "warning lamp": "warning light",
    "yellow lamp": "yellow light",
    "the lamp of": "the light for",
    "battery is flat": "battery is dead",
    "battery was flat": "battery was dead",
    "a flat 12 V battery": "a dead 12 V battery",
    "the negative lead": "the negative cable",
    # air
    "to the screen": "to the windshield",
    "at the screen": "at the windshield",
    "a screen that does not clear": "a windshield that does not clear",
    "on screen and on": "on defrost and on",
    "set to screen": "set to defrost",
    "floor, face, screen": "floor, face, defrost",
    "mist": "fog",
    "mists": "fogs",
    "misted": "fogged",
    "misting": "fogging",
    "demisted": "defogged",
    # tools and papers
    "torch": "flashlight",
    "test lamp": "test light",
    "lamp, mirror": "work light, mirror",
    "fused lead": "fused jumper wire",
    "handbook": "manual",
    "the vehicle's manual": "the service manual",
    # roads, places, people
    "motorway": "freeway",
    "filling station": "gas station",
    "queue": "line",
    "in a flat without a socket": "in an apartment without an outlet",
    "another garage": "another shop",
    "the last garage": "the last shop",
    "a garage told": "a shop told",
    "the garage said": "the shop said",
    "the garage wrote": "the shop wrote",
    "the garage where": "the shop where",
    "another workshop": "another shop",
    "autumn": "fall",
    "in autumn": "in the fall",
    "before the holidays": "before vacation",
    "holiday maker": "vacationer",
    "postman": "mail carrier",
    "pub landlady": "bar owner",
    "pub landlord": "bar owner",
    "school caretaker": "school janitor",
    "nursery teacher": "preschool teacher",
    "carer": "caregiver",
    "optician": "optometrist",
    "solicitor": "attorney",
    "estate agent": "real-estate agent",
    "shop assistant": "sales clerk",
    "to a mate": "to a buddy",
    # spelling
    "litre": "liter",
    "litres": "liters",
    "kilometres": "kilometers",
    "centre": "center",
    "colour": "color",
    "colours": "colors",
    "coloured": "colored",
    "discoloured": "discolored",
    "labours": "labors",
    "labouring": "laboring",
    "neighbour": "neighbor",
    "grey": "gray",
    "licence": "license",
    "practise": "practice",
    "catalogue": "catalog",
    "cosy": "cozy",
    "burnt": "burned",
    "smelt": "smelled",
    "spilt": "spilled",
    "towards": "toward",
    "afterwards": "afterward",
    # use
    "dear": "costly",
    "look round": "look around",
    "worked round": "worked around",
    "stands round": "stands around",
    "follow it round": "follow it around",
    "wrong way round": "wrong way around",
}
"""British to American, in small letters."""

_PATTERN = re.compile(
    r"(?<![\w{-])(?:" + "|".join(map(re.escape, sorted(TABLE, key=len, reverse=True))) + r")(?![\w-])", re.IGNORECASE
)


def american(text: str) -> str:
    """The text with the words of the table in their American form.

    >>> american("Bonnet open, windscreen clear, tyres cold: my-tyre")
    'Hood open, windshield clear, tires cold: my-tyre'
    """
    return _PATTERN.sub(_in_its_case, text)


def british(text: str) -> list[str]:
    """Words of the table that are in a text in their British form."""
    return _PATTERN.findall(text)


def _in_its_case(found: re.Match[str]) -> str:
    word = TABLE.get(found[0]) or TABLE[found[0].lower()]
    return word[0].upper() + word[1:] if found[0][0].isupper() else word
