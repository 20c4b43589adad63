"""Zip files of folders: what is packed comes back, and hostile ones are refused before anything is unpacked."""

from __future__ import annotations

import random
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from scenarios.authoring.packing import pack_folder
from scenarios.files.data_error import DataError
from scenarios.files.layout import MOST_FILES
from scenarios.files.loader import load_catalogue
from scenarios.files.packed import MOST_BYTES, read_pack
from scenarios.wrong_use import WrongUse

Run = Callable[..., tuple[int, str, str]]
INSIDE = "expected a path inside the folder"


def zipped(path: Path, *members: tuple[str | zipfile.ZipInfo, bytes], method: int = zipfile.ZIP_DEFLATED) -> Path:
    with zipfile.ZipFile(path, "w", method) as archive:
        for name, data in members:
            archive.writestr(name, data)
    return path


def told(path: Path) -> str:
    with pytest.raises(DataError) as raised:
        read_pack(path)
    return str(raised.value).replace(str(path), "p.zip")


def link(name: str) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name)
    member.external_attr = 0o120777 << 16
    return member


def test_a_packed_folder_holds_what_is_read_and_nothing_else(starter: Path) -> None:
    (starter / "notes.txt").write_text("private", encoding="utf-8")
    (starter / "jobs" / ".hidden.yaml").write_text("private", encoding="utf-8")
    packed, count = pack_folder(starter)
    names = zipfile.ZipFile(packed).namelist()
    assert names == ["checks/my-checks.yaml", "faults/my-faults.yaml", "jobs/my-job.yaml"] and count == 3
    assert packed == starter.with_suffix(".zip")
    assert load_catalogue(packed) == load_catalogue(starter)
    again, _count = pack_folder(starter, starter.parent / "again.zip")
    assert again.read_bytes() == packed.read_bytes()
    with pytest.raises(WrongUse, match="is there already"):
        pack_folder(starter)


def test_the_command_packs_only_what_loads(starter: Path, lukewarm: Run) -> None:
    (starter / "jobs" / "my-job.yaml").write_text("id: x\n", encoding="utf-8")
    status, _, errors = lukewarm("author", "pack", str(starter))
    assert status == 2 and "my-job.yaml:1:1: no key" in errors
    assert not starter.with_suffix(".zip").exists()


def test_an_error_in_a_packed_file_names_zip_file_and_line(tmp_path: Path) -> None:
    path = zipped(tmp_path / "p.zip", ("jobs/a.yaml", b"id: a\ntitle: [x\n"))
    with pytest.raises(DataError) as raised:
        load_catalogue(path)
    assert str(raised.value).startswith(f"{path}/jobs/a.yaml:3:1: not YAML")


@pytest.mark.parametrize(
    ("members", "expected"),
    [
        ([("../jobs/a.yaml", b"x")], f"p.zip/../jobs/a.yaml:1:1: the path '../jobs/a.yaml', {INSIDE}"),
        ([("jobs/../../a.yaml", b"x")], f"p.zip/jobs/../../a.yaml:1:1: the path 'jobs/../../a.yaml', {INSIDE}"),
        ([("./jobs/a.yaml", b"x")], INSIDE),
        ([("/etc/a.yaml", b"x")], f"the absolute path or foreign name '/etc/a.yaml', {INSIDE}"),
        ([("C:/jobs/a.yaml", b"x")], f"the absolute path or foreign name 'C:/jobs/a.yaml', {INSIDE}"),
        ([("jobs\\a.yaml", b"x")], INSIDE),
        ([("jobs/a\x1b[2J.yaml", b"x")], "expected a short name of printable characters"),
        ([(link("jobs/a.yaml"), b"/etc/passwd")], "a link or device, expected a plain file"),
        ([("jobs/a.yaml", b"x"), ("Jobs/A.yaml", b"y")], "the same path again"),
        ([("jobs", b"x"), ("jobs/a.yaml", b"y")], "the same path again"),
        ([("jobs/a.yaml", bytes(1 << 20))], "times as large when unpacked, expected at most 100"),
        ([(f"jobs/{k}.yaml", b"") for k in range(MOST_FILES + 1)], "2001 files, expected at most 2000"),
    ],
)  # fmt: skip
def test_hostile_members_are_refused(tmp_path: Path, members: list[tuple[str, bytes]], expected: str) -> None:
    found = told(zipped(tmp_path / "p.zip", *members))
    assert expected in found and "\x1b" not in found


def test_other_methods_are_refused(tmp_path: Path) -> None:
    for method in (zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA):
        found = told(zipped(tmp_path / "p.zip", ("jobs/a.yaml", b"x"), method=method))
        assert "expected a file packed by 'deflate'" in found


def test_too_much_in_all_is_refused_by_the_sizes_stated(tmp_path: Path) -> None:
    part = random.Random(1).randbytes(1 << 12) * (1 << 8)
    path = zipped(tmp_path / "p.zip", *((f"jobs/{k}.yaml", part) for k in range(1 + MOST_BYTES // len(part))))
    assert told(path) == "p.zip:1:1: 65 MiB when unpacked, expected at most 64 MiB"


def test_a_size_that_is_a_lie_gives_no_more_than_it_says(tmp_path: Path) -> None:
    path = zipped(tmp_path / "p.zip", ("jobs/a.yaml", b"x" * 50_000))
    whole = path.read_bytes()
    directory = whole.rindex(b"PK\x01\x02")
    path.write_bytes(whole[: directory + 24] + struct.pack("<I", 10) + whole[directory + 28 :])
    assert told(path).startswith("p.zip:1:1: it cannot be unpacked")


@pytest.mark.parametrize("content", [b"", b"id: x\n", b"PK\x03\x04" + bytes(40), bytes(100)])
def test_what_is_no_zip_file_is_told(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "p.zip").write_bytes(content)
    expected = "expected a folder, or a zip file made by 'lukewarm author pack'"
    assert told(tmp_path / "p.zip").endswith(expected)


def test_a_damaged_zip_file_is_read_or_refused_but_never_a_surprise(starter: Path) -> None:
    packed, _count = pack_folder(starter)
    whole, random_bytes = packed.read_bytes(), random.Random(2)
    refused = 0
    for _ in range(300):
        damaged = bytearray(whole)
        for _ in range(random_bytes.randint(1, 4)):
            damaged[random_bytes.randrange(len(damaged))] = random_bytes.randrange(256)
        if random_bytes.random() < 0.2:
            del damaged[random_bytes.randrange(len(damaged)) :]
        packed.write_bytes(damaged)
        try:
            read_pack(packed)
        except DataError as error:
            refused += 1
            assert all(one.file.startswith(str(packed)) for one in error.errors)
    assert refused > 100


def test_a_zip_file_larger_than_may_be_is_not_opened(tmp_path: Path) -> None:
    path = tmp_path / "p.zip"
    with path.open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    assert told(path) == "p.zip:1:1: the file is too large, expected at most 64 MiB"
