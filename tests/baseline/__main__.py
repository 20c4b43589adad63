"""``python -m tests.baseline [--write]``: compares every session with the baseline, or takes a new one."""

from __future__ import annotations

import argparse
import json
import sys

from tests.baseline.sessions import KEPT, VEHICLES, all_rows, kept


def main() -> int:
    """Print the sessions that differ; exit status 1 where there are any."""
    parser = argparse.ArgumentParser(description="Compare marks and readings of the sessions with those kept.")
    parser.add_argument("--write", action="store_true", help="take a new baseline")
    parser.add_argument("--vehicles", type=int, default=VEHICLES)
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    rows = all_rows(range(asked.vehicles), asked.processes)
    if asked.write:
        lines = ",\n".join(f"{json.dumps(key)}: {json.dumps(row)}" for key, row in rows.items())
        KEPT.write_text("{\n" + lines + "\n}\n", encoding="utf-8", newline="\n")
        return 0
    before = kept()
    changed = [key for key, row in rows.items() if before.get(key) != row]
    for key in changed:
        print(f"{key}: {before.get(key)} is now {rows[key]}")
    print(f"{len(rows)} sessions, {len(changed)} differ from the baseline")
    return bool(changed)


if __name__ == "__main__":
    sys.exit(main())
