"""Settings that hold for every test."""

import os
from collections.abc import Iterator
from functools import lru_cache

import pytest
from hypothesis import HealthCheck, settings

# These change what Textual draws, and it reads some of them when it is imported. The snapshot plugin imports it, so
# pyproject.toml keeps pytest from loading that plugin by itself; it is loaded below, after this loop.
for name in [name for name in os.environ if name == "NO_COLOR" or name.startswith("TEXTUAL_")]:
    del os.environ[name]

# Whatever the machine speaks, tests speak English unless they ask for something else.
os.environ["LUKEWARM_LANGUAGE"] = os.environ["LANGUAGE"] = "en"

# Other processes of the same run have the other processors.
if "PYTEST_XDIST_WORKER" in os.environ:
    from sim.solver.threads import use_threads

    use_threads(1)

pytest_plugins = ["pytest_textual_snapshot"]

# Tests of own folders load the packaged files some 150 times. A node is never changed, so a text is parsed once.
from scenarios.files import strict_yaml  # noqa: E402

strict_yaml.parse = lru_cache(maxsize=256)(strict_yaml.parse)

# No deadline: on a busy machine a slow example is no failure. The same examples each time: a red run can be repeated.
settings.register_profile(
    "lukewarm", deadline=None, max_examples=50, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("lukewarm")


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    """After a test in another language the next one speaks English."""
    from scenarios.language import ENGLISH, choose, chosen

    yield
    if chosen() != ENGLISH:
        choose(ENGLISH)
    os.environ["LUKEWARM_LANGUAGE"] = os.environ["LANGUAGE"] = ENGLISH
