"""`python -m tests.bench [--format json] [--only KEY]...`: figures on standard output, progress on standard error."""

from __future__ import annotations

import argparse
import json
import sys

from tests.bench.bench import find


def main() -> int:
    """Measure and print. Exit status 2 for a key that does not exist."""
    benches = find()
    bars = {key: bar for bench in benches for key, bar in bench.keys.items()}
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Measure the figures of merit.")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="json: one object, key to number")
    parser.add_argument("--only", action="append", metavar="KEY", help="this key alone; may be given several times")
    arguments = parser.parse_args()
    wanted = arguments.only or list(bars)
    for key in wanted:
        if key not in bars:
            parser.error(f"there is no key {key!r}, expected one of {', '.join(bars)}")
    figures: dict[str, float] = {}
    for bench in benches:
        if set(wanted) & set(bench.keys):
            measured = bench.measure()
            figures |= {key: measured[key] for key in bench.keys if key in wanted}
    if arguments.format == "json":
        print(json.dumps(figures))
    else:
        for key, value in figures.items():
            verdict = "" if not str(bars[key]) else "met" if bars[key].met(value) else "MISSED"
            print(f"{key:28}{value:14.6g}  {bars[key]!s:12}{verdict}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
