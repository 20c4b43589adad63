"""American English: in step with the table, nothing British left on a screen, and understood when typed."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from grading.drawing.words import words_of
from scenarios.files.loader import load_catalogue
from scenarios.language import AMERICAN, ENGLISH, _, choose, plural, say, speak_of
from scenarios.vehicle_words import ELECTRIC_WORDS
from tests.language import update
from tests.language.american import BY_HAND, TABLE, american, british
from tui.commands.command import main
from tui.text.matching import meant

TOLD = "bring it up to date: python -m tests.language.update"


@pytest.fixture
def in_american() -> Iterator[None]:
    choose(AMERICAN)
    yield
    speak_of({})


def _asked() -> Iterator[str]:
    """Every English text."""
    for message in update.template():
        if message.id:
            yield from [message.id] if isinstance(message.id, str) else message.id


def test_what_differs_is_there_and_nothing_else() -> None:
    assert update.as_po(update.merged_american()) == update.po_path(AMERICAN).read_bytes(), TOLD
    assert update.american_words() == (update.DRAWN_WORDS / f"{AMERICAN}.yaml").read_text(encoding="utf-8"), TOLD


def test_every_word_of_the_table_is_used() -> None:
    told = [*_asked(), (update.DRAWN_WORDS / f"{ENGLISH}.yaml").read_text(encoding="utf-8")]
    used = {word.lower() for text in told for word in british(text)}
    assert sorted(word for word in TABLE if word.lower() not in used) == []


def test_the_table_leads_nowhere_british() -> None:
    assert [word for word in TABLE.values() if british(word)] == []


def test_no_british_word_is_left_on_a_screen(in_american: None) -> None:
    texts = list(_asked())
    assert [text for text in texts if british(_(text))] == []
    assert british(" ".join(texts))
    speak_of(ELECTRIC_WORDS)
    assert [text for text in texts if british(_(text))] == []
    words = words_of(AMERICAN)
    assert not british(repr(words)) and british(repr(words_of(ENGLISH)))


def test_texts_without_an_american_form_are_as_in_english(in_american: None) -> None:
    assert _("thermostat") == "thermostat"
    assert plural(2, "{n} check", "{n} checks") == "2 checks"
    assert say("{km:,.1f} km", km=1234.5) == "1,234.5 km"
    assert _("screen") == "defrost"
    assert BY_HAND in update.read(AMERICAN)["screen"].user_comments


@pytest.mark.parametrize(
    ("british_text", "expected"),
    [
        ("Bonnet open, the tyres cold", "Hood open, the tires cold"),
        ("my-tyre, tyred, bonnets", "my-tyre, tyred, bonnets"),
        ("The 12 V battery: a flat 12 V battery", "The 12 V battery: a dead 12 V battery"),
        ("in autumn, one autumn", "in the fall, one fall"),
    ],
)
def test_words_are_bounded_and_keep_their_capital(british_text: str, expected: str) -> None:
    assert american(british_text) == expected


def test_american_names_are_understood_when_typed(in_american: None) -> None:
    names = {check.id: _(check.name) for check in load_catalogue().checks.values()}
    assert meant("tachometer", names) == "engine-speed"
    assert meant("cowl", names) == "scuttle-look"
    assert meant("scuttle", names) == "scuttle-look"


def test_a_command_speaks_it_when_asked_to(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "checks", "--language", "en-us"]) == 0
    told = capsys.readouterr().out
    assert "cowl" in told and not british(told.replace("scuttle-look", ""))
