"""Settings that hold for every test."""

import os

from hypothesis import HealthCheck, settings

# These change what Textual draws, and it reads some of them when it is imported. The snapshot plugin imports it, so
# pyproject.toml keeps pytest from loading that plugin by itself; it is loaded below, after this loop.
for name in [name for name in os.environ if name == "NO_COLOR" or name.startswith("TEXTUAL_")]:
    del os.environ[name]

pytest_plugins = ["pytest_textual_snapshot"]

# No deadline: on a busy machine a slow example is no failure. The same examples each time: a red run can be repeated.
settings.register_profile("lukewarm", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("lukewarm")
