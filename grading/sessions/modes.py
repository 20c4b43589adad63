"""How a job is sat: with a guide, free, or as an exam against the clock."""

from __future__ import annotations

import math
import time
from typing import Any, NamedTuple

from scenarios.language import N_, _, say

GUIDED, FREE, EXAM = N_("guided"), N_("free"), N_("exam")
MODES = {
    GUIDED: N_("hints when you ask for them; each costs marks"),
    FREE: N_("on your own, in your own time"),
    EXAM: N_("on your own, against the clock; nothing is explained before the keys are back"),
}
"""Each mode in a sentence."""
RUNGS = (N_("question"), N_("pointer"), N_("explanation"))
"""A hint's steps, each telling more than the one before."""
EXAM_MINUTES = 30.0
"""Wall-clock minutes of an exam where nothing else is said."""
SHORTEST_EXAM, LONGEST_EXAM = 1.0, 600.0
NOT_DRIVEN = "not to be driven"
"""What a handback says where the job card forbids driving the vehicle. Records name it: it keeps its name."""
TEMPORARY = "temporary repair"
"""The same where the customer is told that it is to come back for the cause. It keeps its name too."""
OUT_OF_TIME = "time"
"""Argument of a handback that the clock brought about."""


class Mode(NamedTuple):
    """name: of MODES; minutes: wall-clock time allowed; begun: when the exam began [s since 1970, UTC]; both None
    outside an exam.
    """

    name: str = FREE
    minutes: float | None = None
    begun: float | None = None

    @property
    def exam(self) -> bool:
        """Whether it is an exam."""
        return self.name == EXAM

    def left(self, now: float) -> float:
        """Wall-clock time left [s] at a moment [s since 1970, UTC]; without end outside an exam.

        A clock that was set back gives no more time than was allowed.

        >>> Mode("exam", 30.0, 1000.0).left(1000.0 + 29.0 * 60.0)
        60.0
        """
        if self.minutes is None or self.begun is None:
            return math.inf
        return self.minutes * 60.0 - max(now - self.begun, 0.0)

    def to_record(self) -> dict[str, Any]:
        """As the first line of a record holds it."""
        clock = {"minutes": self.minutes, "begun": self.begun} if self.exam else {}
        return {"mode": self.name, **clock}

    @classmethod
    def of_record(cls, first: dict[str, Any]) -> Mode:
        """From the first line of a record; records that say nothing were made freely. Raises ValueError."""
        name = first.get("mode", FREE)
        if name not in MODES:
            raise ValueError(say("mode {name}, expected one of {names}", name=repr(name), names=", ".join(MODES)))
        if name != EXAM:
            return cls(name)
        minutes, begun = _number(first.get("minutes")), _number(first.get("begun"))
        if not SHORTEST_EXAM <= minutes <= LONGEST_EXAM:
            values = {"least": SHORTEST_EXAM, "most": LONGEST_EXAM}
            raise ValueError(say("an exam of {least:g} to {most:g} minutes was expected", **values))
        if not 0.0 <= begun < 1e11:
            raise ValueError(_("the moment at which the exam began was expected"))
        return cls(name, minutes, begun)


def _number(value: Any) -> float:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else math.nan


def now() -> float:
    """Wall-clock time [s since 1970, UTC], which exams run by."""
    return time.time()
