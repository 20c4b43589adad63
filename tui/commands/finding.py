"""Finding what a person named on the command line."""

from __future__ import annotations

from scenarios.files.data_error import one_of, quoted
from scenarios.language import say
from scenarios.model import Catalogue, Job
from scenarios.wrong_use import WrongUse


def find_job(catalogue: Catalogue, name: str) -> Job:
    """The job of this id. Raises WrongUse."""
    if name not in catalogue.jobs:
        raise WrongUse(
            say(
                "there is no job {name}, expected {names}; for a job of your own give its folder by --with",
                name=quoted(name),
                names=one_of(name, catalogue.jobs),
            )
        )
    return catalogue.jobs[name]
