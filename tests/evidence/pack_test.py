#!/usr/bin/env python3
"""Writes the pack that the browser tests look at, twice with different numbers of jobs, and shows
that the bytes are the same; then that nothing is written where nothing may be.

usage: pack_test.py PROGRAM FOLDER   (from the root of the source tree)
"""
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile

MACHINE = "scenarios/machines/coil_cure_300.yaml"
CASES = ["scenarios/cases/gas_supply_lost_all_ovens.yaml", "scenarios/cases/limiter_contact.yaml"]


def evidence(program, out, *more):
    command = [program, "-q", "evidence", "--cycles", "1", "--out", out, *more, MACHINE]
    return subprocess.run(command, capture_output=True, text=True)


def with_cases():
    return [word for case in CASES for word in ("--scenarios", case)]


def contents(folder):
    files = {}
    for name in sorted(os.listdir(folder)):
        with open(os.path.join(folder, name), "rb") as file:
            files[name] = file.read()
    return files


def check(condition, what):
    if not condition:
        sys.exit(f"not so: {what}")


def check_manifest(files):
    manifest = json.loads(files["manifest.json"])
    for output in manifest["outputs"]:
        text = files[output["path"]]
        check(output["bytes"] == len(text), f"{output['path']} has its size in the manifest")
        check(output["sha256"] == hashlib.sha256(text).hexdigest(), f"{output['path']} has its hash in the manifest")
    check({each["path"] for each in manifest["outputs"]} == set(files) - {"manifest.json"}, "all outputs are listed")
    for entry in manifest["inputs"]:
        with open(entry["path"], "rb") as file:
            check(entry["sha256"] == hashlib.sha256(file.read()).hexdigest(), f"{entry['path']} has its hash")
    check({entry["path"] for entry in manifest["inputs"]} == {MACHINE, *CASES}, "all inputs are listed")


def check_refusals(program, scratch):
    precious = os.path.join(scratch, "precious")
    os.mkdir(precious)
    with open(os.path.join(precious, "notes.txt"), "w", encoding="utf-8") as file:
        file.write("mine")
    done = evidence(program, precious, "--no-proof")
    check(done.returncode == 2 and "neither empty nor an evidence pack" in done.stderr, "a folder that is no pack is refused")
    check(os.listdir(precious) == ["notes.txt"], "a refused folder is left alone")
    done = evidence(program, os.path.join(scratch, "new"), "--no-proof", "--scenarios", "no/such/file.yaml")
    check(done.returncode == 2 and "no/such/file.yaml" in done.stderr, "a scenario that is not there is named")
    check(os.listdir(scratch) == ["precious"], "nothing is written when an input is wrong")


def main():
    program, out = sys.argv[1:]
    shutil.rmtree(out, ignore_errors=True)
    with tempfile.TemporaryDirectory() as scratch:
        done = evidence(program, out, "--jobs", "2", *with_cases())
        check(done.returncode == 0, f"the demo oven holds:\n{done.stdout}{done.stderr}")
        check("index.html" in done.stdout, "the program says where the page is")
        check_refusals(program, scratch)
        # The proof's independence of the number of jobs has tests of its own; here it would take long.
        first, second = os.path.join(scratch, "first"), os.path.join(scratch, "second")
        check(evidence(program, first, "--no-proof", "--jobs", "1", *with_cases()).returncode == 0, "one job does it")
        check(evidence(program, second, "--no-proof", "--jobs", "3", *with_cases()).returncode == 0, "three jobs do it")
        check(contents(first) == contents(second), "the bytes do not depend on the number of jobs")
    check_manifest(contents(out))
    print("the pack is whole, reproducible, and written only where it may be")


if __name__ == "__main__":
    main()
