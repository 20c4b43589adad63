"""Texts of drawn jobs: customer, complaint and history, composed from sentences in one language.

Each language has a file of its own with the same keys and as many entries. A sentence describes a complaint, never
its cause, so that the text gives no more away than the complaint itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from grading.drawing.dice import Dice
from scenarios.files.data_node import Node
from scenarios.files.strict_yaml import parse
from scenarios.language import ENGLISH
from scenarios.model import COMPLAINTS

TELLS_SINCE, TELLS_NEED, TELLS_GAUGE = 0.6, 0.6, 0.3
"""Probability that a customer says since when, what they need the vehicle for, and that a usual needle reads as usual
(estimates)."""
SEEN_BY_OTHERS = frozenset({"poor coolant"})
"""Complaints reported by another garage, so that the customer cannot say since when."""
MOST_TITLE = 60


@dataclass(frozen=True)
class Words:
    """The sentences of one language.

    women, men: first names; surnames; trades: form for a woman, form for a man; titles, said: by complaint; at_times:
    that it comes and goes; since: since when; usual_gauge: that the needle reads as usual; asks: what the customer asks
    the workshop for; service: ordinary maintenance in the history; earlier_work: work or events that may be unrelated.
    """

    women: tuple[str, ...]
    men: tuple[str, ...]
    surnames: tuple[str, ...]
    trades: tuple[tuple[str, str], ...]
    titles: dict[str, tuple[str, ...]]
    said: dict[str, tuple[str, ...]]
    at_times: tuple[str, ...]
    since: tuple[str, ...]
    usual_gauge: tuple[str, ...]
    asks: tuple[str, ...]
    service: tuple[str, ...]
    earlier_work: tuple[str, ...]

    def customer(self, dice: Dice) -> str:
        """Name and trade of an invented person."""
        woman = dice.share("woman") < 0.5
        name = dice.one_of("first name", self.women if woman else self.men)
        trade = dice.one_of("trade", self.trades)[0 if woman else 1]
        return f"{name} {dice.one_of('surname', self.surnames)}, {trade}"

    def title(self, dice: Dice, complaint: str) -> str:
        """The title of a job."""
        return dice.one_of("title", self.titles[complaint])

    def complaint(self, dice: Dice, kind: str, comes_and_goes: bool, gauge_usual: bool) -> str:
        """The customer's description of a complaint.

        comes_and_goes: whether they say so; gauge_usual: whether the needle reads as in a sound vehicle.
        """
        said = [dice.one_of("said", self.said[kind])]
        seen = kind not in SEEN_BY_OTHERS
        if comes_and_goes and seen:
            said.append(dice.one_of("at times", self.at_times))
        if dice.share("tells since") < TELLS_SINCE and seen:
            said.append(dice.one_of("since", self.since))
        if gauge_usual and dice.share("tells gauge") < TELLS_GAUGE:
            said.append(dice.one_of("gauge", self.usual_gauge))
        if dice.share("tells need") < TELLS_NEED:
            said.append(dice.one_of("asks", self.asks))
        return " ".join(said)

    def history(self, dice: Dice, earlier_work: bool) -> str:
        """History on the job card; earlier_work: whether it mentions earlier work, which may be unrelated."""
        known = [dice.one_of("service", self.service)]
        if earlier_work:
            known.append(dice.one_of("earlier work", self.earlier_work))
        return " ".join(known)


@cache
def words_of(language: str) -> Words:
    """The sentences of a language, English if there are none."""
    folder = files("grading").joinpath("drawing", "words")
    file = folder.joinpath(f"{language}.yaml")
    if not file.is_file():
        file = folder.joinpath(f"{ENGLISH}.yaml")
    root = parse(file.read_text(encoding="utf-8"), file.name).mapping()

    def some(key: str) -> tuple[str, ...]:
        return tuple(node.text() for node in root.items(key, least=1))

    def by_complaint(key: str, longest: int) -> dict[str, tuple[str, ...]]:
        of = root.mapping(key)
        found = {kind: tuple(node.text(longest=longest) for node in of.items(kind, least=1)) for kind in COMPLAINTS}
        of.done()
        return found

    words = Words(
        women=some("women"),
        men=some("men"),
        surnames=some("surnames"),
        trades=tuple(_pair(node) for node in root.items("trades", least=1)),
        titles=by_complaint("titles", MOST_TITLE),
        said=by_complaint("said", 400),
        at_times=some("at_times"),
        since=some("since"),
        usual_gauge=some("usual_gauge"),
        asks=some("asks"),
        service=some("service"),
        earlier_work=some("earlier_work"),
    )
    root.done()
    return words


def _pair(node: Node) -> tuple[str, str]:
    woman, man = node.items(least=2, most=2)
    return woman.text(), man.text()
