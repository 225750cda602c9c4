#!/usr/bin/env python3
"""Mutation testing in one build. `tests/mutants/run.py checker` or `planner`; see docs/mutants.md."""

import argparse
import collections
import concurrent.futures
import json
import os
import pathlib
import re
import resource
import shutil
import signal
import subprocess
import sys

import weave

ROOT = pathlib.Path(__file__).resolve().parents[2]
HERE = ROOT / "tests" / "mutants"

# What is mutated, the crate that holds it, and its tests; then what each step of the tests leaves out, so that
# the slow ones see only what the quick ones let live.
TARGETS = {
    "checker": {
        "list": ["-p", "spokeshave-checker-alone"],
        "crate": "tests/checker-alone/src/lib.rs",
        "build": ["-p", "spokeshave-checker-alone", "--lib", "--test", "checker"],
        "lib": ["-p", "spokeshave-checker-alone", "--lib"],
        "steps": json.loads((HERE / "steps.json").read_text())["checker"],
    },
    "planner": {
        "list": ["--config", ".cargo/mutants-planner.toml", "-p", "spokeshave"],
        "crate": "planner/src/lib.rs",
        "build": ["-p", "spokeshave-tests", "-p", "spokeshave", "--no-default-features", "--lib",
                  "--test", "planner", "--test", "bends", "--test", "sources", "--test", "live"],
        "lib": ["-p", "spokeshave", "--lib"],
        "steps": json.loads((HERE / "steps.json").read_text())["planner"],
        # Dependencies that these tests do without; what they take to build is spared.
        "spared": ("tests/Cargo.toml", r"(dejavu|miette|plotters|resvg|roxmltree|serde_json|tempfile|wellen) = .*"),
    },
}


def mutants_of(target):
    """What `cargo mutants` makes, numbered."""
    command = ["cargo", "mutants", "--list", "--json", *target["list"]]
    found = json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout)
    for number, m in enumerate(found, 1):
        m["number"] = number
        m["path"] = os.path.normpath(m["file"])
    return found


def copy_of(work, spared=None):
    """A copy of the sources, to be mutated."""
    shutil.rmtree(work, ignore_errors=True)
    shutil.copytree(ROOT, work, ignore=shutil.ignore_patterns("target", ".git", "mutants.out*", "corpus"))
    if spared:
        manifest = work / spared[0]
        manifest.write_text(re.sub(rf"(?m)^{spared[1]}\n", "", manifest.read_text()))
    return work


def write(work, target, mutants, left_out):
    """All mutants into the copy. Gives who owns each line, and who stands outside of functions."""
    owners, alone = {}, []
    for path in sorted({m["path"] for m in mutants}):
        text, owns, outside = weave.woven((ROOT / path).read_text(), [m for m in mutants if m["path"] == path], left_out)
        (work / path).write_text(text)
        owners[path] = owns
        alone += outside
    root = target["crate"]
    text = (work if root in owners else ROOT) / root
    (work / root).write_text(text.read_text() + weave.SWITCH)
    return owners, alone


def build(work, target, owners):
    """Compiles. Gives the test programs, or the numbers of the mutants that do not compile."""
    command = ["cargo", "test", "--no-run", "--message-format", "json", *target["build"]]
    environment = os.environ | {"CARGO_INCREMENTAL": "0", "CARGO_TARGET_DIR": os.environ.get("CARGO_TARGET_DIR", str(ROOT / "target"))}
    run = subprocess.run(command, cwd=work, capture_output=True, text=True, env=environment)
    programs, wrong, strays = [], set(), []
    for line in run.stdout.splitlines():
        message = json.loads(line)
        if message["reason"] == "compiler-artifact" and message.get("executable") and message["profile"]["test"]:
            programs.append(message["executable"])
        if message["reason"] == "compiler-message" and message["message"]["level"] == "error":
            hit = {owner for span in message["message"]["spans"] if span["is_primary"]
                   for line_number in (span["line_start"],)
                   if (owner := owners.get(os.path.normpath(span["file_name"]), {}).get(line_number))}
            wrong |= hit
            if not hit and message["message"]["spans"]:
                strays.append(message["message"]["rendered"])
    if run.returncode and not wrong:
        sys.exit("does not build:\n" + "\n".join(strays[:5]) + run.stderr[-2000:])
    return programs, wrong


def make(work, target, mutants, wanted):
    """Weaves and compiles until all that is left compiles. Gives the test programs, and the numbers of the mutants
    that do not compile, and of those that are in no function."""
    left_out = {m["number"] for m in mutants} - {m["number"] for m in wanted}
    unviable = set()
    while True:
        owners, alone = write(work, target, mutants, left_out | unviable)
        programs, wrong = build(work, target, owners)
        if not wrong:
            kept = [shutil.copy(program, work) for program in programs]
            return kept, sorted(unviable), [m["number"] for m in alone]
        unviable |= wrong
        print(f"{len(unviable)} do not compile", flush=True)


def limited(seconds):
    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
    return limit


def verdict(number, programs, steps, preload, likely=()):
    """Runs the tests against a mutant till one fails: which step that was, or that all passed. Tests that are
    likely to fail go first."""
    base = os.environ | {"MUTANT": str(number), "LD_PRELOAD": preload, "RUST_BACKTRACE": "0"}
    first = [steps[0] | {"programs": {name: ["--exact", *likely] for name in steps[0]["programs"]}}] if likely else []
    for at, step in enumerate([*first, *steps], -len(first)):
        environment = base | step.get("environment", {})
        for program in programs:
            name = re.sub(r"-[0-9a-f]+$", "", os.path.basename(program))
            if name not in step["programs"]:
                continue
            only = step["programs"][name]
            run = subprocess.run([program, "-q", "--nocapture", "--test-threads", "1", *only], env=environment, cwd=ROOT / "tests",
                                 stdout=subprocess.PIPE, stderr=subprocess.STDOUT, preexec_fn=limited(step["cpu_seconds"]))
            if run.returncode:
                slow = run.returncode in (-signal.SIGXCPU, -signal.SIGKILL)
                said = re.search(rb"thread '([^']+)'", run.stdout)
                by = said[1].decode() if said else f"{name}, {run.returncode}"
                return {"outcome": "timeout" if slow else "caught", "step": max(at, 0), "by": by}
    return {"outcome": "missed"}


def main():
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("target", choices=TARGETS)
    words.add_argument("--results", type=pathlib.Path, required=True, help="a file that is read, gone on with and written")
    words.add_argument("--work", type=pathlib.Path, required=True, help="a folder for the mutated copy")
    words.add_argument("--file", action="append", help="only files whose path has this in it")
    words.add_argument("--missed", action="store_true", help="those missed before, again")
    words.add_argument("--again", action="store_true", help="with the programs that were built last")
    words.add_argument("--upto", type=int, default=99, help="only so many steps of the tests")
    words.add_argument("--lib", action="store_true", help="only the unit tests: one small program to build")
    words.add_argument("--jobs", type=int, default=1)
    words.add_argument("--preload", default="", help="a library that ends a program at its first panic")
    words = words.parse_args()
    target = TARGETS[words.target]
    if words.lib:
        target = target | {"build": target["lib"]}
    steps = target["steps"][:words.upto]
    built = words.work / "built.json"
    if words.again:
        mutants, programs, unviable, alone = json.loads(built.read_text())
    else:
        mutants = mutants_of(target)
    results = json.loads(words.results.read_text()) if words.results.exists() else {}
    wanted = [m for m in mutants if not words.file or any(f in m["path"] for f in words.file)]
    if words.missed:
        wanted = [m for m in wanted if results.get(m["name"], {}).get("outcome") == "missed"]
    else:
        wanted = [m for m in wanted if m["name"] not in results]
    if not words.again:
        programs, unviable, alone = make(copy_of(words.work, target.get("spared")), target, mutants, wanted)
        built.write_text(json.dumps([mutants, programs, unviable, alone]))
    unviable, alone = set(unviable), set(alone)
    for m in wanted:
        if m["number"] in unviable:
            results[m["name"]] = {"outcome": "unviable"}
        elif m["number"] in alone:
            results.setdefault(m["name"], {"outcome": "alone"})
    wanted = [m for m in wanted if m["number"] not in unviable | alone]
    whole = verdict(0, programs, steps, words.preload)
    if whole["outcome"] != "missed":
        sys.exit(f"the tests fail without a mutant: {whole}")
    print(f"{len(wanted)} to run", flush=True)
    # What caught others of the same file, the latest first.
    caught_by = collections.defaultdict(list)

    def judge(m):
        before = caught_by[m["path"]]
        end = verdict(m["number"], programs, steps, words.preload, before[:4])
        if "::" in end.get("by", ""):
            caught_by[m["path"]] = [end["by"], *(name for name in before if name != end["by"])]
        return end

    with concurrent.futures.ThreadPoolExecutor(words.jobs) as pool:
        ends = pool.map(judge, wanted)
        for done, (m, end) in enumerate(zip(wanted, ends), 1):
            results[m["name"]] = end
            if end["outcome"] == "missed":
                print("missed", m["name"], flush=True)
            if done % 20 == 0 or done == len(wanted):
                words.results.write_text(json.dumps(results, indent=0))
                tally = collections.Counter(results[n["name"]]["outcome"] for n in wanted[:done])
                print(done, "of", len(wanted), dict(tally), flush=True)
    words.results.write_text(json.dumps(results, indent=0))


if __name__ == "__main__":
    main()
