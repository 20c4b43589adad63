"""Processes of our own beside the program: started so that they run our code and nothing else."""

from __future__ import annotations

import os
import shlex
import sys


def module_command(name: str) -> list[str]:
    """The command that runs a module of ours.

    ``-P`` keeps Python from looking in the current folder first: a folder ``tui`` that lies there is not ours.
    """
    return [sys.executable, "-P", "-m", name]


def shell_line(command: list[str], windows: bool = os.name == "nt") -> str:
    r"""A command as one line for the shell of this system, for what takes nothing else.

    >>> shell_line(["/opt/my python/python", "-m", "tui"], windows=False)
    "'/opt/my python/python' -m tui"

    Windows: every word in quotes, for ``subprocess.list2cmdline`` leaves ``C:\R&D\python.exe`` bare, and its shell
    would take the ``&`` for the end of a command. None of the words may hold a quote; no path there can.
    """
    return " ".join(f'"{word}"' for word in command) if windows else shlex.join(command)
