"""Which language is spoken, and how texts are put into it."""

from __future__ import annotations

import copy
import pickle

import pytest

from scenarios.language import (
    FOLDER,
    LANGUAGES,
    FirstSentence,
    Listed,
    Message,
    _,
    choose,
    chosen,
    decimal,
    plural,
    preferred,
    say,
    shown,
)


@pytest.mark.parametrize(
    ("asked", "kept", "environment", "expected"),
    [
        ("de", "en", {"LUKEWARM_LANGUAGE": "en", "LANG": "en_GB.UTF-8"}, "de"),
        (None, "en", {"LUKEWARM_LANGUAGE": "de", "LANG": "en_GB.UTF-8"}, "de"),
        (None, "de", {"LANG": "en_GB.UTF-8"}, "de"),
        (None, None, {"LANG": "de_AT.UTF-8"}, "de"),
        (None, None, {"LANGUAGE": "fr:de:en", "LANG": "en_GB.UTF-8"}, "de"),
        (None, None, {"LC_ALL": "C", "LANG": "de_DE.UTF-8"}, "en"),
        (None, None, {"LANG": "fr_FR.UTF-8"}, "en"),
        (None, None, {"LANG": "German_Germany.1252"}, "de"),
        (None, None, {"LANG": "en_US.UTF-8"}, "en_US"),
        (None, None, {"LANG": "English_United States.1252"}, "en_US"),
        (None, None, {"LANG": "en_GB.UTF-8"}, "en"),
        (None, None, {"LANGUAGE": "en_GB:en_US", "LANG": "en_US.UTF-8"}, "en"),
        (None, "de", {"LUKEWARM_LANGUAGE": "en-us"}, "en_US"),
        ("klingon", "dothraki", {"LUKEWARM_LANGUAGE": "../../etc", "LANG": "de"}, "de"),
    ],
)
def test_the_nearest_wish_counts(
    asked: str | None, kept: str | None, environment: dict[str, str], expected: str
) -> None:
    assert preferred(asked, kept, environment) == expected


def test_every_language_offered_is_there() -> None:
    for code in LANGUAGES:
        choose(code)
        assert chosen() == code
    assert {path.name for path in FOLDER.iterdir()} == set(LANGUAGES) - {"en"}


def test_german_words_and_figures() -> None:
    choose("de")
    assert _("thermostat") == "Thermostat"
    assert shown("12.37 V") == "12,37 V"
    assert shown("800 rpm") == "800 1/min"
    assert shown("mid-scale") == "in der Mitte"
    assert shown("-3.5 °C") == "-3,5 °C"
    assert say("{share:.0%} of {name}", share=0.5, name="1.5") == "50\u00a0% of 1.5"
    assert decimal("1.5") == "1,5"
    assert say("{km:,.0f} km", km=123456.0) == "123.456 km"


def test_what_is_not_translated_stays_as_it_is() -> None:
    choose("de")
    for text in ("", "An instructor's own text", "a {brace} and 100 %s", "Zündung"):
        assert _(text) == text


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_text_for_a_record_is_english_in_every_language(code: str) -> None:
    choose(code)
    said = Message("not needed: {repair}", repair="Replace the thermostat")
    assert str(said) == "not needed: Replace the thermostat"
    assert str(Listed(["likely", "out"])) == "likely, out"
    assert str(FirstSentence("Wear gloves. Then go on.")) == "Wear gloves"


@pytest.mark.parametrize("through", [copy.deepcopy, lambda said: pickle.loads(pickle.dumps(said))])
def test_a_text_for_a_record_can_still_be_said_after_a_copy(through) -> None:
    choose("de")
    said = Message("not needed: {repair}", repair=Listed(["Replace the thermostat", "Replace the radiator"]))
    assert _(through(said)) == "nicht nötig: Thermostat ersetzen, Kühler ersetzen"


def test_a_brace_in_a_name_is_no_place_for_a_value() -> None:
    assert str(Message("not needed: {repair}", repair="a {b} c")) == "not needed: a {b} c"
    assert _(Message("not needed: {repair}", repair="a {b} c")) == "not needed: a {b} c"
    assert say("noted: {fault}: {mark}", fault="{mark}", mark="x") == "noted: {mark}: x"


def test_singular_and_plural() -> None:
    assert [plural(n, "{n} check", "{n} checks") for n in (0, 1, 2)] == ["0 checks", "1 check", "2 checks"]
