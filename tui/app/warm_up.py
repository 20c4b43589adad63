"""Getting the physics ready while a person reads the job board and begins: compiled once on a machine, then loaded."""

from __future__ import annotations

import os
import subprocess
import threading
import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from scenarios.language import _, say
from tui.presentation.process.child_process import module_command

if TYPE_CHECKING:
    from scenarios.actions import Action
    from tui.presentation.desk import Done

BEHIND = 10
"""Niceness of the process that compiles, where systems know it."""


def exercise() -> None:
    """Run a vehicle for a moment, so that every law it needs is compiled or loaded."""
    from grading.sessions.session import Session
    from scenarios.actions import Action
    from scenarios.files.loader import load_catalogue

    catalogue = load_catalogue()
    job = next(iter(catalogue.jobs.values()))
    session = Session(catalogue, job, 1)
    for action in (
        Action("engine", ("start",)),
        Action("idle", (0.2,)),
        Action("check", (next(iter(catalogue.checks)),)),
    ):
        session.do(action)
    session.perceived()


class Physics:
    """The readiness of the physics. ``ready``: a job opens without waiting; ``compiled``: its laws run as machine code;
    ``failed`` says why neither will be.

    On a machine where the laws were never compiled they run as plain Python at first, while another process compiles.
    ``switch_if_loaded`` then changes over.
    """

    def __init__(self) -> None:
        self.ready, self.compiled = threading.Event(), threading.Event()
        self.failed: str | None = None
        self.started = time.monotonic()
        self.plain = False
        """Whether laws run as plain Python while they are being compiled."""
        self._acting = threading.Lock()
        self._switch: Callable[[], None] | None = None

    @property
    def seconds(self) -> float:
        """How long it has been at work [s]."""
        return time.monotonic() - self.started

    @property
    def state(self) -> str:
        """How far it is, in words."""
        if self.failed:
            return say("The physics cannot be made ready: {why}", why=self.failed)
        if self.compiled.is_set():
            return _("The vehicles are ready.")
        if self.ready.is_set():
            return say(
                "You can start work. Drives are slow while physics is compiled, once on this machine: {time:.0f} s.",
                time=self.seconds,
            )
        return _("Getting the vehicles ready.")

    @property
    def compiling(self) -> str:
        """How long it has been compiling, in words."""
        return say(
            "Compiling the physics, once on this machine: {seconds:.0f} s (about a minute).", seconds=self.seconds
        )

    def begin(self) -> None:
        """Start, in a thread; compiling happens in a process of its own, for it would hold up the screen."""
        from sim.compile import start_plain

        self.plain = start_plain()  # before any thread imports a law
        threading.Thread(target=self._prepare, name="physics", daemon=True).start()

    def _prepare(self) -> None:
        try:
            if self.plain:  # nothing to compile or load: modules alone
                import tui.app.screens.workshop  # noqa: F401
            else:
                exercise()
                self.compiled.set()
            self.ready.set()
            if self.plain:
                self._compiling().wait()
                from sim.compile import load

                self._switch = load()
        except Exception as error:  # whatever it is, the person must be told and not wait for ever
            self.failed = f"{type(error).__name__}: {error}"
            self.ready.set()
            self.compiled.set()

    @staticmethod
    def _compiling() -> subprocess.Popen[bytes]:
        """The process that compiles, behind everything that a person waits for."""
        nothing, behind = subprocess.DEVNULL, getattr(subprocess, "BELOW_NORMAL_PRIORITY_CLASS", 0)  # Windows alone
        command = module_command("tui.app.warm_up")
        return subprocess.Popen(command, stdin=nothing, stdout=nothing, stderr=nothing, creationflags=behind)

    def act(self, do: Callable[[Action], Done], action: Action) -> Done:
        """Do an action, in whichever thread, with the same laws from its beginning to its end."""
        with self._acting:
            return do(action)

    def switch_if_loaded(self) -> bool:
        """Put compiled laws in the place of plain ones, where they are loaded and no action is at work.

        Called in the thread of the screen, where nothing else then uses laws. Returns whether nothing is left to do.
        """
        if self._switch is not None and self._acting.acquire(blocking=False):
            try:
                self._switch()
                self._switch, self.plain = None, False
            finally:
                self._acting.release()
            self.compiled.set()
        return self.compiled.is_set()


if __name__ == "__main__":
    from sim.compile import note_compiled

    if hasattr(os, "nice"):
        os.nice(BEHIND)
    exercise()
    note_compiled()
