"""The translators' files: complete, in step with code and data, and compiled."""

from __future__ import annotations

import ast
import gettext
import re
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from string import Formatter

import pytest
from babel.messages.catalog import Message

from scenarios.language import DOMAIN, ENGLISH, FOLDER, LANGUAGES
from tests.language import update
from tests.language.texts import READ, UNREAD

CODES = update.TRANSLATED
FILES = sorted(set(LANGUAGES) - {ENGLISH})
TOLD = "bring it up to date: python -m tests.language.update, then translate what is new in {file}"
_PERCENT = re.compile(r"%(?:\(\w+\))?[a-z%]")


def _said(message: Message) -> list[str]:
    return list(message.string) if isinstance(message.string, tuple) else [str(message.string)]


def _asked(message: Message) -> list[str]:
    return list(message.id) if isinstance(message.id, tuple) else [str(message.id)]


@pytest.mark.parametrize("code", CODES)
def test_every_text_of_code_and_data_is_there_and_no_other(code: str) -> None:
    there, wanted = update.read(code), update.template()
    told = TOLD.format(file=update.po_path(code).relative_to(update.ROOT).as_posix())
    assert sorted(str(m.id) for m in wanted if m.id and m.id not in there) == [], told
    assert sorted(str(m.id) for m in there if m.id and m.id not in wanted) == [], told
    assert not there.obsolete, told


@pytest.mark.parametrize("code", CODES)
def test_every_text_is_translated(code: str) -> None:
    catalog = update.read(code)
    assert [m.id for m in catalog if m.id and not all(text.strip() for text in _said(m))] == []
    assert [m.id for m in catalog if m.id and m.fuzzy] == []


def _places(text: str) -> set[str]:
    """Places for values in a text."""
    return {name for _literal, name, _form, _conversion in Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("code", FILES)
def test_places_for_values_and_the_space_round_a_text_are_kept(code: str) -> None:
    wrong = []
    for message in update.read(code):
        if not message.id:
            continue
        asked = set().union(*map(_places, _asked(message)))
        for text in _said(message):
            same = _places(text) == asked or (isinstance(message.id, tuple) and _places(text) <= asked)
            edges = [_asked(message)[0][:1] == " ", _asked(message)[0][-1:] == " "] == [
                text[:1] == " ",
                text[-1:] == " ",
            ]
            percent = sorted(_PERCENT.findall(text)) == sorted(_PERCENT.findall(_asked(message)[0]))
            if not (same and edges and percent):
                wrong.append((message.id, text))
    assert wrong == []


@pytest.mark.parametrize("code", FILES)
def test_what_is_compiled_is_what_the_translators_wrote(code: str) -> None:
    compiled = gettext.translation(DOMAIN, FOLDER, languages=[code])
    assert isinstance(compiled, gettext.GNUTranslations)
    for message in update.read(code):
        if isinstance(message.id, tuple):
            one, many = message.id
            assert [compiled.ngettext(one, many, n) for n in (1, 2)] == _said(message)
        elif message.id:
            assert compiled.gettext(str(message.id)) == message.string


def test_every_field_of_the_catalogue_is_either_read_by_people_or_not() -> None:
    for kind, names in READ.items():
        assert sorted([*names, *UNREAD[kind]]) == sorted(field.name for field in fields(kind))


def _marked() -> Iterator[tuple[ast.Call, Path, bool]]:
    """Every call that marks a text, and whether it stands inside another text, where the extractor does not look."""
    for path in update.sources():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        inside = {id(part) for text in ast.walk(tree) if isinstance(text, ast.JoinedStr) for part in ast.walk(text)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SUSPECT_MARKS:
                yield node, path, id(node) in inside


SUSPECT_MARKS = frozenset({"_", "N_", "say", "Message", "plural"})


def test_texts_are_written_out_where_they_are_marked() -> None:
    """A text put together before it is looked up is never found, nor is one inside another text with values."""
    known, wrong = update.template(), []
    for call, path, inside in _marked():
        for argument in call.args[:2]:  # a plural is known by its singular
            key = argument.slice if isinstance(argument, ast.Subscript) else None
            as_key = isinstance(key, ast.Constant) and isinstance(key.value, str)  # it would be taken for a text
            as_key = as_key and not inside
            literal = argument.value if isinstance(argument, ast.Constant) else ""
            unseen = isinstance(literal, str) and literal and literal not in known
            if isinstance(argument, ast.JoinedStr | ast.BinOp) or as_key or unseen:
                wrong.append(f"{path.name}:{call.lineno}")
    assert wrong == []
