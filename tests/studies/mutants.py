"""Changes of one rule each that some test must notice: ``python -m tests.studies.mutants [--only NAME] [--list]``.

The lists are modules of ``tests.studies.by_hand`` named ``mutants_*``, each with ``MUTANTS``. A change is made in a
temporary copy of the tree, the tests named for it are run there, and it is caught where one of them fails. The same
tests must pass before. ``--only`` takes a mutant's name, a file or a list's name, and may be given several times.
"""

from __future__ import annotations

import argparse
import hashlib
import importlib
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
LISTS = Path(__file__).parent / "by_hand"
NOT_COPIED = shutil.ignore_patterns(".*", "__pycache__", "*.egg-info", "build", "dist", "node_modules")
LONGEST = 900.0
"""Seconds for the tests of one mutant; one that takes longer is caught, for it does not come to an end."""
PASSED, FAILED = 0, 1
"""Exit statuses of pytest that tell something; any other is a mistake in the list."""


class Mutant(NamedTuple):
    """file: path from the root; old, new: a text that stands there once, and what takes its place; name: of the mutant;
    tests: what pytest runs, such as ``tests/grading/marks/test_parts.py::test_one_fault``.
    """

    file: str
    old: str
    new: str
    name: str
    tests: tuple[str, ...]


def mutants_of(file: str, tested: str, *changes: tuple[str, ...]) -> tuple[Mutant, ...]:
    """Mutants of one file; tested: the test file; changes: old text, new text, name, and the test there if not all."""
    return tuple(Mutant(file, old, new, name, ("::".join([tested, *test]),)) for old, new, name, *test in changes)


class WrongList(Exception):
    """A list that cannot be run as it stands."""


def lists() -> dict[str, tuple[Mutant, ...]]:
    """Every list by its module's name."""
    names = sorted(path.stem for path in LISTS.glob("mutants_*.py"))
    return {
        name: tuple(Mutant(*row) for row in importlib.import_module(f"tests.studies.by_hand.{name}").MUTANTS)
        for name in names
    }


def chosen(known: dict[str, tuple[Mutant, ...]], only: Sequence[str]) -> list[Mutant]:
    """The mutants asked for, all of them where nothing is. Raises WrongList for a name that nothing has."""
    rows = [(module, mutant) for module, mutants in known.items() for mutant in mutants]
    for name in only:
        if not any(name in (module, mutant.name, mutant.file) for module, mutant in rows):
            raise WrongList(f"there is no mutant {name!r}, expected one that --list shows, a file or a list of it")
    return [m for module, m in rows if not only or {module, m.name, m.file} & set(only)]


def mutated(text: str, mutant: Mutant) -> str:
    """The text of a file with the change made. Raises WrongList where the old text does not stand there once."""
    found = text.count(mutant.old)
    if found != 1:
        raise WrongList(f"{mutant.file}: the old text of {mutant.name!r} stands there {found} times, expected once")
    return text.replace(mutant.old, mutant.new)


def _laws(tree: Path) -> str:
    """A hash of all laws: machine code of others must not be taken for theirs."""
    sources = sorted((tree / "sim").rglob("*.py"))
    return hashlib.blake2b(b"".join(source.read_bytes() for source in sources), digest_size=6).hexdigest()


def run_tests(tree: Path, tests: Iterable[str]) -> int | None:
    """Exit status of pytest in a tree, None where it took too long."""
    environment = os.environ | {
        "PYTHONPATH": str(tree),  # not an installation of this program
        "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1",  # the tests need none but those that they name
        "PYTHONDONTWRITEBYTECODE": "1",  # a change within the same second would go unseen
        "NUMBA_CACHE_DIR": str(tree / f".compiled-{_laws(tree)}"),
    }
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *tests]
    try:
        return subprocess.run(
            command, cwd=tree, env=environment, capture_output=True, timeout=LONGEST, check=False
        ).returncode
    except subprocess.TimeoutExpired:
        return None


def caught(tree: Path, mutant: Mutant) -> bool:
    """Whether a test notices a mutant; the tree is then as it was. Raises WrongList where its tests do not run."""
    path = tree / mutant.file
    before = path.read_bytes()
    try:
        path.write_text(mutated(before.decode(), mutant), encoding="utf-8", newline="\n")
        status = run_tests(tree, mutant.tests)
    finally:
        path.write_bytes(before)
    if status not in (PASSED, FAILED, None):
        raise WrongList(f"{mutant.name!r}: pytest ended with {status}, expected tests that run and pass or fail")
    return status != PASSED


def study(mutants: list[Mutant], root: Path = ROOT) -> list[Mutant]:
    """Print what became of each; the survivors. Raises WrongList where the tests do not pass to begin with."""
    survivors = []
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        shutil.copytree(root, tree, ignore=NOT_COPIED)
        tests = sorted({test for mutant in mutants for test in mutant.tests})
        print(f"{len(mutants)} mutants, {len(tests)} tests or files of them", flush=True)
        if run_tests(tree, tests) != PASSED:
            raise WrongList("the tests named in the lists do not pass as the tree stands, expected them to")
        for mutant in mutants:
            noticed = caught(tree, mutant)
            survivors += [] if noticed else [mutant]
            print(f"{'caught  ' if noticed else 'SURVIVED'}  {mutant.file}: {mutant.name}", flush=True)
    number = len(mutants) - len(survivors)
    print(f"caught {number} of {len(mutants)}, {number / max(len(mutants), 1):.0%}")
    return survivors


def main(arguments: Sequence[str] | None = None) -> int:
    """Exit status 1 where a mutant survived, 2 where a list is wrong."""
    parser = argparse.ArgumentParser(description="Changes of one rule each that some test must notice.")
    parser.add_argument("--only", metavar="NAME", action="append", default=[], help="a mutant, a file, or a whole list")
    parser.add_argument("--list", action="store_true", help="name them and do nothing")
    asked = parser.parse_args(arguments)
    try:
        mutants = chosen(lists(), asked.only)
        if asked.list:
            for mutant in mutants:
                print(f"{mutant.file}: {mutant.name}")
            return 0
        return 1 if study(mutants) else 0
    except WrongList as error:
        print(error, file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
