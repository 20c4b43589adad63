"""`lukewarm serve` as a person starts it, on a free port of the loopback address."""

from __future__ import annotations

import os
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tui.commands.serve import LOOPBACK
from tui.presentation.process.child_process import module_command


@contextmanager
def served(home: Path, folder: Path | None = None) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The server and its address. Records and settings go into ``home``; compiled laws are shared with the tests.

    folder: the current one of the server, the tests' own if not given.
    """
    with socket.socket() as probe:
        probe.bind((LOOPBACK, 0))
        port = probe.getsockname()[1]
    kept = {name: str(home) for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "WIN_PD_OVERRIDE_LOCAL_APPDATA")}
    server = subprocess.Popen(
        [*module_command("tui.commands.command"), "serve", "--port", str(port)],
        cwd=folder,
        env={**os.environ, **kept},
        stdout=subprocess.PIPE,
        encoding="utf-8",
    )
    with server:
        try:
            assert server.stdout is not None
            assert f"http://{LOOPBACK}:{port} " in server.stdout.readline()
            until = time.monotonic() + 60.0
            while time.monotonic() < until:  # it says where it listens a moment before it does
                with socket.socket() as trial:
                    if not trial.connect_ex((LOOPBACK, port)):
                        break
            yield server, f"http://{LOOPBACK}:{port}"
        finally:
            server.terminate()
