"""The packaged catalogue, loaded once in a run: loading takes a quarter of a second, and some ninety tests want it."""

from __future__ import annotations

from functools import cache

from scenarios.files.loader import load_catalogue
from scenarios.model import Catalogue


@cache
def packaged_catalogue() -> Catalogue:
    """The packaged catalogue. It is shared: who changes it must change a copy."""
    return load_catalogue()
