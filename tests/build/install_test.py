#!/usr/bin/env python3
"""Installs into a folder of its own and runs the program from there.

usage: install_test.py CMAKE BUILD_FOLDER SOURCE_FOLDER
"""
import os
import re
import subprocess
import sys
import tempfile


def check(condition, what):
    if not condition:
        sys.exit(f"not so: {what}")


def broken_links(share):
    """Links of the guides that lead to a file that is not installed."""
    for folder, _, names in os.walk(share):
        for name in (name for name in names if name.endswith(".md")):
            with open(os.path.join(folder, name), encoding="utf-8") as file:
                for link in re.findall(r"\]\(([^)#\s]+)[^)]*\)", file.read()):
                    if "://" not in link and not os.path.exists(os.path.join(folder, link)):
                        yield f"{os.path.join(folder, name)}: {link}"


def main():
    cmake, build, source = sys.argv[1:]
    with tempfile.TemporaryDirectory() as scratch:
        prefix = os.path.join(scratch, "prefix")
        done = subprocess.run([cmake, "--install", build, "--prefix", prefix], capture_output=True, text=True)
        check(done.returncode == 0, f"it can be installed:\n{done.stdout}{done.stderr}")
        program, share = os.path.join(prefix, "bin", "ovenproof"), os.path.join(prefix, "share", "ovenproof")
        check(os.access(program, os.X_OK), f"{program} is there")
        for name in ("LICENSE", "README.md", "docs/machine.schema.json", "docs/scenario.schema.json",
                     "licences/uPlot", "scenarios/logs/nominal.csv"):
            check(os.path.isfile(os.path.join(share, name)), f"{name} is installed")
        for folder in ("docs", "scenarios"):
            for below, _, names in os.walk(os.path.join(source, folder)):
                for name in names:
                    path = os.path.relpath(os.path.join(below, name), source)
                    check(os.path.isfile(os.path.join(share, path)), f"{path} is installed")
        broken = list(broken_links(share))
        check(not broken, "the guides lead to what is installed:\n" + "\n".join(broken))
        for words in (["--version"], ["check", "scenarios/machines/bronze_strip_160.yaml"],
                      ["run", "scenarios/cases/emergency_stop.yaml"]):
            done = subprocess.run([program, *words], cwd=share, capture_output=True, text=True)
            check(done.returncode == 0, f"the installed program does {words}:\n{done.stdout}{done.stderr}")
    print("the installed program runs, with guides, scenarios and licences")


if __name__ == "__main__":
    main()
