"""The warnings of an exam: so many minutes before its time is up, each given once."""

from __future__ import annotations

from grading.sessions.modes import Mode
from scenarios.language import plural

WARN_AT = (5.0, 1.0)
"""Minutes left at which a candidate is warned."""


class ExamClock:
    """The warnings of one exam. One as short as a warning's own minutes does not begin with it."""

    def __init__(self, mode: Mode) -> None:
        self.mode = mode
        self._due = [at for at in WARN_AT if mode.minutes is not None and at < mode.minutes]

    def until_next(self, now: float) -> float:
        """Seconds from now [s since 1970] until the next warning or the end; without end outside an exam."""
        left = self.mode.left(now)
        return max(left - 60.0 * max(self._due, default=0.0), 0.0)

    def warning(self, now: float) -> str | None:
        """The warning that is due now [s since 1970]; None where none is, or the time is up."""
        left = self.mode.left(now)
        passed = [at for at in self._due if left <= 60.0 * at]
        if not passed or left <= 0.0:
            return None
        self._due = [at for at in self._due if at not in passed]
        return plural(max(round(left / 60.0), 1), "The exam ends in 1 minute.", "The exam ends in {n} minutes.")
