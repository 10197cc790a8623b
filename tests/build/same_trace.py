#!/usr/bin/env python3
"""Runs machines in two builds of the program and demands the same bytes of trace and of result.

Exit status: 0 the same, 1 they differ or a run failed, 77 the second build is absent (not tested).
"""
import os
import subprocess
import sys
import tempfile

NOT_TESTED = 77


def run(program, machine, scratch):
    """Returns (trace, standard output) of one run."""
    trace = os.path.join(scratch, "trace.csv")
    done = subprocess.run([program, "run", machine, "--json", "--trace", trace], capture_output=True)
    if done.returncode != 0:
        sys.exit(f"{program} run {machine}: exit status {done.returncode}\n{done.stderr.decode(errors='replace')}")
    with open(trace, "rb") as file:
        return file.read(), done.stdout


def main():
    one, other, *machines = sys.argv[1:]
    if not machines:
        sys.exit("usage: same_trace.py PROGRAM PROGRAM MACHINE...")
    if not os.path.exists(other):
        print(f"{other} is not built: ./run.sh test builds it")
        sys.exit(NOT_TESTED)
    for machine in machines:
        with tempfile.TemporaryDirectory() as scratch:
            first, second = run(one, machine, scratch), run(other, machine, scratch)
        for what, a, b in zip(("trace", "result"), first, second):
            if not a:
                sys.exit(f"{machine}: empty {what}")
            if a != b:
                line = next((n for n, (x, y) in enumerate(zip(a.splitlines(), b.splitlines()), 1) if x != y),
                            1 + min(a.count(b"\n"), b.count(b"\n")))
                sys.exit(f"{machine}: {what} differs from line {line} on")
        print(f"{machine}: {len(first[0])} bytes of trace and {len(first[1])} of result are the same")


if __name__ == "__main__":
    main()
