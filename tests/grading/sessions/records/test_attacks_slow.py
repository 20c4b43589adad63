"""Records under attack: processes killed while they write, and records changed at random. Slow; run with -m slow."""

from __future__ import annotations

import json
import random
import time
from contextlib import suppress
from multiprocessing import get_all_start_methods, get_context
from pathlib import Path
from typing import Any

import pytest

from grading.sessions.openings import resume
from grading.sessions.record import RecordEntry, as_bytes, parse_record, read_record
from grading.sessions.verification import CannotReplay, replayed
from scenarios.actions import Action
from scenarios.files.data_error import DataError
from tests.grading.sessions.records.killed_writer import CATALOGUE, JOB, write_notes
from tests.grading.workbench import FIND, PROVE, WRITE, play

KILLED = 500
MUTATED = 20_000
HONEST = 2_000
PROCESSES: Any = get_context("forkserver" if "forkserver" in get_all_start_methods() else "spawn")
PROCESSES.set_forkserver_preload(
    ["tests.grading.sessions.records.killed_writer"]
)  # a new process need not import and compile


def killed_once(path: Path, rng: random.Random) -> list[int]:
    """Numbers that a writer acknowledged before it was killed at a random moment."""
    here, there = PROCESSES.Pipe(duplex=False)
    writer = PROCESSES.Process(target=write_notes, args=(path, there))
    writer.start()
    there.close()
    begun = here.recv()
    time.sleep(rng.uniform(0.0, 0.05))
    writer.kill()
    writer.join()
    acknowledged = []
    with suppress(EOFError, OSError):
        while True:
            acknowledged.append(here.recv())
    here.close()
    assert begun == "begun"
    return acknowledged


def _check_killed(folder: Path, times: int) -> None:
    rng = random.Random(1)
    for k in range(times):
        path = folder / f"{k}.jsonl"
        acknowledged = killed_once(path, rng)
        kept = [int(entry.action.text(1).split()[0]) for entry in read_record(path)[1:]]
        assert kept == list(range(len(kept)))
        assert set(acknowledged) <= set(kept)
        again = resume(CATALOGUE, JOB, path, lambda text: None)
        assert again.do(Action("note", ("text", "after all"))).refused is None
        again.close()
        assert len(read_record(path)) == len(kept) + 2


def test_a_process_killed_while_it_writes_loses_nothing_acknowledged(tmp_path: Path) -> None:
    _check_killed(tmp_path, 2)


@pytest.mark.slow
def test_processes_killed_at_many_moments_lose_nothing_acknowledged(tmp_path: Path) -> None:
    _check_killed(tmp_path, KILLED)


def record() -> list[RecordEntry]:
    done = (*FIND, Action("diagnose", ("coolant-low", 90.0)), *PROVE, *WRITE, Action("handback"))
    return play(CATALOGUE, JOB, *done).recorder.entries


def mutated(lines: list[dict[str, Any]], rng: random.Random) -> bytes:
    """One change at random: of bytes, of a line, or of a field."""
    lines = json.loads(json.dumps(lines))
    kind = rng.randrange(6)
    k = rng.randrange(len(lines))
    if kind == 0:
        whole = bytearray("".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines).encode())
        for _ in range(rng.randint(1, 3)):
            whole[rng.randrange(len(whole))] = rng.randrange(256)
        return bytes(whole)
    if kind == 1:
        del lines[k]
    elif kind == 2:
        lines.insert(k, lines[rng.randrange(len(lines))])
    elif kind == 3:
        whole = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines).encode()
        return whole[: rng.randrange(len(whole))]
    else:
        target: Any = lines[k]
        while isinstance(target, dict | list) and target:
            key = rng.choice(list(target)) if isinstance(target, dict) else rng.randrange(len(target))
            if isinstance(target[key], dict | list) and target[key] and rng.random() < 0.8:
                target = target[key]
                continue
            values = [0, 1, -1, 10**25, 1.5, "x", "", None, True, [], {}, "\u2028", "x" * 3000]
            values += [target[key] * 2 if isinstance(target[key], int | float) else target[key]]
            target[key] = rng.choice(values)
            break
    if kind == 5:
        for n, line in enumerate(lines):
            line["n"] = n
    return "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines).encode()


def _check_mutated(count: int) -> dict[str, int]:
    rng = random.Random(2)
    lines = [json.loads(line) for line in as_bytes(record()).decode().split("\n")[:-1]]
    found = {"refused": 0, "not sound": 0, "not replayed": 0, "as replayed": 0}
    for _ in range(count):
        whole = mutated(lines, rng)
        try:
            entries = parse_record(whole, Path("record"))
        except DataError:
            found["refused"] += 1
            continue
        try:
            again = replayed(CATALOGUE, entries)
        except (CannotReplay, KeyError) as error:  # KeyError: another job's id
            assert isinstance(error, CannotReplay) or entries[0].data["job"] not in CATALOGUE.jobs
            found["not replayed"] += 1
            continue
        if not again.sound:
            found["not sound"] += 1
            continue
        found["as replayed"] += 1
        held = [entry for entry in again.session.recorder.entries if entry.kind == "action"]
        for entry, given in zip([e for e in again.entries if e.kind == "action"], held, strict=True):
            for name in ("verb", "arguments", "minute", "minutes", "safety"):
                assert entry.data[name] == given.data[name]
            if again.same_version:
                assert entry.steps == given.steps and entry.noticed == given.noticed
    return found


def test_a_changed_record_is_refused_or_marked_as_it_replays() -> None:
    found = _check_mutated(60)
    assert found["refused"] > 10 and sum(found.values()) == 60


@pytest.mark.slow
def test_many_changed_records_are_refused_or_marked_as_they_replay() -> None:
    found = _check_mutated(MUTATED)
    print(found)
    assert min(found.values()) > 0


@pytest.mark.slow
def test_many_honest_records_are_sound() -> None:
    """Random but possible work, each record written, read back and done again."""
    rng = random.Random(3)
    checks = [check.id for check in CATALOGUE.checks_of(CATALOGUE.vehicles[JOB.vehicle])]
    for number in range(HONEST):
        session = play(CATALOGUE, JOB)
        for _ in range(rng.randint(1, 8)):
            action = rng.choice(
                [
                    Action("check", (rng.choice(checks),)),
                    Action("engine", (rng.choice(["start", "stop"]),)),
                    Action("ignition", (rng.choice(["on", "off"]),)),
                    Action("set", ("heater", float(rng.randint(0, 100)))),
                    Action("set", ("blower", float(rng.randint(0, 4)))),
                    Action("drive", (round(rng.uniform(0.5, 5.0), 1), 50.0)),
                    Action("wait", (float(rng.randint(1, 30)),)),
                    Action("diagnose", ("coolant-low", float(rng.randint(0, 100)))),
                ]
            )
            session.do(action)
        if rng.random() < 0.5:
            session.do(Action("handback"))
        again = replayed(CATALOGUE, parse_record(as_bytes(session.recorder.entries), Path("record")))
        assert again.sound and again.same_version, (number, again.difference)
