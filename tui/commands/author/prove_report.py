"""What was found of the jobs that were tried: a line for each doubt and a summary, or data."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from grading.fairness.difficulty import Measured, disagrees
from grading.fairness.doubt import Doubt
from grading.fairness.jobs import Case
from scenarios.authoring.own_jobs import JobPlaces
from scenarios.files.data_error import DataError
from scenarios.language import _, plural, say
from tui.presentation.clean import clean


@dataclass(frozen=True)
class Report:
    """cases: all vehicles; found: the doubts about those tried so far; places: where each job's faults stand; seconds:
    how long it took; stated: difficulty of each job as its file has it; measured: as technicians found it, where that
    was asked for.
    """

    cases: Sequence[Case]
    found: Mapping[Case, tuple[Doubt, ...]]
    places: Mapping[str, JobPlaces]
    seconds: float
    stated: Mapping[str, int] = field(default_factory=dict)
    measured: Mapping[str, Measured] = field(default_factory=dict)

    @property
    def failed(self) -> set[str]:
        """Jobs with a doubt."""
        return {case.job for case, doubts in self.found.items() if doubts}

    @property
    def untried(self) -> set[str]:
        """Jobs without a doubt so far of which not every vehicle was tried."""
        return {case.job for case in self.cases if case not in self.found} - self.failed

    @property
    def proven(self) -> set[str]:
        """Jobs that are fair on every vehicle."""
        return {case.job for case in self.cases} - self.failed - self.untried

    def as_text(self) -> str:
        """A line for each doubt, by file, line and column, then the summary."""
        errors = [self._error(case, doubt) for case in self.cases for doubt in self.found.get(case, ())]
        errors.sort(key=lambda error: (error.file, error.line, error.column))
        lines = [*map(str, errors), *map(str, self._warnings()), self._summary()]
        return "".join(f"{clean(line)}\n" for line in lines)

    def _warnings(self) -> Iterator[DataError]:
        """Stated difficulties that technicians do not find."""
        for job, found in self.measured.items():
            if disagrees(self.stated[job], found):
                told = {
                    "stated": self.stated[job],
                    "failing": found.tried.failing,
                    "minutes": found.minutes,
                    "checks": found.checks,
                }
                wrong = say(
                    "warning: difficulty {stated} is stated, and {failing:.0%} of technicians fail; the reference "
                    "takes {minutes:.0f} minutes and {checks:.0f} checks",
                    **told,
                )
                expected = say("difficulty {found}", found=found.tried.difficulty)
                yield self.places[job].where.error(wrong, expected)

    def _error(self, case: Case, doubt: Doubt) -> DataError:
        return self.places[case.job].of(doubt.fault).error(_(doubt.problem), _(doubt.expected))

    def _summary(self) -> str:
        jobs, vehicles = len({case.job for case in self.cases}), len(self.found)
        told = say(
            "{jobs}, {vehicles}: {proven} proven, {failed} not. {seconds:.0f} s.",
            jobs=plural(jobs, "{n} job", "{n} jobs"),
            vehicles=plural(vehicles, "{n} vehicle", "{n} vehicles"),
            proven=len(self.proven),
            failed=len(self.failed),
            seconds=self.seconds,
        )
        if not self.untried:
            return told
        left = plural(len(self.untried), "Stopped: {n} job is not finished.", "Stopped: {n} jobs are not finished.")
        return f"{told} {left}"

    def as_json(self) -> str:
        """One object: every job with the doubts about each vehicle tried, and how many are proven."""
        jobs = {
            job: {
                "proven": job in self.proven,
                "vehicles": [self._vehicle(case) for case in self.found_of(job)],
                **self._difficulty(job),
            }
            for job in dict.fromkeys(case.job for case in self.cases)
        }
        counts = {"proven": len(self.proven), "not_proven": len(self.failed), "not_tried": len(self.untried)}
        data = {"jobs": jobs, **counts, "vehicles": len(self.found), "seconds": round(self.seconds, 1)}
        return json.dumps(data, ensure_ascii=False, allow_nan=False) + "\n"

    def _difficulty(self, job: str) -> dict[str, object]:
        found = self.measured.get(job)
        if found is None:
            return {}
        return {
            "difficulty": {
                "stated": self.stated[job],
                "found": found.tried.difficulty,
                "technicians_failing": round(found.tried.failing, 3),
                "reference_minutes": round(found.minutes, 1),
                "reference_checks": found.checks,
            }
        }

    def found_of(self, job: str) -> list[Case]:
        """The vehicles of a job that were tried."""
        return [case for case in self.cases if case.job == job and case in self.found]

    def _vehicle(self, case: Case) -> dict[str, object]:
        errors = [self._error(case, doubt) for doubt in self.found[case]]
        names = ("file", "line", "column", "problem", "expected")
        return {"seed": case.seed, "doubts": [{name: getattr(error, name) for name in names} for error in errors]}
