"""Getting the physics ready while a person reads the job board: compiled once on a machine, then only loaded."""

from __future__ import annotations

import subprocess
import threading
import time

from scenarios.language import _, say
from tui.presentation.process.child_process import module_command


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


def _compiled_before() -> bool:
    """Whether machine code of exactly these laws is there; also where none can be kept, for no process then helps."""
    import sim.compile

    folder = sim.compile.CACHE
    return folder is None or any(folder.rglob("*.nbi"))


class Physics:
    """The readiness of the physics: ``ready`` is set once a job opens without waiting; ``failed`` says why not."""

    def __init__(self) -> None:
        self.ready = threading.Event()
        self.compiling = False
        self.failed: str | None = None
        self.started = time.monotonic()

    @property
    def seconds(self) -> float:
        """How long it has been at work [s]."""
        return time.monotonic() - self.started

    @property
    def state(self) -> str:
        """How far it is, in words."""
        if self.failed:
            return say("The physics cannot be made ready: {why}", why=self.failed)
        if self.ready.is_set():
            return _("The vehicles are ready.")
        if self.compiling:
            return say(
                "Getting the vehicles ready, once on this machine: {seconds:.0f} s (about a minute).",
                seconds=self.seconds,
            )
        return _("Getting the vehicles ready.")

    def begin(self) -> None:
        """Start, in a thread; compiling happens in a process of its own, for it would hold up the screen."""
        threading.Thread(target=self._prepare, name="physics", daemon=True).start()

    def _prepare(self) -> None:
        try:
            if not _compiled_before():
                self.compiling = True
                subprocess.run(
                    module_command("tui.app.warm_up"),
                    check=False,
                    stdin=subprocess.DEVNULL,
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.DEVNULL,
                )
            exercise()
        except Exception as error:  # whatever it is, the person must be told and not wait for ever
            self.failed = f"{type(error).__name__}: {error}"
        self.compiling = False
        self.ready.set()


if __name__ == "__main__":
    exercise()
