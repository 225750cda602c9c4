#!/usr/bin/env python3
"""The table of `docs/mutants.md` from the results of `run.py`: `tests/mutants/table.py checker RESULTS`."""

import collections
import json
import pathlib
import sys

import run

COLUMNS = ["caught", "timeout", "unviable", "missed", "alone", "not run"]


def main():
    mutants = run.mutants_of(run.TARGETS[sys.argv[1]])
    results = json.loads(pathlib.Path(sys.argv[2]).read_text())
    files = collections.defaultdict(collections.Counter)
    for m in mutants:
        outcome = results.get(m["name"], {"outcome": "not run"})["outcome"]
        for name in (m["path"], "all"):
            files[name][outcome] += 1
    print("| file | mutants |", " | ".join(COLUMNS), "| caught, of those that run |")
    print("|---|" + "---|" * (len(COLUMNS) + 2))
    for name, tally in sorted(files.items(), key=lambda item: (item[0] == "all", item[0])):
        caught = tally["caught"] + tally["timeout"]
        ran = caught + tally["missed"]
        part = f"{100 * caught / ran:.0f} %" if ran else "–"
        print(f"| {name} | {tally.total()} |", " | ".join(str(tally[c]) for c in COLUMNS), f"| {part} |")
    for m in mutants:
        if results.get(m["name"], {}).get("outcome") == "missed":
            print("-", m["name"].split("/../")[-1])


if __name__ == "__main__":
    main()
