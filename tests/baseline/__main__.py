"""``python -m tests.baseline [--write]``: compares every session with the baseline, or takes a new one."""

from __future__ import annotations

import argparse
import sys

from tests.baseline.sessions import VEHICLES, keep, kept, rows_by_vehicle


def main() -> int:
    """Print the sessions that differ; exit status 1 where there are any and none is to be kept."""
    parser = argparse.ArgumentParser(description="Compare marks and readings of the sessions with those kept.")
    parser.add_argument("--write", action="store_true", help="take a new baseline, kept vehicle by vehicle")
    parser.add_argument("--first", type=int, default=0, help="vehicle to begin with, after a run that was broken off")
    parser.add_argument("--vehicles", type=int, default=VEHICLES)
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    before, changed, count = kept(), 0, 0
    now = dict(before)
    for rows in rows_by_vehicle(range(asked.first, asked.vehicles), asked.processes):
        for key, row in rows.items():
            count += 1
            if before.get(key) != row:
                changed += 1
                print(f"{key}: {before.get(key)} is now {row}", flush=True)
        if asked.write:
            now |= rows
            keep(now)
    print(f"{count} sessions, {changed} differ from the baseline")
    return 0 if asked.write else bool(changed)


if __name__ == "__main__":
    sys.exit(main())
