"""Processes of our own run our code, whatever lies in the current folder and whatever the path of Python holds."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.tui.foreign import FOUND, foreign_folder
from tui.app.warm_up import Physics
from tui.presentation.process.child_process import module_command, shell_line


def test_a_module_of_ours_is_not_looked_for_in_the_current_folder(tmp_path: Path) -> None:
    folder = foreign_folder(tmp_path)
    command = [*module_command("tui.commands.command"), "show", "jobs"]
    subprocess.run(command, cwd=folder, capture_output=True, check=True)
    assert not (folder / FOUND).exists()


def test_the_laws_are_compiled_by_our_own_code(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = foreign_folder(tmp_path)
    monkeypatch.chdir(folder)
    assert Physics._compiling().wait(300.0) == 0
    assert not (folder / FOUND).exists()


ECHO = """#!/bin/sh
for word in "$@"; do printf '%s\\n' "$word"; done
"""


@pytest.mark.skipif(os.name != "posix", reason="asks the shell of POSIX")
def test_a_shell_takes_the_words_as_they_are(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / 'it\'s a $(touch found) & `touch found`; "two"'
    folder.mkdir()
    python = folder / "python"
    python.write_text(ECHO, encoding="utf-8")
    python.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(python))
    line = shell_line(module_command("tui.commands.serve"))
    done = subprocess.run(line, shell=True, cwd=tmp_path, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["-P", "-m", "tui.commands.serve"]
    assert not (tmp_path / "found").exists()


@pytest.mark.parametrize("path", [r"C:\Program Files\Python\python.exe", r"C:\R&D\python.exe"])
def test_the_shell_of_windows_gets_every_word_in_quotes(path: str) -> None:
    assert shell_line([path, "-m", "tui"], windows=True) == f'"{path}" "-m" "tui"'
