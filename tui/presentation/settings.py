"""What a person chose once and wants kept: theme, units, how jobs are sat, the language, whether anything moves."""

from __future__ import annotations

import json
from pathlib import Path
from typing import NamedTuple

import platformdirs

from grading.sessions.modes import FREE, GUIDED, MODES
from scenarios.language import LANGUAGES
from tui.presentation.units import Units


class Settings(NamedTuple):
    """theme: a name; units: those shown; mode: how the next job is sat; language: a code, None
    for the machine's own; animation: whether time is played and screens move.
    """

    theme: str = "lamplight"
    units: Units = "si"
    mode: str = FREE
    language: str | None = None
    animation: bool = True


def settings_path() -> Path:
    """Where they are kept."""
    return platformdirs.user_config_path("lukewarm", appauthor=False) / "settings.json"


def load_settings() -> Settings:
    """The settings kept; defaults for whatever is missing or makes no sense. Who never chose begins in guided mode."""
    try:
        kept = json.loads(settings_path().read_text(encoding="utf-8"))
        theme, units, mode = kept.get("theme"), kept.get("units"), kept.get("mode")
        language, animation = kept.get("language"), kept.get("animation")
    except (OSError, ValueError, AttributeError, RecursionError):
        return Settings(mode=GUIDED)
    default = Settings()
    return Settings(
        theme if isinstance(theme, str) else default.theme,
        "us" if units == "us" else "si",
        mode if isinstance(mode, str) and mode in MODES else GUIDED,
        language if isinstance(language, str) and language in LANGUAGES else None,
        animation is not False,
    )


def save_settings(settings: Settings) -> None:
    """Keep the settings; a place that cannot be written to is no reason to stop."""
    path = settings_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(settings._asdict()), encoding="utf-8", newline="\n")
    except OSError:
        return
