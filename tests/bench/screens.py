"""The terminal program as a person feels it: first picture, key to repaint, work while idle, a warm-up that is skipped.

The program runs in a pseudo-terminal, as a person starts it, and is measured from outside: keys are written, what it
paints is read. Only POSIX has pseudo-terminals; elsewhere these are left out with a word on standard error. Times are
of the wall, so the load of the machine is stated beside them.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import numpy as np

from scenarios.files.loader import load_catalogue
from sim.observation.instruments import INSTRUMENTS
from tests.bench.bench import Bar, Bench, say

SIZE = (120, 40)
LANGUAGE = "en"
"""The words waited for are English."""
STARTS = 9
PROGRAM = "import sys; from tui.commands.command import main; sys.exit(main([]))"
ON_THE_BOARD = (b"vehicles whose cabin", "▪".encode(), b"km, ", b"Getting the vehicles ready", b"Take the key")
"""A word of each part of the board: the board is painted once they all are."""
HARDLY_A_PROGRAM = """
import gc; gc.disable()
from textual.app import App
from textual.widgets import Footer, OptionList, Static

class Hardly(App):
    BINDINGS = [("q", "quit", "Take the key")]

    def compose(self):
        yield Static("vehicles")
        yield OptionList("one", "two")
        yield Footer(show_command_palette=False)

Hardly().run()
"""
"""The least that Textual can be asked to show, started in turn with ours: what a machine takes for Textual itself."""
LONGEST = 60.0
"""Patience with an answer [s]; compiling on a machine for the first time takes longer, so run it once before."""
IDLE_SECONDS = 10.0
SETTLES = 8.0
"""Time for the program to have compiled or loaded its laws and come to rest after a job is opened [s]."""
JOB = "quiet-dash"
"""Its engine warms up as a sound one does."""
WARM_UP = 20
"""What is skipped [min]."""
VEHICLES = 3
"""Times that a cold engine is warmed up."""
SKIPS, MOVES = 8, 40
"""Keys pressed at each vehicle: while time passes, and in the list of checks."""
_POSIX = os.name == "posix"
_TOLD = Path("/proc/self/stat")
"""Where Linux tells a process's times."""
FRESH_STARTS = 3
"""Starts of the program with an empty cache."""
HEARD = tuple(INSTRUMENTS["ear at the dash"].show(step).encode() for step in range(3))
"""What the first check of the list, listening to the blend door, can tell."""
LATER = b"gauge on the way"
"""What is told of a time with the engine running, once it has passed."""
NO_TERMINAL = "this system has no pseudo-terminal"


@contextmanager
def _in_a_terminal(home: Path, program: str = PROGRAM, cache: Path | None = None) -> Iterator[Terminal]:
    """The program in a pseudo-terminal of that size; its records go to a home of its own; cache: as of ``Terminal``."""
    terminal = Terminal(home, program, cache)
    try:
        yield terminal
    finally:
        terminal.close()


class Terminal:
    """The installed program behind a pseudo-terminal."""

    def __init__(self, home: Path, program: str, cache: Path | None = None) -> None:
        """cache: folder of a cache of its own, the user's if not given."""
        import fcntl
        import pty
        import struct
        import termios

        self.master, slave = pty.openpty()  # pyright: ignore[reportAttributeAccessIssue]
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", SIZE[1], SIZE[0], 0, 0))  # pyright: ignore
        environment = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        environment |= {"XDG_DATA_HOME": str(home), "XDG_CONFIG_HOME": str(home), "LUKEWARM_LANGUAGE": LANGUAGE}
        environment |= {"HOME": str(home)} if sys.platform == "darwin" else {}
        if cache is not None:
            environment |= {"XDG_CACHE_HOME": str(cache), "NUMBA_CACHE_DIR": str(cache)}
        # A warm cache holds the bytecode too. Where this variable is set, as in many containers, Python would compile
        # the sources of an editable installation at every start; an ordinary installation brings their bytecode along.
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        self.started = time.perf_counter()
        self.process = subprocess.Popen(
            [sys.executable, "-P", "-c", program],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=environment,
            start_new_session=True,
        )
        os.close(slave)

    def until(self, *texts: bytes) -> float:
        """Read until all the texts are painted; seconds since the start of the process."""
        seen, end = b"", time.perf_counter() + LONGEST
        while any(text not in seen for text in texts):
            seen += self.read(end)
        return time.perf_counter() - self.started

    def pass_time(self, seconds: float) -> None:
        """Read whatever is painted, so that the program never waits for its reader."""
        end = time.perf_counter() + seconds
        with suppress(TimeoutError):
            while time.perf_counter() < end:
                self.read(end)

    def press(self, keys: bytes) -> None:
        """Type."""
        os.write(self.master, keys)

    def answer(self, keys: bytes, text: bytes = b"") -> float:
        """Type and read until the text is painted, or anything at all; seconds that took."""
        begin, seen = time.perf_counter(), b""
        self.press(keys)
        while not seen or text not in seen:
            seen += self.read(begin + LONGEST)
        return time.perf_counter() - begin

    def read(self, end: float) -> bytes:
        """What is painted next, at the latest at an end [s of the performance counter]."""
        import select

        if not select.select([self.master], [], [], max(end - time.perf_counter(), 0.0))[0]:
            raise TimeoutError("the program painted nothing, expected an answer")
        return os.read(self.master, 1 << 16)

    def until_one_of(self, *texts: bytes) -> float:
        """Read until one of the texts is painted; seconds since the start of the process."""
        seen, end = b"", time.perf_counter() + LONGEST
        while not any(text in seen for text in texts):
            seen += self.read(end)
        return time.perf_counter() - self.started

    def take_the_key(self, ready: bytes = b"The vehicles are ready") -> None:
        """Open the workshop of the job; ready: what is painted once that is possible."""
        self.until(ready)
        self.press(b"\x1b[B" * list(load_catalogue().jobs).index(JOB))
        self.pass_time(0.5)
        self.press(b"\r")
        self.until(b"The key is yours")

    def processor_seconds(self) -> float:
        """Time of the processor that the process has used [s], all its threads; not a number where none tells it."""
        if not _TOLD.is_file():
            return float("nan")
        fields = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")  # pyright: ignore

    def close(self) -> None:
        """Stop the program."""
        os.killpg(self.process.pid, signal.SIGKILL)  # with the process that compiles for it
        self.process.wait()
        os.close(self.master)


def _left_out(why: str, *keys: str) -> dict[str, float]:
    say(f"{', '.join(keys)}: left out, {why}")
    return dict.fromkeys(keys, float("nan"))


def measure_first_frame() -> dict[str, float]:
    """Start of the process to the last part of the first job board: median, the first start not counted.

    The ratio is to hardly a program, started in turn: machines that change their speed change both.
    """
    if not _POSIX:
        return _left_out(NO_TERMINAL, "first_frame_ms", "first_frame_over_textual")
    ours: list[float] = []
    least: list[float] = []
    with TemporaryDirectory() as home:
        for _ in range(STARTS + 1):
            with _in_a_terminal(Path(home)) as terminal:
                ours.append(1000.0 * terminal.until(*ON_THE_BOARD))
            with _in_a_terminal(Path(home), HARDLY_A_PROGRAM) as terminal:
                least.append(1000.0 * terminal.until(b"Take the key"))
    for name, taken in (("ours", ours), ("hardly a program", least)):
        say(f"first frame, {name}: {', '.join(f'{each:.0f}' for each in taken[1:])} ms; {_load()}")
    ratios = [our / its for our, its in zip(ours[1:], least[1:], strict=True)]
    return {"first_frame_ms": median(ours[1:]), "first_frame_over_textual": median(ratios)}


def measure_idle() -> dict[str, float]:
    """Share of one processor that the workshop takes while nothing is pressed, by the process's own times."""
    if not _POSIX or not _TOLD.is_file():
        return _left_out("this system does not tell the times of a process as Linux does", "idle_cpu_percent")
    with TemporaryDirectory() as home, _in_a_terminal(Path(home)) as terminal:
        terminal.take_the_key()
        terminal.pass_time(SETTLES)
        before, begin = terminal.processor_seconds(), time.perf_counter()
        terminal.pass_time(IDLE_SECONDS)
        used, passed = terminal.processor_seconds() - before, time.perf_counter() - begin
    say(f"idle: {used:.2f} s of the processor in {passed:.1f} s; {_load()}")
    return {"idle_cpu_percent": 100.0 * used / passed}


def _load() -> str:
    return f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors"


def measure_keys() -> dict[str, float]:
    """A cold engine warmed up and skipped, from Enter to the repaint of what came of it; and key to repaint.

    While time passes, the only thing a key does is to skip, so that is one kind of key; the other moves the cursor in
    the list of checks while the engine runs. The worse 95th percentile of the two counts.
    """
    if not _POSIX:
        return _left_out(NO_TERMINAL, "key_p95_ms", "warmup_wall_seconds")
    warm_ups: list[float] = []
    skips: list[float] = []
    moves: list[float] = []
    for _ in range(VEHICLES):
        with TemporaryDirectory() as home, _in_a_terminal(Path(home)) as terminal:
            terminal.take_the_key()
            terminal.press(b"e")
            terminal.pass_time(1.0)
            for number in range(SKIPS + 1):
                terminal.press(b"l")
                terminal.pass_time(0.5)
                terminal.press(str(WARM_UP).encode())
                terminal.pass_time(0.3)
                begun = terminal.answer(b"\r", b"any key skips")
                if number:
                    terminal.pass_time(0.4)
                skipped = terminal.answer(b" ", LATER)
                warm_ups += [] if number else [begun + skipped]
                skips += [skipped] if number else []
                terminal.pass_time(0.4)
            for number in range(MOVES):
                moves.append(terminal.answer(b"\x1b[B" if number < MOVES / 2 else b"\x1b[A"))
                terminal.pass_time(0.1)
    p95 = {name: 1000.0 * float(np.percentile(all_, 95)) for name, all_ in (("skip", skips), ("move", moves))}
    say(f"keys: {', '.join(f'{name} {value:.1f} ms' for name, value in p95.items())} (95 %); {_load()}")
    say(f"warm-up: {', '.join(f'{each:.2f}' for each in warm_ups)} s")
    return {"key_p95_ms": max(p95.values()), "warmup_wall_seconds": median(warm_ups)}


def measure_first_reading() -> dict[str, float]:
    """Start of the process to the first reading, on a machine where nothing has been compiled: the median of a few.

    A person needs half a second to find the job, takes its first check and skips the film. Then keys move the cursor
    in the list of checks while another process compiles.
    """
    if not _POSIX:
        return _left_out(NO_TERMINAL, "first_reading_s", "compiling_key_p95_ms")
    readings: list[float] = []
    moves: list[float] = []
    for _ in range(FRESH_STARTS):
        with (
            TemporaryDirectory() as home,
            TemporaryDirectory(ignore_cleanup_errors=True) as cache,
            _in_a_terminal(Path(home), cache=Path(cache)) as terminal,
        ):
            terminal.take_the_key(b"You can start work")
            terminal.answer(b"\r", b"any key skips")
            terminal.press(b" ")
            readings.append(terminal.until_one_of(*HEARD))
            terminal.pass_time(0.5)
            for number in range(MOVES):
                moves.append(terminal.answer(b"\x1b[B" if number < MOVES / 2 else b"\x1b[A"))
                terminal.pass_time(0.1)
    p95 = 1000.0 * float(np.percentile(moves, 95))
    say(f"first reading: {', '.join(f'{each:.2f}' for each in readings)} s; then keys {p95:.1f} ms (95 %); {_load()}")
    return {"first_reading_s": median(readings), "compiling_key_p95_ms": p95}


BENCHES = [
    Bench({"first_reading_s": Bar(at_most=5.0), "compiling_key_p95_ms": Bar(at_most=40.0)}, measure_first_reading),
    Bench({"first_frame_ms": Bar(), "first_frame_over_textual": Bar(at_most=1.35)}, measure_first_frame),
    Bench({"key_p95_ms": Bar(at_most=25.0), "warmup_wall_seconds": Bar(at_most=0.3)}, measure_keys),
    Bench({"idle_cpu_percent": Bar(at_most=1.0)}, measure_idle),
]
