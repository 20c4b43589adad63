"""A folder in which packages of our names lie that are not ours."""

from __future__ import annotations

from pathlib import Path

FOUND = "found"
"""The file that they write where they are run."""
_LEAVES_A_TRACE = f'from pathlib import Path\nPath("{FOUND}").write_text(__name__, encoding="utf-8")\n'


def foreign_folder(parent: Path) -> Path:
    """A new folder with a foreign ``tui`` and ``scenarios``; each writes FOUND into the current folder, and fails."""
    folder = parent / "somebody's"
    for package in ("tui", "scenarios"):
        (folder / package).mkdir(parents=True)
        (folder / package / "__init__.py").write_text(_LEAVES_A_TRACE + "1 / 0\n", encoding="utf-8")
    return folder
