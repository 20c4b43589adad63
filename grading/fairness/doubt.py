"""Something about a job that is not as it should be."""

from __future__ import annotations

from dataclasses import dataclass

from scenarios.language import Text


@dataclass(frozen=True)
class Doubt:
    """fault: index of the job's fault that it is about, None where it is about all of them; problem: what is wrong;
    expected: what was expected instead.
    """

    fault: int | None
    problem: Text
    expected: Text
