#!/usr/bin/env python3
"""Checks the rules of the source tree that no compiler checks (see DEVELOPERS.md, "House style").

Prints `file:line: rule: what to do` for each offence. Exit status: 0 clean, 1 offences found.
"""
import argparse
import os
import re
import subprocess
import sys

FOLDERS = ("firmware", "hal-mock", "sim", "tests", "docs", "scenarios")
CODE = (".hpp", ".cpp")
LENGTH_LIMITED = CODE + (".py", ".sh", ".cmake", "CMakeLists.txt")
TEXT = LENGTH_LIMITED + (".md", ".yaml", ".json")
MAX_LINES = 450
# Split so that this file does not break its own rule.
UNFINISHED = re.compile(r"\b(TO" r"DO|FIX" r"ME|XX" r"X|HA" r"CK|not imple" r"mented)\b")
TEST_NAME = re.compile(r'TEST_CASE\(\s*((?:"[^"]*"\s*)+)')
INCLUDE = re.compile(r'\s*#\s*include\s*"([^"]+)"')


def files_of(root):
    for folder in FOLDERS:
        for place, folders, names in os.walk(os.path.join(root, folder)):
            folders[:] = sorted(f for f in folders if f not in ("build", "__pycache__") and not f.startswith("."))
            for name in sorted(names):
                yield os.path.relpath(os.path.join(place, name), root)
    yield from (name for name in ("CMakeLists.txt", "README.md", "DEVELOPERS.md", "run.sh")
                if os.path.exists(os.path.join(root, name)))


def check_lines(path, lines):
    """Rules that need one file only."""
    if path.endswith(LENGTH_LIMITED) and len(lines) > MAX_LINES:
        yield MAX_LINES + 1, "length", f"{len(lines)} lines, at most {MAX_LINES}: split it by idea"
    for number, line in enumerate(lines, 1):
        if word := UNFINISHED.search(line):
            yield number, "unfinished", f"'{word[0]}': finish it, or track it outside the code"
        if path.endswith(CODE) and (include := INCLUDE.match(line)) and ".." in include[1].split("/"):
            yield number, "include-path", f"'{include[1]}': include by the path from the root"
    for name in TEST_NAME.finditer("\n".join(lines)):
        if ";" in name[1]:
            number = name.string.count("\n", 0, name.start()) + 1
            yield number, "test-name", "CTest cannot carry a semicolon in the name of a test"
    if path.endswith(".hpp") and not any(line.startswith("#pragma once") for line in lines):
        yield 1, "pragma-once", "a header starts with #pragma once"


def check_used(root, texts):
    """Every source is built and every header included: nothing lies about unused."""
    included = set()
    for path, lines in texts.items():
        if path.endswith(CODE):
            here = os.path.dirname(path)
            for include in filter(None, map(INCLUDE.match, lines)):
                included |= {include[1], os.path.normpath(os.path.join(here, include[1])),
                             os.path.join("tests/support", include[1])}
    for path in texts:
        if path.endswith(".hpp") and path not in included:
            yield path, 1, "unused", "no file includes this header"
        if path.endswith((".cpp", ".py")):
            place, named = os.path.dirname(path), False
            while not named:
                lists = os.path.join(place, "CMakeLists.txt")
                relative = re.escape(os.path.relpath(path, place or "."))
                pattern = rf"(?<![\w./-]){relative}(?![\w.-])|/{re.escape(path)}(?![\w.-])"
                named = any(re.search(pattern, line.split("#")[0]) for line in texts.get(lists, ()))
                if not place:
                    break
                place = os.path.dirname(place)
            if not named:
                yield path, 1, "unused", "no CMakeLists.txt of its folder or above names this file"


def check_format(root, paths, clang_format):
    done = subprocess.run([clang_format, "--dry-run", "--style=file", *paths], cwd=root, capture_output=True, text=True)
    if done.returncode != 0:
        yield ".clang-format", 1, "format", "clang-format failed: " + " ".join(done.stderr.split("\n")[:1])
    for offence in sorted({re.match(r"(.+?):(\d+):\d+: warning: code should be clang-formatted", line)
                           for line in done.stderr.splitlines()} - {None}, key=lambda m: (m[1], int(m[2]))):
        yield offence[1], int(offence[2]), "format", "run ./run.sh format"


def offences(root, clang_format):
    texts = {}
    for path in files_of(root):
        if path.endswith(TEXT) or path == "run.sh":
            with open(os.path.join(root, path), encoding="utf-8") as file:
                texts[path] = file.read().splitlines()
    for path, lines in texts.items():
        for number, rule, cure in check_lines(path, lines):
            yield path, number, rule, cure
    yield from check_used(root, texts)
    code = [path for path in texts if path.endswith(CODE)]
    if clang_format and code:
        yield from check_format(root, code, clang_format)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("root")
    parser.add_argument("--clang-format", default="", help="program to check the format with; empty: not checked")
    arguments = parser.parse_args()
    found = list(offences(arguments.root, arguments.clang_format))
    for path, number, rule, cure in found:
        print(f"{path}:{number}: {rule}: {cure}")
    print(f"{len(found)} offences", file=sys.stderr)
    sys.exit(1 if found else 0)


if __name__ == "__main__":
    main()
