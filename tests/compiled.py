"""``python -m tests.compiled``: compiles what a job and its marks need, once for all processes of a test run."""

from __future__ import annotations

from grading.marks.grade import Grader
from tests.bench.marking import session
from tests.packaged import packaged_catalogue

if __name__ == "__main__":
    for name in ("quiet-dash", "lamp-and-wind"):
        job = packaged_catalogue().jobs[name]
        Grader(packaged_catalogue(), job, 1).grade(session(job, 1), look_ahead=True)
