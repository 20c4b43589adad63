"""Hostile and damaged data files: always errors at places, or nothing wrong; never a traceback, and soon."""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest

from scenarios.authoring.check import MOST, check_folders
from scenarios.files.data_error import DataError, Problems
from scenarios.files.layout import MOST_FILES, files_of

SOON = 2.0
"""Seconds of processor time that a hostile folder may take; asked for only in the slow tests."""
ALIASES = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{chr(98 + k)}: &{chr(98 + k)} [{', '.join(['*' + chr(97 + k)] * 9)}]\n" for k in range(12)
)
HOSTILE: dict[str, bytes] = {
    "aliases": ALIASES.encode(),
    "deep list": b"[" * 100_000,
    "deep list, closed": b"[" * 20_000 + b"]" * 20_000,
    "deep mapping": "".join(f"{' ' * k}a:\n" for k in range(1200)).encode(),
    "deep flow mapping": b"{a: " * 50_000,
    "many values": b"[" + b"1," * 300_000 + b"1]",
    "many entries": b"- {id: x}\n" * 30_000,
    "many texts": b"- x\n" * 90_000,
    "many unknown keys": b"id: x\n" + b"".join(b"key-%d: 1\n" % k for k in range(40_000)),
    "many unknown names": b"id: x\nrequires: [" + b", ".join(b"heater-valv%d" % k for k in range(30_000)) + b"]\n",
    "many wrong choices": b"id: x\nshows: [" + b", ".join(b"lukewarn%d" % k for k in range(30_000)) + b"]\n",
    "many problems in a line": b"id: x\nname: " + b"\x01" * 200_000,
    "long whole number": b"id: x\nrate: " + b"9" * 500_000,
    "long number": b"id: x\nrate: 1e" + b"9" * 500_000,
    "long fraction": b"id: x\nrate: 0." + b"1" * 900_000,
    "long hexadecimal number": b"id: x\nrate: 0x" + b"f" * 500_000,
    "long key": b"? " + b"k" * 500_000 + b"\n: 1\n",
    "key that is a list": b"? [a, b]\n: 1\n",
    "too large": b"#" * (3 << 20),
    "empty": b"",
    "comment only": b"# nothing\n",
    "byte order mark only": b"\xef\xbb\xbf",
    "UTF-16": "id: x\n".encode("utf-16"),
    "UTF-16 without a mark": "id: x\n".encode("utf-16-le"),
    "Latin-1": "id: x\nname: Kühler\n".encode("latin-1"),
    "NUL": b"id: x\x00\n",
    "surrogate": b"id: \xed\xa0\x80\n",
    "escape": b'id: "\\ud800"\n',
    "escape out of range": b'id: "\\U00110000"\n',
    "terminal escape": b"id: \x1b[2J\n",
    "right to left": "id: x\nname: a\u202eb\n".encode(),
    "tag": b"!!python/object/apply:os.system [echo]\n",
    "directive": b"%YAML 9.9\n---\nid: x\n",
    "two documents": b"id: x\n---\nid: y\n",
    "merge key": b"id: x\n<<: {a: b}\n",
    "tabs": b"id:\tx\n\tname: y\n",
    "carriage returns": b"id: x\rname: y\r",
    "not a number": b"id: x\nrate: .nan\n",
    "infinite": b"id: x\nrate: -.inf\n",
    "quotes": b'id: "x\n',
    "block": b"id: |9\n x\n",
    "colon": b":\n:\n:\n",
    "questions": b"? ? ? ?\n",
    "dashes": b"- " * 30_000,
}


def looked_over(folder: Path, kind: str, content: bytes, alone: bool = False) -> int:
    """How much is wrong with a folder of this one file; every error stands at a place.

    alone: without the packaged catalogue, which is far quicker.
    """
    (folder / kind).mkdir(parents=True, exist_ok=True)
    (folder / kind / "x.yaml").write_bytes(content)
    findings = check_folders([folder], alone)
    for error in findings.errors:
        assert error.line >= 1 and error.column >= 1 and error.problem and error.expected
        assert str(error).isprintable() and len(str(error)) < 2000
    findings.lines()
    return len(findings.errors)


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_told_at_a_place(tmp_path: Path, name: str) -> None:
    assert 1 <= looked_over(tmp_path, "faults", HOSTILE[name], alone=True) <= MOST + 60


@pytest.mark.slow
@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_told_soon(tmp_path: Path, name: str) -> None:
    looked_over(tmp_path, "faults", b"id: x\n")  # what is imported does not count
    start = time.process_time()
    looked_over(tmp_path, "faults", HOSTILE[name])
    assert time.process_time() - start < SOON


def test_too_many_files_are_refused(tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    for number in range(MOST_FILES + 1):
        (tmp_path / "jobs" / f"{number}.yaml").touch()
    problems = Problems()
    assert len(list(files_of(tmp_path, problems))) == MOST_FILES
    with pytest.raises(DataError, match=f"more than {MOST_FILES} files"):
        problems.finish()


PIECES = [bytes([mark]) for mark in b":[]{}'\"\t\n\r%|>~\x00\xff\xc3"]
PIECES += [b" #", b"- ", b"? ", b"&a ", b"*a", b"!x ", b"1e999", b"0x", b".nan", b"---\n", b"...\n", b"\xe2\x80\xae"]


def mutated(whole: bytes, chance: random.Random) -> bytes:
    """A file with a few of its bytes replaced, cut out, doubled, or with something put in."""
    data = bytearray(whole)
    for _ in range(chance.randint(1, 5)):
        start = chance.randrange(len(data) + 1)
        end = min(start + chance.randint(1, 30), len(data))
        match chance.randrange(5):
            case 0:
                data[start:start] = chance.choice(PIECES)
            case 1:
                del data[start:end]
            case 2:
                data[start:start] = data[start:end] * chance.randint(1, 5)
            case 3:
                data[start : start + 1] = bytes([chance.randrange(256)])
            case _:
                data[start:end] = chance.choice(PIECES) * chance.randint(1, 3)
    return bytes(data)


def mutations(folder: Path, seed: int, count: int, most: float, alone: bool = False) -> int:
    """Look over a folder, again and again with one file mutated; how often something was wrong.

    most: seconds of processor time that it may take; alone: without the packaged catalogue, which is far quicker.
    """
    chance = random.Random(seed)
    files = sorted(folder.rglob("*.yaml"))
    wholes = {file: file.read_bytes() for file in files}
    wrong = 0
    for _ in range(count):
        file = chance.choice(files)
        file.write_bytes(mutated(wholes[file], chance))
        start = time.process_time()
        findings = check_folders([folder], alone)
        assert time.process_time() - start < most
        for error in findings.errors:
            assert error.file.startswith(str(folder)) and error.line >= 1 and error.column >= 1
            assert str(error).isprintable()
        wrong += bool(findings.errors)
        file.write_bytes(wholes[file])
    return wrong


def test_mutated_files_are_errors_at_places_or_still_right(starter: Path) -> None:
    assert 3 < mutations(starter, 1, 8, float("inf")) <= 8
    assert mutations(starter, 3, 100, float("inf"), alone=True) == 100  # no vehicle there


@pytest.mark.slow
def test_mutated_files_by_the_thousand(starter: Path) -> None:
    assert 150 < mutations(starter, 2, 300, SOON) < 300
    assert mutations(starter, 4, 4700, SOON, alone=True) == 4700
