"""What the word before a vehicle's number asks for: a system, a complaint, how hard, or one of two faults."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from scenarios.files.cross_references import HEALTHY
from scenarios.language import N_, say
from scenarios.model import COMPLAINTS, SYSTEMS, Catalogue
from scenarios.wrong_use import WrongUse

SYSTEM_WORDS = {name.replace(" ", "-"): name for name in SYSTEMS[:-1]}
"""How a system is typed, and its name."""
COMPLAINT_WORDS = {name.replace(" ", "-"): name for name in COMPLAINTS}
"""How a complaint is typed, and its key in COMPLAINTS."""
BANDS = {N_("easy"): (1, 2), N_("medium"): (3, 3), N_("hard"): (4, 5)}
"""How hard, as it is typed, and the least and greatest difficulty of such jobs."""
PAIR = "pair"
"""Before the code of two faults."""
EVERY = (1, 5)
_LETTERS = "bcdfghjklmnpqrstvwxz"
"""Letters of a code: without vowels, so that it spells nothing."""
_CODE_LETTERS = 6


@dataclass(frozen=True)
class Narrowing:
    """What a number asks for; each field is empty, or ``EVERY``, where it asks for nothing of the kind.

    system: of the fault; complaint: a key of COMPLAINTS; difficulty: least and greatest; faults: ids, one of which the
    vehicle has, HEALTHY standing for none.
    """

    system: str = ""
    complaint: str = ""
    difficulty: tuple[int, int] = EVERY
    faults: tuple[str, ...] = ()


def pair_word(pair: Iterable[str]) -> str:
    """The word for one of two faults, in whichever order they are given. It hides which they are.

    >>> pair_word(["thermostat-stuck-open", "coolant-low"])
    'pair-nwxqtd'
    """
    digest = hashlib.blake2b(" ".join(sorted(pair)).encode(), digest_size=8).digest()
    number, code = int.from_bytes(digest, "big"), ""
    for _place in range(_CODE_LETTERS):
        number, letter = divmod(number, len(_LETTERS))
        code += _LETTERS[letter]
    return f"{PAIR}-{code}"


def is_word(word: str) -> bool:
    """Whether a word can stand before a number; the code of a pair is looked up when its vehicle is drawn."""
    code = word.removeprefix(f"{PAIR}-")
    if code != word:
        return len(code) == _CODE_LETTERS and set(code) <= set(_LETTERS)
    return word in SYSTEM_WORDS or word in COMPLAINT_WORDS or word in BANDS


def narrowing(catalogue: Catalogue, word: str) -> Narrowing:
    """What a word asks for, nothing where it is empty. Raises WrongUse for a pair that the catalogue does not have."""
    if word.startswith(f"{PAIR}-"):
        pairs = combinations(sorted(catalogue.faults), 2)
        found = next((pair for pair in pairs if pair_word(pair) == word), None)
        if found is None:
            raise WrongUse(say("{word} stands for two faults that this version does not have", word=word))
        return Narrowing(faults=found)
    return Narrowing(
        system=SYSTEM_WORDS.get(word, ""),
        complaint=COMPLAINT_WORDS.get(word, ""),
        difficulty=BANDS.get(word, EVERY),
    )


def shared_complaints(catalogue: Catalogue, faults: Iterable[str]) -> frozenset[str]:
    """Complaints that each of some faults is known for: one of these gives none of them away. Empty for no faults."""
    known = [catalogue.faults[name].shows for name in faults]
    return frozenset(known[0]).intersection(*known[1:]) if known else frozenset()


def can_come_with(catalogue: Catalogue, complaint: str) -> frozenset[str]:
    """Ids of the faults that a complaint is known for, HEALTHY among them where use alone brings it."""
    return frozenset(fault.id for fault in catalogue.faults.values() if complaint in fault.shows)


def healthy(name: str) -> bool:
    """Whether a fault's id stands for a sound vehicle."""
    return name == HEALTHY
