"""The debrief as a page: complete by itself, and nothing in it can act."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

import scenarios.files.loader
from scenarios.model import Catalogue
from tests.tui.text.test_text import GOOD_JOB

Run = Callable[..., tuple[int, str, str]]


class Tags(HTMLParser):
    """What tags and attributes a page has, and whether every tag is closed."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.names: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag != "meta":
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def page(lukewarm: Run, records: Path) -> str:
    lukewarm("text", "cold-tern", lines=GOOD_JOB)
    (record,) = records.glob("*.jsonl")
    status, output, _ = lukewarm("debrief", str(record), "--format", "html")
    assert status == 0
    return output


def test_a_page_is_whole_and_needs_nothing_from_outside(lukewarm: Run, records: Path) -> None:
    text = page(lukewarm, records)
    tags = Tags()
    tags.feed(text)
    assert tags.open == []
    assert {"h1", "h2", "svg", "polyline", "table"} <= tags.names
    assert not tags.names & {"script", "link", "img", "iframe", "a"}
    assert not tags.attributes & {"src", "href", "onload", "onclick"}
    assert "http:" not in text and "https:" not in text


def test_text_of_a_scenario_stays_text(
    lukewarm: Run, records: Path, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = replace(
        catalogue.jobs["cold-tern"], title="<script>alert(1)</script>", complaint="<img src=x onerror=y> & co"
    )
    hostile = replace(catalogue, jobs={job.id: job})
    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", lambda *folders: hostile)
    text = page(lukewarm, records)
    tags = Tags()
    tags.feed(text)
    assert "script" not in tags.names and "img" not in tags.names
    assert "&lt;script&gt;" in text


def test_the_data_hold_every_step(lukewarm: Run, records: Path) -> None:
    lukewarm("text", "cold-tern", lines=GOOD_JOB)
    (record,) = records.glob("*.jsonl")
    _, output, _ = lukewarm("debrief", str(record), "--format", "json")
    told = json.loads(output)
    (check,) = [step for step in told["steps"] if step["readings"]]
    assert check["bits"] > 0.0
    assert sum(check["before"].values()) == pytest.approx(1.0, abs=1e-3)
    assert sum(check["after"].values()) == pytest.approx(1.0, abs=1e-3)
    assert check["after"]["coolant-low"] > check["before"]["coolant-low"]
