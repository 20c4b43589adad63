"""Text from files can inject neither an escape nor markup, wherever it is shown."""

from __future__ import annotations

import os
import subprocess
import sys
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

import scenarios.loader
from tests.tui.hostile import HOSTILE, hostile_catalogue
from tests.tui.program import play, press, text_of
from tui.app import Lukewarm

Run = Callable[..., tuple[int, str, str]]


def _unseen(text: str) -> set[str]:
    return {mark for mark in text if mark != "\n" and unicodedata.category(mark) in ("Cc", "Cf", "Cs")}


@pytest.mark.parametrize("text", HOSTILE)
def test_text_interface_prints_nothing_unseen(monkeypatch: pytest.MonkeyPatch, lukewarm: Run, text: str) -> None:
    hostile = hostile_catalogue(text)
    monkeypatch.setattr(scenarios.loader, "load_catalogue", lambda *folders: hostile)
    lines = ("look", "card", f"note {text}", text, "check coolant-level-cold", "readings", "quit")
    for form in ("plain", "json"):
        status, output, errors = lukewarm("text", "cold-tern", "--format", form, lines=lines)
        assert status == 1
        assert not _unseen(output + errors)
    for kind in ("vehicles", "faults", "checks", "repairs", "jobs"):
        _, output, _ = lukewarm("show", kind)
        assert not _unseen(output)


@pytest.mark.parametrize("text", HOSTILE[::3])
def test_screens_show_nothing_unseen(text: str) -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        seen = [text_of(app)]
        await press(pilot, "enter", "2", "down", "down", "down")
        seen.append(text_of(app))
        await press(pilot, "enter")
        seen.append(text_of(app))
        await press(pilot, "enter")
        for keys in (("n",), ("s", "right"), ("k",), ("5",), ("x",)):
            await press(pilot, *keys)
            seen.append(text_of(app))
        assert not set().union(*map(_unseen, seen))

    play(hostile_catalogue(text), part)


def test_markup_is_shown_as_it_is_written() -> None:
    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        assert "[bold red]markup" in text_of(app)
        await press(pilot, "enter")
        assert "[bold red]markup" in text_of(app)
        await press(pilot, "s")
        assert "[bold red]markup" in text_of(app)

    play(hostile_catalogue("[bold red]markup[/bold red]"), part)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no pty")
def test_no_escape_of_a_file_reaches_the_terminal(tmp_path: Path) -> None:
    import fcntl
    import pty
    import select
    import struct
    import termios

    script = (
        "import asyncio; from tests.tui.hostile import hostile_catalogue; from tests.tui.program import Ready;"
        "from tui.app import Lukewarm; app = Lukewarm(hostile_catalogue('\\x1b]0;taken\\x07\\x9b31mtaken'), Ready());"
        "app.call_later(app.set_timer, 0.6, app.exit); app.run()"
    )
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    environment = {
        **os.environ,
        "TERM": "xterm-256color",
        "XDG_DATA_HOME": str(tmp_path),
        "XDG_CONFIG_HOME": str(tmp_path),
    }
    with subprocess.Popen(
        [sys.executable, "-c", script], stdin=slave, stdout=slave, stderr=slave, env=environment, close_fds=True
    ) as process:
        os.close(slave)
        output = b""
        while select.select([master], [], [], 30.0)[0]:
            try:
                part = os.read(master, 65536)
            except OSError:  # the other end is closed
                break
            if not part:
                break
            output += part
        process.wait()
    os.close(master)
    assert process.returncode == 0
    assert output.count(b"taken") >= 2
    assert b"0;taken\x07" not in output
    assert b"\x1b]0;taken" not in output
    assert "\x9b".encode() not in output
