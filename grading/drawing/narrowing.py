"""The word before a vehicle's number, which narrows the draw to a system, a complaint, a difficulty or two faults."""

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
"""Word for a system to its name."""
COMPLAINT_WORDS = {name.replace(" ", "-"): name for name in COMPLAINTS}
"""Word for a complaint to its key in COMPLAINTS."""
BANDS = {N_("easy"): (1, 2), N_("medium"): (3, 3), N_("hard"): (4, 5)}
"""Word for a difficulty to the lowest and highest difficulty of such jobs."""
PAIR = "pair"
"""Prefix of the code of two faults."""
EVERY = (1, 5)
_LETTERS = "bcdfghjklmnpqrstvwxz"
"""Letters of a code, without vowels so that no word results."""
_CODE_LETTERS = 6


@dataclass(frozen=True)
class Narrowing:
    """Restrictions on a draw; a field that does not restrict it is empty or ``EVERY``.

    system: of the fault; complaint: a key of COMPLAINTS; difficulty: lowest and highest; faults: ids, one of which the
    vehicle has; HEALTHY means no fault.
    """

    system: str = ""
    complaint: str = ""
    difficulty: tuple[int, int] = EVERY
    faults: tuple[str, ...] = ()


def pair_word(pair: Iterable[str]) -> str:
    """The word for two faults in either order. It does not reveal which they are.

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
    """Restrictions that a word stands for, none if it is empty. Raises WrongUse if the catalogue lacks the pair."""
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
    """Complaints that all of the faults are known for, so that none is given away. Empty for no faults."""
    known = [catalogue.faults[name].shows for name in faults]
    return frozenset(known[0]).intersection(*known[1:]) if known else frozenset()


def can_come_with(catalogue: Catalogue, complaint: str) -> frozenset[str]:
    """Ids of faults known for a complaint, with HEALTHY if ordinary use alone can cause it."""
    return frozenset(fault.id for fault in catalogue.faults.values() if complaint in fault.shows)


def healthy(name: str) -> bool:
    """Whether an id is that of a sound vehicle."""
    return name == HEALTHY
