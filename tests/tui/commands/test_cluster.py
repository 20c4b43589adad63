"""Work on executors of any kind, a Dask cluster's among them."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

import grading.sessions.versions
from grading.marks.rubric import load_rubric
from grading.report.marked import Marker, Opened
from grading.sessions.record import Recorder
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import choose, chosen
from scenarios.wrong_use import WrongUse
from tests.packaged import packaged_catalogue
from tui.commands.processes.cluster import on_cluster, on_executor
from tui.commands.processes.marking import mark_all

Run = Callable[..., tuple[int, str, str]]


class Counting:
    """Work that keeps count of what it did."""

    def __init__(self) -> None:
        self.done = 0

    def work(self, item: int) -> tuple[int, int, str]:
        """The square, how many items were done before, and the language."""
        self.done += 1
        if item < 0:
            raise RuntimeError("a machine is gone")
        return item * item, self.done, chosen()


def lost(item: int) -> tuple[int, int, str]:
    """What is given for an item that could not be done."""
    return -item, 0, ""


def test_every_item_comes_back_by_its_index_and_work_is_kept_between_items() -> None:
    choose("de")
    with ThreadPoolExecutor(1) as executor:
        found = dict(on_executor(executor, Counting().work, [3, -1, 5], lost))
    assert found == {0: (9, 1, "de"), 1: (1, 0, ""), 2: (25, 3, "de")}


def test_what_has_not_begun_is_cancelled_when_nobody_wants_the_rest() -> None:
    class Idle(ThreadPoolExecutor):
        """Does nothing of what it is given but the first."""

        given: list[Future[Any]] = []  # noqa: RUF012

        def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
            future: Future[Any] = Future() if self.given else super().submit(fn, *args, **kwargs)
            self.given.append(future)
            return future

    with Idle(1) as executor:
        results = on_executor(executor, Counting().work, [1, 2, 3], lost)
        assert isinstance(results, Iterator) and next(results)[0] == 0
        results.close()  # type: ignore[attr-defined]
        assert [future.cancelled() for future in executor.given] == [False, True, True]


def test_another_version_does_no_work(monkeypatch: pytest.MonkeyPatch) -> None:
    hashes = iter(["here", "there"])
    monkeypatch.setattr(grading.sessions.versions, "engine_hash", lambda: next(hashes))
    with ThreadPoolExecutor(1) as executor, pytest.raises(WrongUse, match="another version"):
        list(on_executor(executor, Counting().work, [1], lost))


def test_a_scheduler_that_is_not_there_is_told(lukewarm: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("tui.commands.processes.cluster.PATIENCE", 0.5)
    with warnings.catch_warnings(), pytest.raises(WrongUse, match="there is no Dask scheduler at"):
        warnings.simplefilter("ignore")
        list(on_cluster("tcp://127.0.0.1:1", Counting().work, [1], lost))


def test_a_local_cluster_marks_records_as_this_process_does(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    catalogue = packaged_catalogue()
    job = catalogue.jobs["quiet-dash"]
    paths = []
    for fault in ("blower-fuse-blown", "core-clogged"):
        path = tmp_path / f"{fault}.jsonl"
        session = Session(catalogue, job, 1, Recorder(path), rubric=load_rubric().hash)
        done = ("ignition", ("on",)), ("check", ("blower-each-speed",)), ("diagnose", (fault, 80.0)), ("handback", ())
        for action in (Action(*one) for one in done):
            assert session.do(action).refused is None
        session.close()
        paths.append(path)
    marker = Marker(catalogue, load_rubric())
    records = [one for one in (marker.open(path, frozenset()) for path in paths) if isinstance(one, Opened)]
    assert len(records) == 2
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with distributed.LocalCluster(
            n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None
        ) as one:
            found = dict(mark_all(marker, records, 1, one.scheduler_address))
    here = dict(mark_all(marker, records, 1))
    assert {k: marked.total for k, marked in found.items()} == {k: marked.total for k, marked in here.items()}
    assert all(marked.in_order for marked in found.values())
