#!/usr/bin/env python3
"""Checks that the firmware is compiled once: what is tested and explored is what runs.

usage: compiled_once.py COMPILE_COMMANDS SOURCE_FOLDER

COMPILE_COMMANDS is the compile_commands.json of a build. Objects under tests/ do not count: they are
for tests alone (broken copies of the logic, a build as for a board).
"""
import collections
import json
import os
import re
import sys


def output(each):
    return re.search(r" -o (\S+)", each["command"])[1]


def faults(commands, folder):
    """What is wrong with the objects of the .cpp files in `folder`, which must have one each."""
    objects = collections.defaultdict(list)
    for each in commands:
        source = os.path.relpath(os.path.join(each["directory"], each["file"]), folder)
        if not source.startswith("..") and not output(each).startswith("tests/"):
            objects[source].append(each)
    wrong = [] if objects else [f"no source of {folder} is compiled"]
    for source, compiled in sorted(objects.items()):
        if len(compiled) > 1:
            wrong.append(f"{source} is compiled {len(compiled)} times: " + ", ".join(sorted(map(output, compiled))))
        if any(re.search(r" -flto\b", one["command"]) for one in compiled):
            wrong.append(f"{source} is compiled for link-time optimisation: its object code depends on the program")
    return wrong


def main():
    path, folder = sys.argv[1:]
    with open(path, encoding="utf-8") as file:
        wrong = faults(json.load(file), os.path.join(folder, "firmware"))
    sys.exit("\n".join(wrong) or None)


if __name__ == "__main__":
    main()
