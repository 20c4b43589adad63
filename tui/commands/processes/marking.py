"""Marking many records, on several processes if there are enough of them; a result comes as soon as it is ready."""

from __future__ import annotations

from collections.abc import Generator, Sequence

from grading.report.marked import Marked, Marker, Opened
from scenarios.language import _
from tui.commands.processes.cluster import on_cluster
from tui.commands.processes.workers import on_processes

FEWEST = 5
"""Records of one job and seed for which a second process pays: each works out the reference's course anew."""


def mark_all(
    marker: Marker, records: Sequence[Opened], processes: int, cluster: str | None = None
) -> Generator[tuple[int, Marked]]:
    """Mark records; yields the index of a record and what came of it, in whatever order they are ready.

    processes: most processes at a time, from 1; cluster: address of a Dask scheduler that does it instead. What is
    marked does not depend on them.
    """

    def broken(record: Opened) -> Marked:
        return marker.unverified(record, _("the process that marked it ended unexpectedly"))

    if cluster is not None:
        yield from on_cluster(cluster, marker.mark, records, broken)
        return
    shares = shared_out(records, processes)
    if len(shares) == 1:
        for index in shares[0]:
            yield index, marker.mark(records[index])
    elif shares:
        yield from on_processes(marker.mark, records, shares, broken)


def shared_out(records: Sequence[Opened], processes: int) -> list[list[int]]:
    """Indices of records for each process: those of one job and seed together, larger groups cut where it pays."""
    groups: dict[tuple[str, int], list[int]] = {}
    for index, record in enumerate(records):
        groups.setdefault((record.job, record.seed), []).append(index)
    most = max(-(-len(records) // processes), FEWEST)
    pieces = [group[k : k + most] for group in groups.values() for k in range(0, len(group), most)]
    shares: list[list[int]] = [[] for _number in range(min(processes, len(pieces)))]
    for piece in sorted(pieces, key=len, reverse=True):
        min(shares, key=len).extend(piece)
    return shares
