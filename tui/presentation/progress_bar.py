"""A progress bar on standard error."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

Result = TypeVar("Result")


def with_bar(
    results: Iterable[Result], total: int, title: str, otherwise: Callable[[int, int], None] | None = None
) -> Iterator[Result]:
    """The results, with a bar on standard error where that is a terminal and there are several.

    otherwise: elsewhere called with how many are ready and how many there will be, after each.
    """
    if not sys.stderr.isatty() or total < 2:
        for done, result in enumerate(results, 1):
            yield result
            if otherwise is not None:
                otherwise(done, total)
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    console = Console(stderr=True)
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True) as progress:
        task = progress.add_task(title, total=total)
        for result in results:
            progress.advance(task)
            yield result
