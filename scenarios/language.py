"""The words that a person reads, in the language chosen: standard gettext, English where nothing is translated.

Code and data are written in English, and the English text is the key under which a translation is found. Whatever is
kept in a record or compared stays English; it is put into the chosen language where it is shown.

- ``_("text")`` or ``_(check.name)``: a whole text as it stands.
- ``say("{minutes:.1f} minutes", minutes=2.5)``: a text with values put in.
- ``plural(3, "{n} check", "{n} checks")``: singular or plural.
- ``Said("not needed: {repair}", repair=repair.name)``: English for a record, which ``_`` says in the language chosen.
- ``N_("text")``: marks a text for the translators and gives it back as it is.
"""

from __future__ import annotations

import gettext
import json
import locale
import os
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from string import Formatter
from typing import Any, Self

DOMAIN = "lukewarm"
FOLDER = Path(__file__).with_name("languages")
ENGLISH = "en"
LANGUAGES = {ENGLISH: "English", "de": "Deutsch"}
"""Code to the language's own name."""
VARIABLE = "LUKEWARM_LANGUAGE"
_DECIMAL_COMMA = frozenset({"de"})
_TO_COMMA = str.maketrans({",": ".", ".": ","})
_ENGLISH_NAMES = {"german": "de", "english": ENGLISH}  # as Windows names its locales
_FIGURE = re.compile(r"([-−]?\d+)(?:\.(\d+))? (\S.*)")


class _Chosen:
    """What is spoken now."""

    code = ENGLISH
    words: gettext.NullTranslations = gettext.NullTranslations()


def choose(code: str) -> None:
    """Speak a language of LANGUAGES from now on."""
    _Chosen.code = code
    _Chosen.words = (
        gettext.NullTranslations() if code == ENGLISH else gettext.translation(DOMAIN, FOLDER, languages=[code])
    )


def chosen() -> str:
    """Code of the language spoken now."""
    return _Chosen.code


def preferred(asked: str | None = None, kept: str | None = None, environment: Mapping[str, str] | None = None) -> str:
    """The language to speak: as asked, as LUKEWARM_LANGUAGE says, as kept in the settings, as the machine speaks.

    asked: a code; kept: a code; environment: the process's own if not given. What is none of LANGUAGES is passed over.

    >>> preferred(None, None, {"LUKEWARM_LANGUAGE": "de"}), preferred("en", "de", {}), preferred("xx", "de", {})
    ('de', 'en', 'de')
    """
    environment = os.environ if environment is None else environment
    for name in (asked, environment.get(VARIABLE), kept):
        if name and name.strip().lower() in LANGUAGES:
            return name.strip().lower()
    return _of_machine(environment)


def _of_machine(environment: Mapping[str, str]) -> str:
    for variable in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        if environment.get(variable):
            return next(filter(None, map(_code, environment[variable].split(":"))), ENGLISH)
    return _code(locale.getlocale()[0] or "") or ENGLISH


def _code(name: str) -> str | None:
    """The code in the name of a locale: de_AT.UTF-8, de, German_Germany."""
    first = re.split(r"[_.@-]", name.strip().lower(), maxsplit=1)[0]
    code = _ENGLISH_NAMES.get(first, first)
    return code if code in LANGUAGES else None


def N_(text: str) -> str:
    """The text itself, marked for the translators."""
    return text


def _(text: str) -> str:
    """The text in the language chosen; texts without a translation as they are."""
    if isinstance(text, Said):
        return text.spoken()
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


class Said(str):
    """A text with values as it goes into a record, in English; ``_`` says it in the language chosen.

    Values that are texts are put into that language too.

    >>> reason = Said("not needed: {repair}", repair="Replace the thermostat")
    >>> reason, _(reason)
    ('not needed: Replace the thermostat', 'not needed: Replace the thermostat')
    """

    template: str
    values: dict[str, Any]

    def __new__(cls, template: str, /, **values: Any) -> Self:
        """template: written out, for the translators to find."""
        said = super().__new__(cls, template.format(**values) if values else template)
        said.template, said.values = template, values
        return said

    def packed(self) -> str:
        """The text and its values in a form that a record can hold and ``unpacked`` reads."""
        return json.dumps(self._parts(), ensure_ascii=False, sort_keys=True)

    def _parts(self) -> list[Any]:
        values = {k: v._parts() if isinstance(v, Said) else v for k, v in self.values.items()}
        return [type(self).__name__, self.template, values]

    @staticmethod
    def unpacked(packed: str) -> str:
        """What was packed; any other text as it is, for records are read without trust.

        >>> Said.unpacked(Said("{n} checks", n=2).packed()), Said.unpacked("a hint")
        ('2 checks', 'a hint')
        """
        try:
            return _unpacked(json.loads(packed))
        except (ValueError, TypeError, KeyError, RecursionError):
            return packed

    def spoken(self) -> str:
        """The text in the language chosen."""
        return say(self.template, **{k: _(v) if isinstance(v, str) else v for k, v in self.values.items()})


class Several(Said):
    """Texts with commas between.

    >>> Several(["the engine running", "the ignition at run"]), Several(["a", "b", "c"], N_(" or "))
    ('the engine running, the ignition at run', 'a, b or c')
    """

    texts: tuple[str, ...]
    between: str

    def __new__(cls, texts: Iterable[str], between: str = ", ") -> Self:
        """texts: each a text that ``_`` knows; between: what stands between the last two, or between sentences."""
        texts = tuple(texts)
        several = super().__new__(cls, _joined(texts, between))
        several.texts, several.between = texts, between
        return several

    def __getnewargs__(self) -> Any:
        return (self.texts, self.between)

    def _parts(self) -> list[Any]:
        parts = [text._parts() if isinstance(text, Said) else text for text in self.texts]
        return [type(self).__name__, self.between, parts]

    def spoken(self) -> str:
        """All of them in the language chosen."""
        return _joined(tuple(map(_, self.texts)), self.between if self.between == " " else _(self.between))


class Shown(Said):
    """What an instrument showed, which ``shown`` says in the language chosen."""

    def spoken(self) -> str:
        """Words, or figure and unit."""
        return shown(self.template)


class Opening(Said):
    """The first sentence of a text, without its full stop.

    >>> Opening("Wear gloves. Coolant is poisonous.")
    'Wear gloves'
    """

    def __new__(cls, text: str) -> Self:
        """text: one that ``_`` knows."""
        opening = super().__new__(cls, _first_sentence(text))
        opening.template = text
        return opening

    def __getnewargs__(self) -> tuple[str]:
        return (self.template,)

    def spoken(self) -> str:
        """The first sentence of the text in the language chosen."""
        return _first_sentence(_(self.template))


def _joined(texts: tuple[str, ...], between: str) -> str:
    if between.strip() in ("", ",", ";") or len(texts) < 2:
        return between.join(texts)
    return between.join([", ".join(texts[:-1]), texts[-1]])


_FORM = re.compile(r"[+]?(\.\d)?[fg%]?")


def _unpacked(parts: Any) -> Said:
    """Raises ValueError, TypeError or KeyError for what ``packed`` cannot have written."""
    kind, template, values = parts
    if kind == "Shown":
        return Shown(_checked(template))
    if kind == "Several":
        return Several([_unpacked(text) if isinstance(text, list) else _checked(text) for text in values], template)
    for _literal, name, form, conversion in Formatter().parse(template):
        if name is not None and not (name.isidentifier() and _FORM.fullmatch(form or "") and conversion is None):
            raise ValueError("a place for a value that is none")
    return Said(template, **{k: _unpacked(v) if isinstance(v, list) else _checked(v) for k, v in values.items()})


def _checked(value: Any) -> Any:
    if not isinstance(value, str | int | float):
        raise TypeError("a value that is none")
    return value


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
