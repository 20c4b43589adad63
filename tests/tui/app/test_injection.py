"""Text from files can inject neither an escape nor markup, wherever it is shown."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

import scenarios.files.loader
from tests.tui.hostile import HOSTILE, hostile_catalogue
from tests.tui.program import play, press, text_of
from tui.app.app import Lukewarm

Run = Callable[..., tuple[int, str, str]]
ROOT = Path(__file__).parents[3]


def _unseen(text: str) -> set[str]:
    return {mark for mark in text if mark != "\n" and unicodedata.category(mark) in ("Cc", "Cf", "Cs")}


@pytest.mark.parametrize(
    "text", [pytest.param(text, marks=() if k % 3 == 0 else pytest.mark.slow) for k, text in enumerate(HOSTILE)]
)
def test_text_interface_prints_nothing_unseen(monkeypatch: pytest.MonkeyPatch, lukewarm: Run, text: str) -> None:
    hostile = hostile_catalogue(text)
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: hostile)
    lines = ("look", "card", f"note {text}", text, "check coolant-level-cold", "readings", "quit")
    for form in ("plain", "json"):
        status, output, errors = lukewarm("text", "cold-tern", "--format", form, lines=lines)
        assert status == 1
        assert not _unseen(output + errors)
    for kind in ("vehicles", "faults", "checks", "repairs", "jobs"):
        _, output, _ = lukewarm("show", kind)
        assert not _unseen(output)


@pytest.mark.parametrize(
    "text", [pytest.param(text, marks=() if k % 40 == 0 else pytest.mark.slow) for k, text in enumerate(HOSTILE)]
)
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


LONGEST_SILENCE_S = 600.0
"""The laws may have to be compiled, beside other work."""
SEQUENCE = re.compile(
    rb"\x1b\[(?P<kind>[<=>?]?)[0-9:;]*(?P<between>[ -/]*)(?P<last>[@-~])|\x1b(?P<other>[^\[])", re.DOTALL
)


def _kinds(output: bytes) -> set[tuple[bytes, ...]]:
    """Kinds of escape sequences in what was written, whatever their figures."""
    return {tuple(part or b"" for part in match.groups()) for match in SEQUENCE.finditer(output)}


def _written(numbers: list[int], home: Path) -> bytes:
    """All that the program writes to a terminal on the hostile catalogues of these numbers."""
    import fcntl
    import pty
    import select
    import struct
    import termios

    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
    environment = {**os.environ, "TERM": "xterm-256color", "XDG_DATA_HOME": str(home), "XDG_CONFIG_HOME": str(home)}
    environment |= {"HOME": str(home)} if sys.platform == "darwin" else {}
    output = b""
    with subprocess.Popen(
        [sys.executable, "-m", "tests.tui.hostile_terminal", *map(str, numbers)],
        stdin=slave,
        stdout=slave,
        stderr=slave,
        env=environment,
        cwd=ROOT,
        close_fds=True,
    ) as process:
        os.close(slave)
        while True:
            if not select.select([master], [], [], LONGEST_SILENCE_S)[0]:
                process.kill()  # it would wait for a reader, and this for it
                break
            try:
                part = os.read(master, 65536)
            except OSError:  # the other end is closed
                break
            if not part:
                break
            output += part
        process.wait()
    os.close(master)
    assert process.returncode == 0, output[-3000:].decode(errors="replace")
    return output


@pytest.fixture(scope="module")
def harmless(tmp_path_factory: pytest.TempPathFactory) -> set[tuple[bytes, ...]]:
    """Kinds of escape sequences that the program writes of itself."""
    return _kinds(_written([-1], tmp_path_factory.mktemp("harmless")))


@pytest.mark.skipif(sys.platform == "win32", reason="there is no pty")
@pytest.mark.parametrize("number", [pytest.param(k, marks=pytest.mark.slow) for k in range(len(HOSTILE))])
def test_nothing_of_a_text_reaches_the_terminal_as_a_command(
    number: int, harmless: set[tuple[bytes, ...]], tmp_path: Path
) -> None:
    output = _written([number], tmp_path)
    assert _kinds(output) <= harmless
    text = output.decode("utf-8")
    assert not {mark for mark in text if unicodedata.category(mark) in ("Cf", "Cs") or "\x80" <= mark <= "\x9f"}
    for word in re.findall(r"[a-z]{4,}", HOSTILE[number])[:1]:
        assert word[:20] in text  # it was shown, as the harmless words that are left of it
    if any(unicodedata.category(mark) == "Cc" for mark in HOSTILE[number]):
        assert HOSTILE[number] not in text or HOSTILE[number] in ("\x1b", "\x1b[")


def test_there_are_fifty_and_more_of_them() -> None:
    assert len(set(HOSTILE)) >= 50
