"""Mutation score of the tests: ``python -m tests.studies.mutation [--only PART]``, a long study.

mutmut changes one thing in a function (a number, an operator, an argument, a text) and runs the tests that reach it.
It works in a copy of the checkout outside it. The copy keeps the results, so an interrupted study continues where it
stopped; after a change to code or tests only the survivors and the changed functions are tried again.

Mutants that differ in string literals only are scored apart: most are texts for people. mutmut skips decorated
functions (compiled laws, properties) and module constants; the lists ``mutants_*.py`` cover those.

mutmut forks, so the study needs Linux or macOS.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import filecmp
import hashlib
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGES = ("sim", "scenarios", "grading", "tui")
COPIED = (*PACKAGES, "tests", "pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE")
LEFT_OUT = ("__pycache__", ".hypothesis", ".pytest_cache")
FOLDER = Path(tempfile.gettempdir()) / f"lukewarm-mutation-{hashlib.sha256(str(ROOT).encode()).hexdigest()[:8]}"
START = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); from mutmut.__main__ import cli; cli()"
)
"""mutmut's entry point; SIGINT is restored because a shell ignores it in background jobs."""
MUTMUT = (sys.executable, "-c", START)
COMPILES = "tests/sim/test_world.py"
"""Runs first and compiles the laws: mutmut's time limits are multiples of each test's duration."""
NOTICED = ("killed", "timeout", "segfault")
UNTRIED = ("not checked", "check was interrupted by user", "skipped")
GRACE_S = 60.0
"""Seconds that mutmut is given to stop."""


@dataclass(frozen=True)
class Part:
    """A part of the code.

    files: glob patterns of what is mutated; tests: files and folders that cover it; left_out: tests of these that take
    too long.
    """

    files: tuple[str, ...]
    tests: tuple[str, ...]
    left_out: tuple[str, ...] = ()


PARTS = {
    "workshop": Part(
        ("scenarios/workshop.py",),
        ("tests/scenarios/test_workshop.py", "tests/scenarios/test_workshop_work.py"),
    ),
    "sessions": Part(
        ("grading/sessions/*.py",),
        ("tests/grading/sessions",),
        (
            "tests/grading/sessions/records/test_attacks_slow.py",
            "tests/grading/sessions/records/test_format1.py::test_an_old_record_is_marked",
            "tests/grading/sessions/records/test_format1.py::test_every_old_record_can_be_done_again",
            "tests/grading/sessions/test_perception.py::test_words_are_told_as_often_as_they_are_expected",
        ),
    ),
    "reference": Part(("grading/reference/*.py",), ("tests/grading/reference", "tests/published/test_sequential.py")),
    "marks": Part(("grading/marks/*.py",), ("tests/grading/marks",), ("tests/grading/marks/test_jobs.py",)),
    "observer": Part(("grading/observer/*.py",), ("tests/grading/observer",)),
}


@dataclass(frozen=True)
class Change:
    """A mutant and its result.

    name, status: mutmut's; file, line: place in the checkout; old, new: the lines that differ, stripped; text: whether
    only string literals differ.
    """

    name: str
    status: str
    file: str
    line: int
    old: str
    new: str
    text: bool


def bring_up_to_date(copy: Path) -> bool:
    """Update the copy from the checkout; True if anything differed. Changed files get a new mtime for mutmut."""
    wanted: set[Path] = set()
    for name in COPIED:
        start = ROOT / name
        found = [path for path in start.rglob("*") if path.is_file()] if start.is_dir() else [start]
        wanted |= {path.relative_to(ROOT) for path in found if not set(LEFT_OUT) & set(path.parts)}
    kept = {path.relative_to(copy) for name in COPIED for path in (copy / name).rglob("*") if path.is_file()}
    changed = False
    for path in kept - wanted - {path for path in kept if set(LEFT_OUT) & set(path.parts)}:
        for gone in (copy / path, copy / "mutants" / path):
            gone.unlink(missing_ok=True)
        changed = True
    for path in sorted(wanted):
        if (copy / path).exists() and filecmp.cmp(ROOT / path, copy / path, shallow=False):
            continue
        (copy / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(ROOT / path, copy / path)
        if path.suffix != ".py" and (copy / "mutants" / path).exists():  # mutmut copies data files only once
            shutil.copyfile(ROOT / path, copy / "mutants" / path)
        changed = True
    return changed


def configure(copy: Path, part: Part, tests: tuple[str, ...]) -> bool:
    """Write mutmut's configuration; True if it differs from the last one."""
    lists = {
        "source_paths": PACKAGES,
        "only_mutate": part.files,
        "also_copy": tuple(name for name in COPIED if name not in PACKAGES),
        "pytest_add_cli_args_test_selection": (COMPILES, *tests),
        "pytest_add_cli_args": ("-p", "no:cacheprovider", *(f"--deselect={test}" for test in part.left_out)),
    }
    lines = ["[mutmut]", "use_git_change_detection = false", "on_dependency_change = ignore"]
    for key, values in lists.items():
        lines += [f"{key} =", *(f"    {value}" for value in values)]
    text, file = "\n".join(lines) + "\n", copy / "setup.cfg"
    if file.exists() and file.read_text(encoding="utf-8") == text:
        return False
    file.write_text(text, encoding="utf-8", newline="\n")
    return True


def run_mutmut(copy: Path, arguments: list[str], deadline: float) -> bool:
    """Run mutmut in the copy; False if it was stopped at the deadline [s, monotonic clock]."""
    log = copy / "mutmut.log"
    with log.open("a", encoding="utf-8") as out:
        running = subprocess.Popen([*MUTMUT, *arguments], cwd=copy, stdout=out, stderr=subprocess.STDOUT)
        try:
            code = running.wait(max(deadline - time.monotonic(), 0.0))
        except (subprocess.TimeoutExpired, KeyboardInterrupt):
            running.send_signal(signal.SIGINT)
            try:
                running.wait(GRACE_S)
            except subprocess.TimeoutExpired:
                running.kill()
                running.wait()
            return False
    if code:
        raise SystemExit(f"mutmut failed, see the end of {log}")
    return True


def statuses(copy: Path) -> dict[str, str]:
    """Status of every mutant by name."""
    said = subprocess.run(
        [*MUTMUT, "results", "--all", "true"], cwd=copy, check=True, capture_output=True, encoding="utf-8"
    )
    return dict(line.strip().rsplit(": ", 1) for line in said.stdout.splitlines() if "__mutmut_" in line)


class _NoTexts(ast.NodeTransformer):
    """Replaces every string literal by an empty one."""

    def visit_Constant(self, node: ast.Constant) -> ast.Constant:
        return ast.copy_location(ast.Constant(""), node) if isinstance(node.value, str) else node


def texts_alone(old: ast.AST, new: ast.AST) -> bool:
    """Whether two pieces of code differ in string literals only.

    >>> one, other, third = (ast.parse(text) for text in ("f('a', 1)", "f('b', 1)", "f('a', 2)"))
    >>> texts_alone(one, other), texts_alone(one, third)
    (True, False)
    """
    return ast.dump(_NoTexts().visit(old)) == ast.dump(_NoTexts().visit(new))


def _functions(tree: ast.Module) -> dict[str, ast.FunctionDef]:
    """Functions and methods by mutmut's mangled names."""
    out: dict[str, ast.FunctionDef] = {}
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            out[node.name if "__mutmut_" in node.name else f"x_{node.name}"] = node
        elif isinstance(node, ast.ClassDef):
            methods = (one for one in node.body if isinstance(one, ast.FunctionDef))
            out |= {m.name if "__mutmut_" in m.name else f"xǁ{node.name}ǁ{m.name}": m for m in methods}
    return out


def _difference(old: list[str], new: list[str]) -> tuple[int, str, str]:
    """Index of the first differing line, and the differing lines of both."""
    blocks = [code for code in difflib.SequenceMatcher(None, old, new, False).get_opcodes() if code[0] != "equal"]
    start, end, first, last = blocks[0][1], blocks[-1][2], blocks[0][3], blocks[-1][4]
    before, after = (" ".join(line.strip() for line in lines) for lines in (old[start:end], new[first:last]))
    return start, before, after


def changes(copy: Path) -> Iterator[Change]:
    """Every mutant of the copy with its result."""
    by_module: dict[str, list[tuple[str, str, str]]] = {}
    for name, status in statuses(copy).items():
        module, _, function = name.rpartition(".")
        by_module.setdefault(module, []).append((function, name, status))
    for module, tried in by_module.items():
        file = module.replace(".", "/") + ".py"
        if not (copy / file).exists():
            file = module.replace(".", "/") + "/__init__.py"
        source, made = ((copy / base / file).read_text(encoding="utf-8") for base in ("", "mutants"))
        originals, generated, lines = _functions(ast.parse(source)), _functions(ast.parse(made)), made.splitlines()
        for function, name, status in tried:
            known = re.sub(r"__mutmut_\d+$", "", function)
            old, new = generated[f"{known}__mutmut_orig"], generated[function]
            bodies = [lines[one.lineno : one.end_lineno] for one in (old, new)]  # the first line holds mutmut's name
            heads = [re.sub(r"def \w+", "def _", lines[one.lineno - 1]) for one in (old, new)]
            place, before, after = _difference([heads[0], *bodies[0]], [heads[1], *bodies[1]])
            old.name = new.name = "_"
            yield Change(name, status, file, originals[known].lineno + place, before, after, texts_alone(old, new))


def report(name: str, found: list[Change]) -> None:
    """Print the score of a part and its survivors."""
    tried = [change for change in found if change.status not in UNTRIED]
    for text, kind in ((False, "changes"), (True, "string literals")):
        some = [change for change in tried if change.text is text]
        noticed = sum(change.status in NOTICED for change in some)
        share = 100.0 * noticed / len(some) if some else float("nan")
        late = sum(change.status == "timeout" for change in some)
        took = f" ({late} by timeout)" if late else ""
        print(f"{name}: {share:.1f} % of {len(some)} {kind} noticed{took}, {len(some) - noticed} survived")
    if len(tried) < len(found):
        print(f"{name}: {len(found) - len(tried)} of {len(found)} not tried yet")
    for text, kind in ((False, "survived"), (True, "survived, string literals")):
        for change in sorted((one for one in tried if one.text is text), key=lambda one: (one.file, one.line)):
            if change.status not in NOTICED:
                short = change.name.rpartition(".")[2]
                print(f"  {kind}: {change.file}:{change.line} ({change.status}, {short})")
                print(f"    - {change.old}\n    + {change.new}")


def study(folder: Path, name: str, tests: tuple[str, ...], processes: int, deadline: float) -> None:
    """Run the untried mutants of a part, and the survivors again if code or tests changed; print the report."""
    copy, part = folder / name, PARTS[name]
    copy.mkdir(parents=True, exist_ok=True)
    again, stats, run = copy / "again.txt", copy / "mutants" / "mutmut-stats.json", ["run", "--max-children"]
    changed = bring_up_to_date(copy) | configure(copy, part, tests or part.tests)
    if changed and stats.exists():
        survived = [one for one, status in statuses(copy).items() if status not in (*NOTICED, *UNTRIED)]
        again.write_text("\n".join(survived), encoding="utf-8", newline="\n")
        stats.unlink()  # so that mutmut finds anew which tests reach which function
    # Untried mutants first: this run also generates those of new and changed functions.
    if run_mutmut(copy, [*run, str(processes)], deadline) and again.exists():
        known = statuses(copy)
        names = [one for one in again.read_text(encoding="utf-8").split() if one in known]
        if not names or run_mutmut(copy, [*run, str(processes), *names], deadline):
            again.unlink()
    report(name, list(changes(copy)))


def main() -> None:
    """Run the study."""
    parser = argparse.ArgumentParser(prog="python -m tests.studies.mutation", description=(__doc__ or "").split(":")[0])
    parser.add_argument("--only", choices=PARTS, action="append", metavar="PART", help=f"one of {', '.join(PARTS)}")
    parser.add_argument("--processes", type=int, default=1, metavar="P", help="mutants run in parallel (1)")
    parser.add_argument(
        "--tests", nargs="+", default=[], metavar="TEST", help="tests to run instead of those of the part"
    )
    parser.add_argument(
        "--max-minutes", type=float, default=1e9, metavar="M", help="stop after this time; a later call continues"
    )
    parser.add_argument("--folder", type=Path, default=FOLDER, help=f"where copies and results are kept ({FOLDER})")
    parser.add_argument("--afresh", action="store_true", help="discard earlier results")
    asked = parser.parse_args()
    if sys.platform == "win32":
        raise SystemExit("mutmut does not run on Windows, expected Linux or macOS")
    if asked.folder.resolve().is_relative_to(ROOT):
        parser.error("--folder lies in the checkout, expected a folder outside it")
    deadline = time.monotonic() + 60.0 * asked.max_minutes
    for name in asked.only or PARTS:
        if asked.afresh:
            shutil.rmtree(asked.folder / name, ignore_errors=True)
        study(asked.folder, name, tuple(asked.tests), asked.processes, deadline)


if __name__ == "__main__":
    main()
