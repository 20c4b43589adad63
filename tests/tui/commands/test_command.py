"""The command line: help, lists, exit statuses, and what is not imported before it is needed."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]


@pytest.mark.parametrize("command", [(), ("text",), ("show",), ("debrief",), ("mark",)])
def test_help_has_an_example(lukewarm: Run, command: tuple[str, ...]) -> None:
    status, output, _ = lukewarm(*command, "--help")
    assert status == 0
    assert "example:" in output


@pytest.mark.parametrize(
    "arguments",
    [
        ("fly",),
        ("text",),
        ("text", "no-such-job"),
        ("text", "cold-tern", "--seed", "many"),
        ("text", "cold-tern", "--seed", "1", "--resume"),
        ("show", "gremlins"),
        ("debrief", "no-such-file.jsonl"),
        (),  # the program, without a terminal
    ],
)
def test_wrong_use_is_said_in_one_line(lukewarm: Run, arguments: tuple[str, ...]) -> None:
    status, output, errors = lukewarm(*arguments)
    assert (status, output) == (2, "")
    assert len(errors.splitlines()) == 1
    assert "expected" in errors


@pytest.mark.parametrize("kind", ["vehicles", "faults", "checks", "repairs", "jobs"])
def test_lists_are_objects_with_an_id(lukewarm: Run, kind: str) -> None:
    status, output, _ = lukewarm("show", kind, "--format", "json")
    assert status == 0
    assert all(thing["id"] for thing in json.loads(output))
    status, output, _ = lukewarm("show", kind)
    assert status == 0
    assert len(output.splitlines()) == len(output.strip().splitlines()) > 0


@pytest.mark.parametrize("arguments", [["--help"], ["show", "jobs"], ["text", "no-such-job"]])
def test_the_physics_and_textual_are_not_imported_before_they_are_needed(arguments: list[str]) -> None:
    script = (
        "import sys; from tui.commands.command import main; main(sys.argv[1:]);"
        "heavy = {'numba', 'simpy', 'textual'} & set(sys.modules); assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-P", "-c", script, *arguments], check=True, encoding="utf-8")
