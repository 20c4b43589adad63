"""Catalogues whose every text tries to break out of the screen."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

from scenarios.model import Catalogue, ReadingSpec
from tests.tui.small import small_catalogue

HOSTILE = (
    "\x1b[2J\x1b[H",
    "\x1b]0;taken\x07",
    "\x1b]8;;http://example.invalid\x07here\x1b]8;;\x07",
    "\x1b[31mred",
    "\x9b31mred",
    "\x1bPq#0;2;0;0;0\x1b\\",
    "\x1b[6n",
    "\x1bc",
    "\x00\x08\x08\x7f",
    "a\rb\nc\td\x0be\x0cf",
    "\u202eright to left\u202c",
    "\u2066isolated\u2069\u200f",
    "\u200b\u200d\ufeff",
    "[bold red]markup[/bold red]",
    "[@click=app.quit]quit[/]",
    "[link=http://example.invalid]link[/link]",
    "[/]",
    "[",
    "]",
    "\\[b]",
    "$primary",
    "{brace} {0} %s %(x)s",
    ":smile:",
    "&lt;b&gt;",
    "ｆｕｌｌ",
    "e\u0301" * 40,
    "日本語" * 30,
    "x" * 500,
    " ",
    "\x1b]52;c;dGFrZW4=\x07",
    "\x1b]4;1;#ffffff\x1b\\",
    "\x1b[?1049ltaken",
    "\x1b[?1003htaken",
    "\x1b[?25ltaken",
    "\x1b[20t",
    "\x1b[5n",
    "\x1b[c",
    "\x1b[1;1r",
    "\x1b[3g",
    "\x1b(0lqqk",
    "\x1b#8",
    "\x1b7\x1b8",
    "\x1b_Gi=1,a=q;AAAA\x1b\\",
    "\x1b^private\x1b\\",
    "\x1bXstring\x1b\\",
    "\x9d0;taken\x9c",
    "\x90q\x9c",
    "\x85next\x84line",
    "\x0eshifted\x0f",
    "\x1b",
    "\x1b[",
    "\u061cmark\u200e",
    "\u2028line\u2029paragraph",
    "\U000e0001tag",
    "\ue000private use",
    "[@click=app.bell]bell[/] [on red] [not bold]",
    "[b]bold[/b][i",
)
"""Texts; the empty one is no business of the screen, the loader refuses it."""

_KEPT = frozenset({"id", "place", "instrument", "quantity", "cost", "system", "parameter", "vehicle"})
"""Fields that name something else and must stay as they are."""


def _hostile(thing: Any, text: str) -> Any:
    changes: dict[str, Any] = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        if field.name in _KEPT:
            continue
        if isinstance(value, str):
            changes[field.name] = text
        elif field.name in ("manual", "finds"):
            changes[field.name] = dict.fromkeys(value, text)
        elif isinstance(value, tuple) and value and isinstance(value[0], ReadingSpec):
            changes[field.name] = tuple(replace(spec, label=text) for spec in value)
    return replace(thing, **changes)


def hostile_catalogue(text: str) -> Catalogue:
    """The small catalogue with this text wherever a person would read one."""
    small = small_catalogue()
    kinds = {field.name: getattr(small, field.name) for field in fields(small)}
    return Catalogue(
        **{kind: {name: _hostile(thing, text) for name, thing in things.items()} for kind, things in kinds.items()}
    )
