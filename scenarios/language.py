"""Texts for people in the chosen language: standard gettext, English where there is no translation.

American English holds only the texts that differ (``tests/language/american.py``).

Code and data are written in English, and the English text is the key of its translation. What is recorded or compared
stays English and is translated where it is shown.

- ``_("text")`` or ``_(check.name)``: a whole text as it stands.
- ``say("{minutes:.1f} minutes", minutes=2.5)``: a text with values put in.
- ``plural(3, "{n} check", "{n} checks")``: singular or plural.
- ``Message("not needed: {repair}", repair=repair.name)``: text and values as data, put into words by ``_``.
- ``N_("text")``: marks a text for the translators and returns it unchanged.
"""

from __future__ import annotations

import gettext
import locale
import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from string import Formatter
from typing import Any, TypeAlias, Union

Text: TypeAlias = Union[str, "Message", "Listed", "Shown", "FirstSentence"]
"""What ``_`` puts into words."""
Value: TypeAlias = int | float | Text
DOMAIN = "lukewarm"
FOLDER = Path(__file__).with_name("languages")
ENGLISH = "en"
AMERICAN = "en_US"
LANGUAGES = {ENGLISH: "English", "de": "Deutsch", AMERICAN: "English (US)"}
"""Code to the language's own name."""
VARIABLE = "LUKEWARM_LANGUAGE"
_DECIMAL_COMMA = frozenset({"de"})
_TO_COMMA = str.maketrans({",": ".", ".": ","})
_ENGLISH_NAMES = {"german": "de", "english": ENGLISH}  # as Windows names its locales
_FIGURE = re.compile(r"([-−]?\d+)(?:\.(\d+))? (\S.*)")


class _Chosen:
    """The chosen language."""

    code = ENGLISH
    words: gettext.NullTranslations = gettext.NullTranslations()
    instead: Mapping[str, str] = {}


def choose(code: str) -> None:
    """Use a language of LANGUAGES from now on."""
    _Chosen.code = code
    _Chosen.words = (
        gettext.NullTranslations() if code == ENGLISH else gettext.translation(DOMAIN, FOLDER, languages=[code])
    )


def speak_of(own: Mapping[str, str]) -> None:
    """Use a vehicle's own words from now on: English texts to those that take their place, empty for none."""
    _Chosen.instead = own


def chosen() -> str:
    """Code of the chosen language."""
    return _Chosen.code


def preferred(asked: str | None = None, kept: str | None = None, environment: Mapping[str, str] | None = None) -> str:
    """The first known language of: the one asked for, LUKEWARM_LANGUAGE, the one in the settings, the system's.

    asked: a code; kept: a code; environment: the process's own if not given. Unknown languages are ignored.

    >>> preferred(None, None, {"LUKEWARM_LANGUAGE": "de"}), preferred("en", "de", {}), preferred("xx", "de", {})
    ('de', 'en', 'de')
    """
    environment = os.environ if environment is None else environment
    for name in (asked, environment.get(VARIABLE), kept):
        if name and (code := code_of(name)):
            return code
    return _system_language(environment)


def code_of(name: str) -> str | None:
    """The code of LANGUAGES that a name is, however it is written.

    >>> code_of(" DE "), code_of("en-us"), code_of("en_GB")
    ('de', 'en_US', None)
    """
    written = name.strip().lower().replace("-", "_")
    return next((code for code in LANGUAGES if code.lower() == written), None)


def _system_language(environment: Mapping[str, str]) -> str:
    for variable in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        if environment.get(variable):
            return next(filter(None, map(_code, environment[variable].split(":"))), ENGLISH)
    return _code(locale.getlocale()[0] or "") or ENGLISH


def _code(name: str) -> str | None:
    """The code in the name of a locale: de_AT.UTF-8, de, German_Germany, en_US, English_United States.1252."""
    first, _between, rest = re.sub(r"[.@].*", "", name.strip().lower()).replace("-", "_").partition("_")
    language = _ENGLISH_NAMES.get(first, first)
    return code_of(f"{language}_{'us' if rest == 'united states' else rest}") or code_of(language)


def N_(text: str) -> str:
    """The text itself, marked for the translators."""
    return text


def _(text: Text) -> str:
    """The text in the chosen language, unchanged if there is no translation."""
    if isinstance(text, Message | Listed | Shown | FirstSentence):
        return text.spoken()
    text = _Chosen.instead.get(text, text)
    return _Chosen.words.gettext(text) if text else text


class _Filler(Formatter):
    """Puts values into a text, with the decimal sign of the language."""

    def format_field(self, value: Any, format_spec: str) -> str:
        text = super().format_field(value, format_spec)
        return decimal(text) if isinstance(value, float) else text


_FILLER = _Filler()


def say(text: str, /, **values: Any) -> str:
    """The text in the language chosen, with values put in as ``str.format`` does.

    >>> say("{minutes:.1f} minutes", minutes=2.5)
    '2.5 minutes'
    """
    return _FILLER.vformat(_(text), (), values) if values else _(text)


def plural(n: int, one: str, many: str, /, **values: Any) -> str:
    """One of two texts by a number ``{n}``, with values put in.

    >>> plural(1, "{n} check", "{n} checks"), plural(2, "{n} check", "{n} checks")
    ('1 check', '2 checks')
    """
    return _FILLER.vformat(_Chosen.words.ngettext(one, many, n), (), {"n": n, **values})


@dataclass(frozen=True, init=False, eq=True)
class Message:
    """A text with values, kept apart: ``_`` puts it into the language chosen, ``str`` into English.

    template: English, written out at the call for the translators to find; values: numbers, texts that ``_`` knows, or
    other messages.

    >>> reason = Message("not needed: {repair}", repair="Replace the thermostat")
    >>> str(reason), _(reason)
    ('not needed: Replace the thermostat', 'not needed: Replace the thermostat')
    """

    template: str
    values: Mapping[str, Value]

    def __init__(self, template: str, /, **values: Value) -> None:
        object.__setattr__(self, "template", template)
        object.__setattr__(self, "values", values)

    def __hash__(self) -> int:
        return hash((self.template, *sorted(self.values)))

    def __str__(self) -> str:
        # texts are inserted unchanged: a brace in one of them is not a placeholder
        english = {k: v if isinstance(v, str | int | float) else str(v) for k, v in self.values.items()}
        return self.template.format(**english) if english else self.template

    def spoken(self) -> str:
        """The text in the language chosen."""
        return say(self.template, **{k: v if isinstance(v, int | float) else _(v) for k, v in self.values.items()})


@dataclass(frozen=True, init=False)
class Listed:
    """Texts with commas between.

    items: texts that ``_`` knows; between: what stands between the last two, or between sentences (" ").

    >>> _(Listed(["the engine running", "the ignition at run"])), str(Listed(["a", "b", "c"], N_(" or ")))
    ('the engine running, the ignition at run', 'a, b or c')
    """

    items: tuple[Text, ...]
    between: str

    def __init__(self, items: Iterable[Text], between: str = ", ") -> None:
        object.__setattr__(self, "items", tuple(items))
        object.__setattr__(self, "between", between)

    def __str__(self) -> str:
        return _joined(tuple(map(str, self.items)), self.between)

    def spoken(self) -> str:
        """All of them in the language chosen."""
        return _joined(tuple(map(_, self.items)), self.between if self.between == " " else _(self.between))


@dataclass(frozen=True)
class Shown:
    """What an instrument showed, in English: words, or figure and unit."""

    reading: str

    def __str__(self) -> str:
        return self.reading

    def spoken(self) -> str:
        """In the language chosen."""
        return shown(self.reading)


@dataclass(frozen=True)
class FirstSentence:
    """The first sentence of a text that ``_`` knows, without its full stop.

    >>> str(FirstSentence("Wear gloves. Coolant is poisonous."))
    'Wear gloves'
    """

    text: str

    def __str__(self) -> str:
        return _first_sentence(self.text)

    def spoken(self) -> str:
        """In the language chosen."""
        return _first_sentence(_(self.text))


def _joined(texts: tuple[str, ...], between: str) -> str:
    if between.strip() in ("", ",", ";") or len(texts) < 2:
        return between.join(texts)
    return between.join([", ".join(texts[:-1]), texts[-1]])


def _first_sentence(text: str) -> str:
    return text.split(". ")[0].rstrip(".")


def decimal(text: str) -> str:
    """Figures in a text with the decimal sign of the language.

    >>> decimal("12.37")
    '12.37'
    """
    if _Chosen.code not in _DECIMAL_COMMA:
        return text
    return text.translate(_TO_COMMA).replace("%", "\u00a0%")


def shown(reading: str) -> str:
    """What an instrument showed: its words, or its figure and unit.

    >>> shown("12.37 V"), shown("mid-scale")
    ('12.37 V', 'mid-scale')
    """
    found = _FIGURE.fullmatch(reading)
    if not found:
        return _(reading)
    figure = found[1] + (decimal("." + found[2]) if found[2] else "")
    return f"{figure} {_(found[3])}"
