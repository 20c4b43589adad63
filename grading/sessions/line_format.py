"""Validation of a line of a record in format 2: one JSON object, with bounds on every number, text and list.

``prev`` and ``t_ms`` are reserved for chained lines and are ignored.
"""

from __future__ import annotations

import json
import re
from typing import Annotated, Any, Literal

from msgspec import Meta, Struct, ValidationError, convert, to_builtins

from grading.sessions.message_data import from_data
from grading.sessions.modes import Mode
from scenarios.actions import VERBS
from scenarios.language import _, say

LONGEST_LINE = 200_000
"""Most characters of a line."""
LONGEST_TEXT = 2_000
"""Most characters of a typed text."""
Text = Annotated[str, Meta(max_length=LONGEST_TEXT)]
Name = Annotated[str, Meta(max_length=300)]
Hash = Annotated[str, Meta(max_length=128)]
Step = Annotated[int, Meta(ge=-10_000_000, le=10_000_000)]
Minutes = Annotated[float, Meta(ge=0.0, le=1e7)]
Index = Annotated[int, Meta(ge=0, le=1_000_000)]
Figure = Annotated[float, Meta(ge=-1e12, le=1e12)]
Whole = Annotated[int, Meta(ge=-(2**53), le=2**53)]


class ReadingField(Struct, forbid_unknown_fields=True):
    """A reading: its label, instrument, display step, displayed text, and time [min]."""

    label: Name
    instrument: Name
    step: Step
    shown: Name
    minute: Minutes | None = None


class PerceptionField(Struct, forbid_unknown_fields=True):
    """A perception."""

    label: Name
    step: Step
    shown: Name


class SafetyField(Struct, forbid_unknown_fields=True):
    """A safety error."""

    what: Text
    critical: bool


class _Line(Struct, tag_field="kind", forbid_unknown_fields=True, kw_only=True):
    n: Index
    prev: Hash | None = None
    t_ms: Annotated[int, Meta(ge=0, le=10**15)] | None = None


class JobLine(_Line, tag="job", kw_only=True, forbid_unknown_fields=True):
    """The first line: the job and the versions it was made with."""

    format: Literal[2]
    program: Name
    engine: Hash
    catalogue: Hash
    rubric: Hash
    job: Name
    seed: Whole
    mode: Name
    minutes: Figure | None = None
    begun: Figure | None = None
    candidate: Annotated[str, Meta(max_length=200)] | None = None


class ActionLine(_Line, tag="action", kw_only=True, forbid_unknown_fields=True):
    """An action and its outcome."""

    verb: Literal[VERBS]  # pyright: ignore[reportInvalidTypeForm]  (a tuple of literals at run time)
    arguments: Annotated[list[Text | Whole | Figure], Meta(max_length=8)]
    minute: Minutes
    minutes: Minutes
    readings: Annotated[list[ReadingField], Meta(max_length=500)]
    noticed: Annotated[list[PerceptionField], Meta(max_length=100)]
    safety: Annotated[list[SafetyField], Meta(max_length=50)]
    message: dict[str, Any] | Text | None = None


class DraftLine(_Line, tag="draft", kw_only=True, forbid_unknown_fields=True):
    """An unfinished text."""

    what: Name
    text: Text


class SoundSteps(Struct, forbid_unknown_fields=True):
    """Steps of a display that sound vehicles show: the lowest and the highest, or each of ``kinds``."""

    label: Name
    scale: Literal["figures", "words", "kinds"]
    steps: Annotated[list[Step], Meta(min_length=1, max_length=50)]


class PredictionLine(_Line, tag="prediction", kw_only=True, forbid_unknown_fields=True):
    """What was expected of a check before it was taken, and what sound vehicles would have shown then."""

    check: Name
    expects: Literal["lower than sound", "as sound", "higher than sound"]
    bands: Annotated[list[SoundSteps], Meta(max_length=500)]


class PutAwayLine(_Line, tag="put-away", kw_only=True, forbid_unknown_fields=True):
    """The job was given up."""


class EndLine(_Line, tag="end", kw_only=True, forbid_unknown_fields=True):
    """The last line, after hand-back."""


Line = JobLine | ActionLine | DraftLine | PredictionLine | PutAwayLine | EndLine


def parse(line: str) -> dict[str, Any]:
    """The JSON object on a line. Raises ValueError, json.JSONDecodeError among them.

    Rejects repeated keys, numbers that are not finite or too long, long lines, and texts that cannot be UTF-8.
    """
    if len(line) > LONGEST_LINE:
        raise ValueError(say("the line has {length} characters", length=len(line)))
    try:
        data = json.loads(line, object_pairs_hook=_once, parse_constant=_not_finite, parse_int=_short_int)
    except RecursionError as error:
        raise ValueError(_("the line is nested too deep")) from error
    if not isinstance(data, dict):
        raise ValueError(_("this is not an object"))
    json.dumps(data, ensure_ascii=False).encode()  # raises UnicodeEncodeError, a ValueError
    return data


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError(_("a key stands twice"))
    return found


def _not_finite(text: str) -> float:
    raise ValueError(say("the number {text} is not finite", text=text))


def _short_int(text: str) -> int:
    if len(text) > 20:
        raise ValueError(_("a number is too long"))
    return int(text)


_AT = re.compile(r"- at `\$\.?(.+?)`")
_NAMED = re.compile(r"field `(.+?)`")


def _field(error: str) -> str:
    """The field that msgspec rejected, such as ``readings[0].step``; its own message is English only."""
    place, named = _AT.search(error), _NAMED.search(error)
    names = [found[1] for found in (place, named) if found]
    return repr(".".join(names) or "kind")


def checked(data: dict[str, Any], n: int) -> dict[str, Any]:
    """The validated object of line n (from 0). Raises ValueError."""
    try:
        line = convert(data, Line, strict=True)
    except ValidationError as error:
        raise ValueError(say("{field} is missing, or not what belongs there", field=_field(str(error)))) from error
    if line.n != n:
        raise ValueError(say("its number is {given}, and {expected} was expected", given=line.n, expected=n))
    if isinstance(line, ActionLine) and line.message is not None:
        from_data(line.message)
    if isinstance(line, JobLine):
        Mode.of_record(data)
    return {key: value for key, value in to_builtins(line).items() if value is not None}
